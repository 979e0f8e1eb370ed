"""What the tests of the record ask for: a clock that stands, bytes that repeat, and rolls worth recording."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import yaml

from bot.asked import Asked
from bot.ledger import Draft, Ledger
from bot.reply import Dice, Line, Reply
from resolver.live import Throw

WHEN = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
FIGURES: dict[str, dict[str, Any]] = {
    figure["id"]: figure
    for figure in yaml.safe_load(
        (Path(__file__).parent.parent / "references" / "record_figures.yaml").read_text(encoding="utf-8")
    )
}


class Entropy:
    """Bytes that differ from call to call and repeat in every run: the hashes of 1, 2, 3, ..."""

    def __init__(self) -> None:
        self.calls = 0

    def __call__(self, count: int) -> bytes:
        self.calls += 1
        return hashlib.shake_256(str(self.calls).encode()).digest(count)


def asked(text: str = "dice 3d6", who: str = "Ann", event: str | None = None, where: str = "low-ferry") -> Asked:
    return Asked(text=text, who=who, where=where, event=event)


def dice(count: int, sides: int = 6) -> Throw:
    return Throw(step="dice", sides=sides, count=count)


def rolling(count: int = 3, sides: int = 6) -> Callable[[Draft], Reply]:
    """A verb that throws some dice and says what they show."""

    def make(draft: Draft) -> Reply:
        faces = list(draft.dice(dice(count, sides)))
        draft.read, draft.ruleset, draft.data = f"dice {count}d{sides}", "standard", {"faces": faces}
        shown = Dice("dice", None, "", tuple((face,) for face in faces), (True,) * count, "done")
        return Reply("dice", "Dice", (shown, Line("done", True)), {"id": draft.id, "faces": faces})

    return make


def saying(words: str) -> Callable[[Draft], Reply]:
    """A verb that records words and throws no dice."""

    def make(draft: Draft) -> Reply:
        draft.read, draft.data = words, {"event": {"type": "said"}}
        return Reply("table", words, (Line(words),), {"said": words})

    return make


def roll(ledger: Ledger, count: int = 3, sides: int = 6, **about: Any) -> Reply:
    return ledger.record(asked(**about), "dice", rolling(count, sides))
