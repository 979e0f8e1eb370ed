"""`forget me` removes a person and nothing else: dice, numbers and the chain stay, and verify as before."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from recording import WHEN, Entropy, asked, dice, roll, rolling

from bot import verify
from bot.ledger import Draft, Ledger
from bot.reply import Line, Note, Reply


def seating(who: str) -> Callable[[Draft], Reply]:
    def make(draft: Draft) -> Reply:
        event = {"type": "sit", "who": who, "side": "Wardens"}
        draft.read, draft.data = f"sit {who} with Wardens", {"event": event, "said": f"{who} sits down"}
        state = {"sides": [{"name": "Wardens", "seats": [who, "Bo"]}]}
        return Reply("table", f"#{draft.id} {who} sits", (Line(f"{who} sits"),), {"said": who, "state": state})

    return make


@pytest.fixture
def evening(ledger: Ledger) -> Ledger:
    """Ann and Bo roll, and Bo seats Ann."""
    ledger.cut(asked(who="Ann"), "Ann was here")
    roll(ledger, who="Ann", text="dice 3d6 for my Grandmother", event="m1")
    roll(ledger, who="Bo", text="dice 3d6")
    ledger.record(asked(who="Bo", text="seat Ann"), "table", seating("Ann"))
    ledger.memory.remember("low-ferry", "Ann", {"last": "dice 3d6"})
    return ledger


def stored(file: Path) -> str:
    """Everything in the tables, as text."""
    with closing(sqlite3.connect(file)) as database:
        tables = [name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return repr([database.execute(f"SELECT * FROM {table}").fetchall() for table in tables])


def test_name_and_messages_are_gone(evening: Ledger, file: Path) -> None:
    assert evening.forget(asked(who="Ann")) == 1
    kept = stored(file).replace("Ann was here", "")  # cuts are public words and stay
    assert "Ann" not in kept
    assert "Grandmother" not in kept
    entry = evening.entry("low-ferry", 1)
    assert entry is not None
    assert (entry.who, entry.text) == ("", "")
    assert evening.memory.recall("low-ferry", "Ann") == {}


def test_the_dice_stay_and_still_verify(evening: Ledger) -> None:
    before = evening.entry("low-ferry", 1)
    evening.forget(asked(who="Ann"))
    after = evening.entry("low-ferry", 1)
    assert before is not None
    assert after is not None
    assert (after.faces, after.sides, after.when, after.read) == (
        before.faces,
        before.sides,
        before.when,
        before.read,
    )
    assert [checked.faults for checked in evening.check()] == [()]
    assert evening.check()[0].forgotten == 1
    evening.reveal(asked(who="Bo"))
    page = evening.export("low-ferry")
    assert [item["who"] for item in page["rolls"]] == ["", "Bo", "Bo"]
    verify.verify(page)


def test_others_stay_as_they_are(evening: Ledger) -> None:
    evening.forget(asked(who="Ann"))
    entry = evening.entry("low-ferry", 2)
    assert entry is not None
    assert (entry.who, entry.text) == ("Bo", "dice 3d6")


def test_where_others_named_the_person_someone_stands(evening: Ledger) -> None:
    evening.forget(asked(who="Ann"))
    entry = evening.entry("low-ferry", 3)
    assert entry is not None
    assert entry.data["event"] == {"type": "sit", "who": "someone", "side": "Wardens"}
    assert entry.reply.title == "#3 someone sits"
    assert entry.reply.machine["state"]["sides"][0]["seats"] == ["someone", "Bo"]
    assert (entry.read, entry.who) == ("sit someone with Wardens", "Bo")


def test_a_redelivered_message_still_gets_its_roll(evening: Ledger) -> None:
    evening.forget(asked(who="Ann"))
    assert evening.recorded("low-ferry", "m1") is not None
    evening.record(asked(event="m1"), "dice", rolling())
    assert len(evening.entries("low-ferry")) == 3


def test_other_channels_are_left_alone(evening: Ledger) -> None:
    """A name belongs to a channel: in another one somebody else may bear it."""
    roll(evening, who="Ann", where="high-ferry")
    evening.forget(asked(who="Ann"))
    entry = evening.entry("high-ferry", 1)
    assert entry is not None
    assert entry.who == "Ann"


def test_what_is_removed_cannot_be_guessed_from_what_stays(evening: Ledger, file: Path) -> None:
    """The salts of the removed fields are gone; the digests alone tell nothing."""
    with closing(sqlite3.connect(file)) as database:
        (salts,) = database.execute("SELECT salts FROM entries WHERE id = 1").fetchone()
    evening.forget(asked(who="Ann"))
    with closing(sqlite3.connect(file)) as database:
        (left,) = database.execute("SELECT salts FROM entries WHERE id = 1").fetchone()
    assert '"who"' in salts
    assert '"who"' not in left
    assert '"text"' not in left


def test_forgetting_twice_or_nobody_is_harmless(evening: Ledger) -> None:
    assert evening.forget(asked(who="Ann")) == 1
    assert evening.forget(asked(who="Ann")) == 0
    assert evening.forget(asked(who="Cy")) == 0
    assert evening.forget(asked(who="")) == 0
    assert evening.check()[0].faults == ()


@pytest.mark.parametrize("name", ["Wardens", "sit", "type", "line", "table", "1", "#3", "who", ".*", "6"])
def test_a_clever_name_spoils_nothing(ledger: Ledger, name: str) -> None:
    """Somebody who is called like a side, an event or a block takes nothing along but their own."""
    roll(ledger, who=name)
    ledger.record(asked(who="Bo", text="seat Ann"), "table", seating("Ann"))
    before = [entry.data for entry in ledger.entries("low-ferry")]
    ledger.forget(asked(who=name))
    assert [entry.data for entry in ledger.entries("low-ferry")] == before
    assert ledger.entry("low-ferry", 1).faces  # type: ignore[union-attr]
    assert ledger.check()[0].faults == ()


def test_the_message_itself_is_gone_from_the_reply(ledger: Ledger) -> None:
    def echoing(draft: Draft) -> Reply:
        draft.dice(dice(1))
        draft.read = "dice d6"
        return Reply("dice", "dice d6: my secret wish", (Line("Ann, my secret wish"), Note("my secret wish")))

    ledger.record(asked(who="Ann", text="my secret wish"), "dice", echoing)
    ledger.forget(asked(who="Ann"))
    reply = ledger.entry("low-ferry", 1).reply  # type: ignore[union-attr]
    assert "secret" not in repr(reply)
    assert reply.title == "dice d6: (removed)"
    assert "Ann" not in repr(reply)


# Retention


class Clock:
    def __init__(self) -> None:
        self.now = WHEN

    def __call__(self) -> datetime:
        return self.now


def test_names_and_messages_go_when_their_time_is_over(file: Path) -> None:
    clock, entropy = Clock(), Entropy()
    with Ledger(str(file), clock, entropy) as ledger:
        roll(ledger, who="Ann", text="old words")
        clock.now += timedelta(days=20)
        roll(ledger, who="Bo", text="new words")
    clock.now += timedelta(days=20)
    with Ledger(str(file), clock, entropy, keep_days=30) as ledger:
        old, new = ledger.entries("low-ferry")
        assert (old.who, old.text, len(old.faces)) == ("", "", 3)
        assert (new.who, new.text) == ("Bo", "new words")
        assert ledger.check()[0].faults == ()


def test_a_new_page_is_a_time_to_forget_as_well(file: Path) -> None:
    clock = Clock()
    with Ledger(str(file), clock, Entropy(), keep_days=30) as ledger:
        roll(ledger, who="Ann")
        clock.now += timedelta(days=40)
        assert ledger.entry("low-ferry", 1).who == "Ann"  # type: ignore[union-attr]
        ledger.reveal(asked(who="Bo"))
        assert ledger.entry("low-ferry", 1).who == ""  # type: ignore[union-attr]


def test_without_a_setting_everything_is_kept(file: Path) -> None:
    clock = Clock()
    with Ledger(str(file), clock, Entropy()) as ledger:
        roll(ledger, who="Ann")
    clock.now += timedelta(days=4000)
    with Ledger(str(file), clock, Entropy()) as ledger:
        assert ledger.entry("low-ferry", 1).who == "Ann"  # type: ignore[union-attr]
