"""A conversation with the umpire, replayable: fixed clock, fixed secret, a ledger in a temporary file."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bot.app import App
from bot.asked import Asked
from bot.content import load_rulesets
from bot.glossary import load_glossary
from bot.house import House
from bot.ledger import Storage
from bot.reply import Reply

START = datetime(2026, 3, 14, 19, 0, tzinfo=UTC)


class Clock:
    """A clock that moves one second at each look."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


def secret(size: int) -> bytes:
    """The same "random" bytes every time, so that the same page shows the same faces."""
    return bytes(range(size))


@contextmanager
def umpire(folder: Path, ruleset: str = "standard") -> Iterator[App]:
    """The app over a ledger in `folder`; opening it again on the same folder is a restart."""
    with Storage(str(folder / "ledger.db"), Clock(), secret) as storage:
        yield App(House(load_rulesets(), load_glossary(), storage, ruleset))


def say(app: App, text: str, who: str = "Ada", where: str = "low-ferry", event: str | None = None) -> Reply:
    """One message and its reply."""
    return app.answer(Asked(text=text, who=who, where=where, event=event))
