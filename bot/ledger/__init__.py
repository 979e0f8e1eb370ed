"""The record: what was asked, what was rolled, what was answered, in order, under sealed dice.

`Ledger` is loaded when it is first named, since its database library takes a while.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.ledger.draft import Draft, OwnFaces, RanOut
from bot.ledger.entry import Entry, LedgerError, Page
from bot.ledger.memory import Memory
from bot.ledger.place import is_there
from bot.ledger.storage import Storage

if TYPE_CHECKING:
    from bot.ledger.ledger import Ledger

__all__ = ["Draft", "Entry", "Ledger", "LedgerError", "Memory", "OwnFaces", "Page", "RanOut", "Storage", "is_there"]


def __getattr__(name: str) -> type[Ledger]:
    if name != "Ledger":
        raise AttributeError(f"bot.ledger has no {name}")
    from bot.ledger.ledger import Ledger

    return Ledger
