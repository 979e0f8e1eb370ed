"""What is remembered of a conversation, in the record's database. Plain SQL, so that asking loads nothing more."""

from __future__ import annotations

import json
import sqlite3
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from bot.ledger.entry import LedgerError
from bot.ledger.kept import dumps
from bot.ledger.place import BUSY_SECONDS, checked_version, make_file, plainly

# Understood by SQLite and by database servers alike.
CREATE = (
    "CREATE TABLE IF NOT EXISTS memory "
    "(channel TEXT NOT NULL, who TEXT NOT NULL, kept TEXT NOT NULL, PRIMARY KEY (channel, who))"
)
FORGET = "DELETE FROM memory WHERE channel = :channel AND who = :who"
_KEPT = "SELECT kept FROM memory WHERE channel = :channel AND who = :who"
_KEEP = (
    "INSERT INTO memory (channel, who, kept) VALUES (:channel, :who, :kept) "
    "ON CONFLICT (channel, who) DO UPDATE SET kept = excluded.kept"
)
_REPLY = "SELECT reply FROM entries WHERE channel = :channel AND event = :event"
_NUMBER = "SELECT id FROM entries WHERE channel = :channel AND event = :event"
_LAST = "SELECT MAX(id) FROM entries WHERE channel = :channel"
_ONE_OF_KIND = "SELECT kind FROM entries WHERE channel = :channel AND kind = :kind LIMIT 1"
_TABLE = "SELECT name FROM sqlite_master WHERE type = 'table' AND name = :name"
_VERSION = "SELECT value FROM about WHERE key = 'version'"

# Runs a statement with named values; returns the first value of its first row, if it has one.
Run = Callable[[str, Mapping[str, str]], Any]


class Memory:
    """Small JSON notes for a person in a channel, or for the channel itself (`who` empty)."""

    def __init__(self, run: Run, close: Callable[[], None] = lambda: None) -> None:
        self._run = run
        self.close = close
        self._mine = threading.local()  # the transaction of the record that this thread is in

    def recall(self, channel: str, who: str = "") -> dict[str, Any]:
        """What is remembered."""
        kept = self._now(_KEPT, channel=channel, who=who)
        return {} if kept is None else dict(json.loads(kept))

    def remember(self, channel: str, who: str, memory: dict[str, Any]) -> None:
        """Remember this instead of what was remembered before."""
        if self.recall(channel, who) != memory:
            self._now(_KEEP, channel=channel, who=who, kept=dumps(memory))

    def holds(self, channel: str, kind: str) -> bool:
        """Whether anything of that kind was ever recorded in the channel."""
        return self._now(_ONE_OF_KIND, channel=channel, kind=kind) is not None

    def replied(self, channel: str, event: str) -> str | None:
        """The kept reply to an event of the channel, if it was recorded."""
        kept: str | None = self._now(_REPLY, channel=channel, event=event)
        return kept

    def number(self, channel: str, event: str) -> int | None:
        """The number of the entry that an event of the channel made, if it made one."""
        found: int | None = self._now(_NUMBER, channel=channel, event=event)
        return found

    def last(self, channel: str) -> int:
        """The number of the channel's last entry; 0 without one."""
        return int(self._now(_LAST, channel=channel) or 0)

    @contextmanager
    def within(self, run: Run) -> Iterator[None]:
        """While it lasts, this thread remembers in a transaction of the record: all of it is kept, or nothing."""
        before = getattr(self._mine, "run", None)
        self._mine.run = run
        try:
            yield
        finally:
            self._mine.run = before

    def _now(self, statement: str, **values: str) -> Any:
        run: Run = getattr(self._mine, "run", None) or self._run
        return run(statement, values)


def memory_in(file: Path) -> Memory:
    """The memory in a record's file, which is made if need be; the record itself is not opened for it."""
    make_file(file)
    lock = threading.Lock()
    with _complaints(file):
        connection = sqlite3.connect(file, BUSY_SECONDS, isolation_level=None, check_same_thread=False)

    def run(statement: str, values: Mapping[str, str]) -> Any:
        with lock, _complaints(file):
            row = connection.execute(statement, values).fetchone()
        return None if row is None else row[0]

    try:
        _prepare(run, file)
    except LedgerError:
        connection.close()
        raise
    return _FileMemory(run, connection.close)


def _prepare(run: Run, file: Path) -> None:
    """A note lost with the power is said again, so it need not wait for the disk; rolls wait, in the record."""
    if run(_TABLE, {"name": "about"}) is not None:
        checked_version(run(_VERSION, {}), str(file))
    run("PRAGMA journal_mode = WAL", {})
    run("PRAGMA synchronous = NORMAL", {})
    run(CREATE, {})


class _FileMemory(Memory):
    """In a file that may have no record yet."""

    _has_record = False

    def holds(self, channel: str, kind: str) -> bool:
        return self._recorded() and super().holds(channel, kind)

    def replied(self, channel: str, event: str) -> str | None:
        return super().replied(channel, event) if self._recorded() else None

    def number(self, channel: str, event: str) -> int | None:
        return super().number(channel, event) if self._recorded() else None

    def last(self, channel: str) -> int:
        return super().last(channel) if self._recorded() else 0

    def _recorded(self) -> bool:
        """Whether there is a record; once there, it stays."""
        self._has_record = self._has_record or self._now(_TABLE, name="entries") is not None
        return self._has_record


@contextmanager
def _complaints(file: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        raise plainly(str(file), str(error)) from None
