"""A place for a record: its memory is open at once, the ledger itself when something first needs it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING

from bot.closing import Closing
from bot.ledger.memory import Memory, memory_in
from bot.ledger.place import file_of

if TYPE_CHECKING:
    from bot.ledger.ledger import Ledger


class Storage(Closing):
    """The record at `url` (a file name or a database address); time and randomness are arguments.

    With `keep_days`, names and messages older than that are removed whenever the record or a page is opened.
    """

    def __init__(
        self,
        url: str,
        clock: Callable[[], datetime],
        entropy: Callable[[int], bytes],
        keep_days: int | None = None,
    ) -> None:
        self._arguments = (url, clock, entropy, keep_days)
        file = file_of(url)
        self._apart = None if file is None else memory_in(file)
        if keep_days is not None:
            _ = self.ledger  # opening it is what removes

    @property
    def memory(self) -> Memory:
        """What is remembered; a database server's is reached through the ledger."""
        return self._apart or self.ledger.memory

    @cached_property
    def ledger(self) -> Ledger:
        """The ledger; its database library is loaded now."""
        from bot.ledger.ledger import Ledger

        return Ledger(*self._arguments, memory=self._apart)

    def settle(self) -> None:
        """As `Ledger.settle`; the ledger is not opened for it."""
        if "ledger" in self.__dict__:
            self.ledger.settle()

    def close(self) -> None:
        """Let go of the database."""
        if "ledger" in self.__dict__:
            self.ledger.close()
        if self._apart is not None:
            self._apart.close()
