"""The record keeps what was rolled before anyone sees it, and gives the same answer to the same event."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.asked import Asked
from bot.ledger import Draft, Ledger, LedgerError
from bot.reply import Dice, Line, Reply

WHEN = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Handful:
    sides: int
    count: int


class Entropy:
    """Bytes that differ from call to call and are the same in every run."""

    def __init__(self) -> None:
        self.calls = 0

    def __call__(self, count: int) -> bytes:
        self.calls += 1
        return bytes((self.calls + i) % 256 for i in range(count))


@pytest.fixture
def ledger(tmp_path: Path) -> Iterator[Ledger]:
    with Ledger(str(tmp_path / "record.db"), lambda: WHEN, Entropy()) as ledger:
        yield ledger


def asked(text: str = "dice 3d6", who: str = "Ann", event: str | None = None) -> Asked:
    return Asked(text=text, who=who, where="low-ferry", event=event)


def three_dice(draft: Draft) -> Reply:
    faces = draft.dice(Handful(6, 3))
    draft.read, draft.ruleset, draft.data = "dice 3d6", "standard", {"kind": "dice"}
    dice = Dice("dice", None, "", tuple((face,) for face in faces), (True,) * 3, "three dice")
    return Reply("dice", "Three dice", (dice, Line("done", True)), {"id": draft.id, "faces": list(faces)})


def test_a_roll_is_in_the_record_with_its_faces_and_its_reply(ledger: Ledger) -> None:
    reply = ledger.record(asked(), "dice", three_dice)
    entry = ledger.entry("low-ferry", 1)
    assert entry is not None
    assert entry.reply == reply
    assert list(entry.faces) == reply.machine["faces"]
    assert entry.sides == (6, 6, 6)
    assert (entry.who, entry.text, entry.read, entry.ruleset) == ("Ann", "dice 3d6", "dice 3d6", "standard")


def test_the_same_event_never_rolls_twice(ledger: Ledger) -> None:
    first = ledger.record(asked(event="m1"), "dice", three_dice)
    again = ledger.record(asked(event="m1"), "dice", three_dice)
    assert again == first
    assert len(ledger.entries("low-ferry")) == 1


def test_a_verb_that_raises_leaves_nothing_behind(ledger: Ledger) -> None:
    def broken(draft: Draft) -> Reply:
        draft.dice(Handful(6, 1))
        raise LedgerError("no")

    with pytest.raises(LedgerError):
        ledger.record(asked(), "dice", broken)
    assert ledger.entries("low-ferry") == []
    assert ledger.record(asked(), "dice", three_dice).machine["id"] == 1


def test_a_cut_comes_before_the_first_roll_and_once_for_each_player(ledger: Ledger) -> None:
    assert ledger.cut(asked(), "the tide is out").cuts == ("the tide is out",)
    with pytest.raises(LedgerError, match="already"):
        ledger.cut(asked(), "again")
    ledger.record(asked(), "dice", three_dice)
    with pytest.raises(LedgerError, match="rolled"):
        ledger.cut(asked(who="Bo"), "too late")


def test_a_page_shows_its_secret_only_when_it_is_closed(ledger: Ledger) -> None:
    ledger.record(asked(), "dice", three_dice)
    assert ledger.export("low-ferry")["secret"] is None
    closed = ledger.reveal(asked(event="m2"))
    assert closed.secret is not None
    assert ledger.reveal(asked(event="m2")).id == closed.id
    assert ledger.page("low-ferry").id != closed.id
    assert ledger.export("low-ferry", closed.id)["secret"] == closed.secret


def test_what_is_remembered_is_recalled(ledger: Ledger) -> None:
    ledger.remember("low-ferry", "Ann", {"last": "odds"})
    ledger.remember("low-ferry", "Ann", {"last": "roll"})
    assert ledger.recall("low-ferry", "Ann") == {"last": "roll"}
    assert ledger.recall("low-ferry") == {}
