"""The record keeps what was rolled before anyone sees it, and gives the same answer to the same event."""

from __future__ import annotations

import logging
import threading
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from recording import WHEN, Entropy, asked, dice, roll, rolling, saying

from bot.ledger import Draft, Ledger, LedgerError, RanOut
from bot.reply import Bars, Caret, Dice, Line, Note, Picture, Reply, Shell, Table
from resolver.refused import Refused


def test_a_roll_is_in_the_record_with_its_faces_and_its_reply(ledger: Ledger) -> None:
    reply = roll(ledger, text="three dice please")
    entry = ledger.entry("low-ferry", 1)
    assert entry is not None
    assert entry.reply == reply
    assert list(entry.faces) == reply.machine["faces"]
    assert (entry.sides, entry.declared, entry.when) == ((6, 6, 6), False, WHEN)
    assert (entry.kind, entry.who, entry.text, entry.read) == ("dice", "Ann", "three dice please", "dice 3d6")
    assert (entry.ruleset, entry.page, entry.channel) == ("standard", "2026-11-25-1", "low-ferry")


def test_numbers_go_up_by_one_whatever_is_recorded(ledger: Ledger) -> None:
    roll(ledger)
    ledger.record(asked(), "table", saying("a round begins"))
    roll(ledger)
    assert [entry.id for entry in ledger.entries("low-ferry")] == [1, 2, 3]
    assert ledger.entry("low-ferry", 2).sides == ()  # type: ignore[union-attr]


def test_every_channel_has_its_own_numbers(ledger: Ledger) -> None:
    roll(ledger)
    assert roll(ledger, where="high-ferry").machine["id"] == 1
    assert len(ledger.entries("low-ferry")) == 1


def test_entries_are_read_from_a_number_on_or_from_the_end(ledger: Ledger) -> None:
    for _ in range(5):
        roll(ledger)
    assert [entry.id for entry in ledger.entries("low-ferry", since=4)] == [4, 5]
    assert [entry.id for entry in ledger.entries("low-ferry", last=2)] == [4, 5]
    assert [entry.id for entry in ledger.entries("low-ferry", since=2, last=9)] == [2, 3, 4, 5]
    assert ledger.entry("low-ferry", 6) is None


def test_it_knows_the_channels_in_which_something_was_recorded_lately(file: Path) -> None:
    at = [WHEN]
    with Ledger(str(file), lambda: at[0], Entropy()) as ledger:
        for where in ("low-ferry", "high-ferry", "low-ferry"):
            roll(ledger, where=where)
            at[0] += timedelta(hours=1)
        ledger.page("inn")  # opened, and nothing on it
        assert ledger.played(timedelta(hours=1)) == ["low-ferry"]
        assert ledger.played(timedelta(hours=2)) == ["high-ferry", "low-ferry"]
        assert ledger.played(timedelta(minutes=59)) == []
        ledger.reveal(asked())  # a page that is closed was played on all the same
        assert ledger.played(timedelta(hours=1)) == ["low-ferry"]


def test_the_same_event_never_rolls_twice(ledger: Ledger) -> None:
    first = roll(ledger, event="m1")
    again = roll(ledger, event="m1")
    assert again == first
    assert ledger.recorded("low-ferry", "m1") == first
    assert len(ledger.entries("low-ferry")) == 1


def test_the_same_event_in_another_channel_is_another_event(ledger: Ledger) -> None:
    roll(ledger, event="m1")
    assert ledger.recorded("high-ferry", "m1") is None
    roll(ledger, event="m1", where="high-ferry")
    assert len(ledger.entries("high-ferry")) == 1


def test_without_an_event_every_message_rolls(ledger: Ledger) -> None:
    roll(ledger)
    roll(ledger)
    assert ledger.recorded("low-ferry", None) is None
    assert len(ledger.entries("low-ferry")) == 2


