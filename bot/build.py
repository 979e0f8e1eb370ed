"""The house, built of what is shipped and a record; by any process that serves it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from bot.content import load_rulesets
from bot.glossary import load_glossary
from bot.house import DEFAULT_RULESET, House
from bot.ledger import LedgerError, Storage

if TYPE_CHECKING:
    from bot.settings import Settings


def storage_at(ledger: str, keep_days: int | None = None) -> Storage:
    """The record at a file or address, with the time and the randomness of this machine."""
    return Storage(ledger, lambda: datetime.now(UTC), os.urandom, keep_days)


@contextmanager
def house_at(ledger: str, ruleset: str = DEFAULT_RULESET, keep_days: int | None = None) -> Iterator[House]:
    """The house over the record; closed at the end."""
    rulesets = load_rulesets()
    if ruleset not in rulesets:
        raise LedgerError(f"no ruleset is called {ruleset}; there are {', '.join(rulesets)}")
    with storage_at(ledger, keep_days) as storage:
        yield House(rulesets, load_glossary(), storage, ruleset)


def house_of(ledger: str, settings: Settings) -> AbstractContextManager[House]:
    """The house over the record, as the host's settings want it."""
    return house_at(ledger, settings.ruleset, settings.keep_days)
