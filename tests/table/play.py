"""A table under test: the two demonstration rosters, opened by Ada, with nobody sitting unless a test says so."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from bot.app import App
from bot.reply import Reply
from bot.table.current import any_game
from tests.conversation import say, umpire

WHERE = "low-ferry"
OPEN = "open table Saltmarsh Wardens against Kiln Guard with standard"


@contextmanager
def table(folder: Path, *messages: str, ruleset: str = "standard") -> Iterator[App]:
    """An open table on which these messages were said by Ada."""
    with umpire(folder) as app:
        play(app, f"open table Saltmarsh Wardens against Kiln Guard with {ruleset}", "first turn Saltmarsh Wardens")
        play(app, *messages)
        yield app


def play(app: App, *messages: str, who: str = "Ada") -> list[Reply]:
    """Say these one after the other; each must be understood and happen."""
    replies = []
    for message in messages:
        reply = say(app, message, who)
        assert reply.kind not in ("misread", "choice", "trouble"), f"{message}: {reply.machine}"
        replies.append(reply)
    return replies


def state(app: App) -> dict[str, Any]:
    """The state as any answer about the table gives it."""
    found: dict[str, Any] = say(app, "where are we").machine["state"]
    return found


def unit(app: App, name: str) -> dict[str, Any]:
    """One unit of the state."""
    found: dict[str, Any] = next(u for side in state(app)["sides"] for u in side["units"] if u["name"] == name)
    return found


def events(app: App) -> int:
    """How many entries the record holds."""
    return len(app.house.ledger.entries(WHERE))


def folded_anew(app: App) -> Any:
    """The game as the app keeps it, and as the record alone makes it."""
    from bot.game import fold
    from bot.table.current import happened

    record = [item for item in map(happened, app.house.ledger.entries(WHERE)) if item is not None]
    return any_game(app.house, WHERE), fold(record)