def test_a_verb_that_raises_leaves_nothing_behind(ledger: Ledger) -> None:
    def broken(draft: Draft) -> Reply:
        draft.dice(dice(1))
        raise Refused("dice", "no")

    with pytest.raises(Refused):
        ledger.record(asked(event="m1"), "dice", broken)
    assert ledger.entries("low-ferry") == []
    assert roll(ledger, event="m1").machine["id"] == 1


def test_a_verb_sees_the_record_as_it_was_and_may_remember(ledger: Ledger) -> None:
    def curious(draft: Draft) -> Reply:
        ledger.memory.remember("low-ferry", "Ann", {"last": "dice"})
        return Reply("dice", str(len(ledger.entries("low-ferry"))))

    roll(ledger)
    assert ledger.record(asked(), "dice", curious).title == "1"
    assert ledger.memory.recall("low-ferry", "Ann") == {"last": "dice"}


def test_what_a_verb_remembered_is_gone_with_a_roll_that_failed(ledger: Ledger) -> None:
    def broken(draft: Draft) -> Reply:
        ledger.memory.remember("low-ferry", "Ann", {"last": "dice"})
        raise Refused("dice", "no")

    with pytest.raises(Refused):
        ledger.record(asked(), "dice", broken)
    assert ledger.memory.recall("low-ferry", "Ann") == {}


def test_every_kind_of_block_comes_back_as_it_was(file: Path) -> None:
    blocks = (
        Line("five dice", strong=True),
        Dice("hit", "4+", "skill 4+", ((4,), (1, 6)), (True, True), "2 of 2"),
        Table(("unit", "models"), (("Wardens", "9"), ("Kiln Guard", "5"))),
        Bars("slain", (("0", 0.25, "25%"), ("1", 0.75, "75%"))),
        Caret("10 shots hit 9+", (9, 15), None),
        Note("cover is 1"),
        Shell("drumhead verify FILE"),
        Picture("slain", (("first", (0.25, 0.75)),), "mostly one"),
    )
    data = {"id": 1, "faces": [{"hit": [[4], [1, 6]]}]}
    reply = Reply("attack", "Ten shots", blocks, data, offers=("roll it",), private=True)
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        ledger.record(asked(event="m1"), "attack", lambda draft: reply)
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        assert ledger.recorded("low-ferry", "m1") == reply


def test_the_record_outlives_the_program(file: Path) -> None:
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        first = roll(ledger)
        commitment = ledger.page("low-ferry").commitment
    with Ledger(f"sqlite:///{file}", lambda: WHEN, Entropy()) as ledger:
        assert ledger.entry("low-ferry", 1).reply == first  # type: ignore[union-attr]
        assert ledger.page("low-ferry").commitment == commitment
        assert roll(ledger).machine["id"] == 2


def test_the_time_is_kept_in_utc(file: Path) -> None:
    evening = datetime(2026, 11, 25, 23, 30, tzinfo=timezone(timedelta(hours=-2)))
    with Ledger(str(file), lambda: evening, Entropy()) as ledger:
        roll(ledger)
        assert ledger.page("low-ferry").id == "2026-11-26-1"
        assert ledger.entry("low-ferry", 1).when == evening  # type: ignore[union-attr]


def test_own_dice_are_served_in_order_and_marked(ledger: Ledger) -> None:
    def own(draft: Draft) -> Reply:
        draft.declare([6, 4, 1])
        return Reply("dice", str([*draft.dice(dice(2)), *draft.dice(dice(1, 3))]))

    assert ledger.record(asked(), "dice", own).title == "[6, 4, 1]"
    entry = ledger.entry("low-ferry", 1)
    assert entry is not None
    assert (entry.declared, entry.faces, entry.sides) == (True, (6, 4, 1), (6, 6, 3))


def test_own_dice_that_run_out_are_asked_for_and_nothing_is_written(ledger: Ledger) -> None:
    def own(draft: Draft) -> Reply:
        draft.declare([6])
        draft.dice(dice(3))
        return Reply("dice", "never")

    with pytest.raises(RanOut) as ran_out:
        ledger.record(asked(), "dice", own)
    assert ran_out.value.missing == 2
    assert ledger.entries("low-ferry") == []


