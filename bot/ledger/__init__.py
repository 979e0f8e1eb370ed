"""The record: what was asked, what was rolled, what was answered, in order, under sealed dice."""

from bot.ledger.checking import Checked
from bot.ledger.draft import Draft, OwnFaces, RanOut
from bot.ledger.entry import Entry, LedgerError, Page
from bot.ledger.ledger import Ledger
from bot.ledger.store import is_there

__all__ = ["Checked", "Draft", "Entry", "Ledger", "LedgerError", "OwnFaces", "Page", "RanOut", "is_there"]