def test_a_face_that_the_die_does_not_have_is_refused(ledger: Ledger) -> None:
    def own(draft: Draft) -> Reply:
        draft.declare([7])
        draft.dice(dice(1))
        return Reply("dice", "never")

    with pytest.raises(Refused, match="between 1 and 6, got 7"):
        ledger.record(asked(), "dice", own)


def test_dice_cannot_be_declared_once_the_umpire_has_thrown(ledger: Ledger) -> None:
    def late(draft: Draft) -> Reply:
        draft.dice(dice(1))
        draft.declare([6])
        return Reply("dice", "never")

    with pytest.raises(Refused, match="before the first die"):
        ledger.record(asked(), "dice", late)


def test_a_source_that_serves_impossible_faces_is_a_mistake_of_the_program(ledger: Ledger) -> None:
    def wrong(draft: Draft) -> Reply:
        draft.declare(lambda throw: [9])
        draft.dice(dice(1))
        return Reply("dice", "never")

    with pytest.raises(ValueError, match="cannot show"):
        ledger.record(asked(), "dice", wrong)


def test_what_is_remembered_is_recalled(ledger: Ledger) -> None:
    ledger.memory.remember("low-ferry", "Ann", {"last": "odds"})
    ledger.memory.remember("low-ferry", "Ann", {"last": "roll", "choices": ["a", "b"]})
    ledger.memory.remember("low-ferry", "", {"ruleset": "first game"})
    assert ledger.memory.recall("low-ferry", "Ann") == {"last": "roll", "choices": ["a", "b"]}
    assert ledger.memory.recall("low-ferry") == {"ruleset": "first game"}
    assert ledger.memory.recall("high-ferry", "Ann") == {}


def test_rolls_from_many_threads_are_written_one_after_the_other(ledger: Ledger) -> None:
    threads = [threading.Thread(target=lambda: [roll(ledger) for _ in range(5)]) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [entry.id for entry in ledger.entries("low-ferry")] == list(range(1, 21))
    assert ledger.check()[0].faults == ()


def test_two_programs_on_one_record_never_share_a_number(file: Path) -> None:
    with (
        Ledger(str(file), lambda: WHEN, Entropy()) as one,
        Ledger(str(file), lambda: WHEN, Entropy()) as other,
    ):
        numbers = [roll(ledger).machine["id"] for _ in range(3) for ledger in (one, other)]
        assert numbers == [1, 2, 3, 4, 5, 6]
        assert one.check()[0].faults == ()


def test_text_that_no_database_takes_is_kept_readable(ledger: Ledger) -> None:
    roll(ledger, text="dice\x00 3d6")
    assert ledger.entry("low-ferry", 1).text == "dice\N{REPLACEMENT CHARACTER} 3d6"  # type: ignore[union-attr]


def test_an_open_secret_is_in_no_log_and_no_complaint(file: Path, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    entropy = Entropy()
    secret = Entropy()(32)
    with Ledger(str(file), lambda: WHEN, entropy) as ledger:
        ledger._store.engine.echo = "debug"
        page = ledger.page("low-ferry")
        roll(ledger)
        shown = [repr(page), str(ledger.export("low-ferry")), str(ledger.export_channel("low-ferry"))]
        with pytest.raises(LedgerError) as complaint:
            ledger.import_channel(ledger.export_channel("low-ferry"))
    shown += [str(complaint.value), caplog.text]
    assert "BEGIN" in caplog.text or "SELECT" in caplog.text
    assert all(secret.hex() not in said and repr(secret) not in said for said in shown)


def test_the_same_roll_made_again_after_a_failure_shows_the_same_faces(ledger: Ledger) -> None:
    """Nobody can fish for better dice by making a roll fail: roll n has its faces, whoever asks for them."""
    seen: list[list[int]] = []

    def failing(draft: Draft) -> Reply:
        seen.append(list(draft.dice(dice(3))))
        raise Refused("dice", "no")

    with pytest.raises(Refused):
        ledger.record(asked(), "dice", failing)
    assert ledger.record(asked(), "dice", rolling()).machine["faces"] == seen[0]
