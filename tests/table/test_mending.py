"""Mending: the same faces under the right numbers, undo as an event, corrections by hand with who and why."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bot.reply import Line, Note
from tests.conversation import say, umpire
from tests.table.play import events, folded_anew, play, state, table, unit

SHOOTING = "go to the shooting phase"
# ten dice, five hits on 4+, three wounds on 5+ (two more on 4+), one save in three on 4+
FACES = "4 4 4 4 4 1 1 1 1 1 5 5 5 4 4 4 1 1"
SHOOT = f"Reed Runners shoot the Ember Crew at 14 with dice {FACES}"


def faces(reply: Any, step: str) -> list[int]:
    return [die[0] for group in reply.machine["faces"] for die in group[step]]


def test_a_correction_reuses_the_same_faces_under_the_right_numbers(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", SHOOTING, SHOOT) as app:
        assert unit(app, "Ember Crew")["models_left"] == 3
        (mended,) = play(app, "correct #5 T3")
        # strength 3 against toughness 3 wounds on 4+: all five hits, so two more saves are drawn
        assert faces(mended, "hit") == [4] * 5 + [1] * 5
        assert faces(mended, "wound") == [5, 5, 5, 4, 4]
        assert faces(mended, "save")[:3] == [4, 1, 1]
        entry = app.house.ledger.entry("low-ferry", mended.machine["id"])
        assert entry is not None
        assert (entry.data["mends"], len(entry.faces), entry.kind) == (5, 2, "attack")
        slain = mended.machine["totals"]["slain"]
        assert unit(app, "Ember Crew")["models_left"] == 4 - slain


def test_a_correction_that_needs_no_more_dice_draws_none(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", SHOOTING, SHOOT) as app:
        (mended,) = play(app, "correct #5 AP-2")
        # AP -2 turns the 4+ save into 6+: the 4 fails now
        assert mended.machine["totals"]["unsaved"] == 3
        assert unit(app, "Ember Crew")["groups"] == [{"name": "crew", "models": 3, "lost": 1}]
        entry = app.house.ledger.entry("low-ferry", mended.machine["id"])
        assert entry is not None
        assert entry.faces == ()


def test_corrections_add_up_and_link_to_the_first_roll(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", SHOOTING, SHOOT) as app:
        play(app, "correct #5 AP-2", "correct #6 hit 5+")
        (last,) = play(app, "correct that: in cover")
        assert last.machine["mends"] == 5
        assert last.machine["needs"] == [{"hit": "5+", "wound": "5+", "save": ["5+"]}]
        assert last.machine["totals"]["hits"] == 0
        assert unit(app, "Ember Crew")["models_left"] == 4


def test_what_came_later_stays_when_an_earlier_roll_is_mended(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", SHOOTING, SHOOT, "Ember Crew lost 2 wounds", "correct #5 AP-2") as app:
        assert unit(app, "Ember Crew")["groups"] == [{"name": "crew", "models": 2, "lost": 1}]


def test_a_correction_of_the_distance_counts_the_weapons_anew(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "Wardens shoot the Kiln Guard at 20") as app:
        near, far = play(app, "correct #4 at 10", "correct #4 at 32")
        assert near.machine["weapons"] == ["8 models: rifle", "1 model: punt gun", "1 model: pistol"]
        assert far.machine["weapons"] == ["1 model: punt gun"]
        assert "out of range" in say(app, "correct #4 at 40").title


def test_with_several_weapons_the_one_meant_is_asked_for(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "Wardens shoot the Kiln Guard at 20") as app:
        asked = say(app, "correct #4 AP-1")
        assert asked.machine["choices"] == ["correct #4 rifle AP-1", "correct #4 punt gun AP-1"]
        mended = say(app, "1")
        assert [needs["save"] for needs in mended.machine["needs"]] == [["3+", "3+"], ["4+", "4+"]]


def test_with_several_groups_the_one_meant_is_named(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "Wardens shoot the Kiln Guard at 20", "correct #4 captain save 3+") as app:
        assert say(app, "correct #4 hammers save 4+").machine["needs"][0]["save"] == ["4+", "3+"]


def test_a_typed_attack_is_mended_without_a_table(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        play(
            app, "close table", "roll 6 attacks, hit 4+, S4 into T4, save 5+, 3 models with dice 4 4 4 1 1 1 4 4 1 5 1"
        )
        (mended,) = play(app, "correct it to T5")
        assert mended.machine["totals"]["wounds"] == 0
        assert faces(mended, "wound") == [4, 4, 1]


def test_a_re_roll_keeps_its_second_face(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        text = "roll 3 attacks, hit 4+, re-roll 1s to hit, S4 into T4, save 5+, 3 models with dice 1 4 4 5 4 4 4 1 1 1"
        play(app, text)
        (mended,) = play(app, "correct that AP-1")
        assert mended.machine["faces"][0]["hit"] == [[1, 5], [4], [4]]


@pytest.mark.parametrize(
    ("message", "said"),
    [
        ("correct #5 banana", "I don't know what this changes"),
        ("correct #2 T4", "#2 is not a roll that can be corrected"),
        ("correct #99 T4", "#99 is not a roll that can be corrected"),
        ("correct #5 T400", "a toughness lies between 1 and 100, got 400"),
    ],
)
def test_a_correction_that_cannot_be_is_refused_and_nothing_is_written(tmp_path: Path, message: str, said: str) -> None:
    with table(tmp_path, "own dice yes", SHOOTING, SHOOT) as app:
        before = events(app)
        assert said in say(app, message).title
        assert events(app) == before


def test_a_charge_is_corrected_with_the_same_dice(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", "go to the charge phase") as app:
        play(app, "Reed Runners charge the Ember Crew from 9 with dice 4 3", "correct that from 8")
        assert unit(app, "Reed Runners")["engaged"]
        assert unit(app, "Reed Runners")["did"] == ["charged"]
        play(app, "correct #5 from 11")
        assert not unit(app, "Reed Runners")["engaged"]


# undo


def test_undo_is_appended_and_what_was_undone_stays_in_the_record(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", SHOOTING, SHOOT) as app:
        before = events(app)
        play(app, "undo")
        assert events(app) == before + 1
        assert unit(app, "Ember Crew")["models_left"] == 4
        assert unit(app, "Reed Runners")["did"] == []
        assert app.house.ledger.entry("low-ferry", 5) is not None


def test_undo_by_number_takes_back_just_that(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", SHOOTING, SHOOT, "Ember Crew lost 3 wounds", "undo #5") as app:
        assert unit(app, "Ember Crew")["groups"] == [{"name": "crew", "models": 3, "lost": 1}]


def test_an_undo_can_be_undone_and_not_twice(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", SHOOTING, SHOOT, "undo", "undo #6") as app:
        assert unit(app, "Ember Crew")["models_left"] == 3
        assert "#6 is undone already, by #7" in say(app, "undo #6").title


def test_undo_said_twice_takes_back_two_things(tmp_path: Path) -> None:
    with table(tmp_path, "go to the movement phase", "Wardens move", "Reed Runners move", "undo", "undo") as app:
        assert (unit(app, "Wardens")["did"], unit(app, "Reed Runners")["did"]) == ([], [])
        assert state(app)["phase"] == "movement"


def test_a_second_try_is_marked_and_both_are_shown(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "Reed Runners shoot the Ember Crew at 14", "undo") as app:
        (again,) = play(app, "Reed Runners shoot the Ember Crew at 14")
        assert again.machine["second_try"] == 4
        report = say(app, "report").machine["markdown"]
        assert "undone by \\#5" in report or "undone by #5" in report
        assert "second try" in report


def test_an_undone_step_tells_which_phase_it_is_now(tmp_path: Path) -> None:
    with table(tmp_path, "go to the movement phase", "next phase") as app:
        undone, redone = say(app, "undo"), say(app, "undo #5")
        assert undone.blocks[0] == Line("now: round 1 of 5, the Saltmarsh Wardens' movement phase")
        assert redone.blocks[0] == Line("now: round 1 of 5, the Saltmarsh Wardens' shooting phase")


def test_the_opening_is_not_undone(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        assert "the opening of the table stays" in say(app, "undo #1").title


def test_closing_by_mistake_is_undone(tmp_path: Path) -> None:
    with table(tmp_path, "close table") as app:
        assert say(app, "where are we").kind == "misread"
        play(app, "undo")
        assert state(app)["open"]


# by hand


@pytest.mark.parametrize(
    ("message", "name", "groups"),
    [
        ("Kiln Guard has 3 models left", "Kiln Guard", [("hammers", 2, 0), ("captain", 1, 0)]),
        ("Kiln Guard has 3 hammers left", "Kiln Guard", [("hammers", 3, 0), ("captain", 1, 0)]),
        ("Kiln Guard lost 2 models", "Kiln Guard", [("hammers", 3, 0), ("captain", 1, 0)]),
        ("Kiln Guard lost 1 wound", "Kiln Guard", [("hammers", 5, 1), ("captain", 1, 0)]),
        ("Kiln Guard lost 2 wounds on the captain", "Kiln Guard", [("hammers", 5, 0), ("captain", 1, 2)]),
        ("Ember Crew lost 5 wounds", "Ember Crew", [("crew", 2, 1)]),
        ("Ember Crew have 0 models left", "Ember Crew", [("crew", 0, 0)]),
    ],
)
def test_losses_are_put_right_by_hand(
    tmp_path: Path, message: str, name: str, groups: list[tuple[str, int, int]]
) -> None:
    with table(tmp_path, message) as app:
        found = [(group["name"], group["models"], group["lost"]) for group in unit(app, name)["groups"]]
        assert found == groups


def test_a_correction_by_hand_keeps_who_and_why(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        (reply,) = play(app, "Kiln Guard has 3 models left because we miscounted", who="Ben")
        entry = app.house.ledger.entry("low-ferry", reply.machine["id"])
        assert entry is not None
        assert (entry.who, entry.data["event"]["because"]) == ("Ben", "we miscounted")
        assert "by hand" in reply.machine["said"]


def test_wounds_are_regained_up_to_what_there_was(tmp_path: Path) -> None:
    with table(tmp_path, "Kiln Guard lost 4 wounds", "Kiln Guard regained 2 wounds") as app:
        assert unit(app, "Kiln Guard")["groups"][0] == {"name": "hammers", "models": 5, "lost": 2}
        assert "can regain only 2" in say(app, "Kiln Guard regained 3 wounds").title


@pytest.mark.parametrize(
    ("message", "said"),
    [
        ("Kiln Guard has 7 models left", "had 6 models there and have 6, so not 7"),
        ("Kiln Guard lost 9 models", "so not -3"),
        ("Kiln Guard has 3 dragons left", 'which group of the Kiln Guard is "dragons"'),
    ],
)
def test_what_cannot_be_is_refused(tmp_path: Path, message: str, said: str) -> None:
    with table(tmp_path) as app:
        assert said in say(app, message).title


def test_what_was_done_and_who_is_engaged_is_put_right(tmp_path: Path) -> None:
    with table(tmp_path, "Wardens have advanced", "Wardens are engaged with the Kiln Guard") as app:
        assert (unit(app, "Wardens")["did"], unit(app, "Wardens")["engaged"]) == (["advanced"], True)
        play(app, "Wardens did not advance", "Wardens are not engaged")
        assert (unit(app, "Wardens")["did"], unit(app, "Wardens")["engaged"]) == ([], False)


def test_the_record_alone_makes_the_same_game(tmp_path: Path) -> None:
    messages = (SHOOT, "correct #5 AP-2", "undo", "Kiln Guard lost 2 wounds", "back", "undo #5", "undo #10")
    with table(tmp_path, "own dice yes", SHOOTING, *messages) as app:
        kept, anew = folded_anew(app)
        assert kept == anew


def test_a_roll_of_an_earlier_table_is_left_alone(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "Reed Runners shoot the Ember Crew at 14", "close table") as app:
        play(app, "open table Saltmarsh Wardens against Kiln Guard")
        assert "#4 belongs to an earlier table, which is over" in say(app, "correct #4 T3").title
        assert "#4 is nothing that happened at this table" in say(app, "undo #4").title


def test_an_earlier_step_of_the_phase_is_not_undone_from_under_the_game(tmp_path: Path) -> None:
    with table(tmp_path, "next phase", "undo #3", "next phase", "next phase") as app:
        before = state(app)
        for number in (5, 4):  # an earlier step, and the undo of one
            reply = say(app, f"undo #{number}")
            assert (reply.kind, reply.machine["hint"]) == ("misread", "back"), number
        assert state(app) == before
        play(app, "undo #6", "undo #5")
        assert state(app)["phase"] == "command"


@pytest.mark.parametrize(
    "message", ["Wardens advance anyway", "Wardens charge the Kiln Guard from 7 anyway", "roll off for the first turn"]
)
def test_what_dice_decide_is_marked_when_it_is_undone_and_done_again(tmp_path: Path, message: str) -> None:
    with table(tmp_path, message) as app:
        first = events(app)
        (undone, again) = play(app, "undo", message)
        assert "marked as a second try" in str(undone.blocks)
        assert Note(f"second try: #{first} was undone, and both stay in the record") in again.blocks
        assert f"second try after #{first}" in str(say(app, "log").blocks)


@pytest.mark.parametrize(
    ("message", "again"),
    [
        ("Wardens advance anyway", True),
        ("Wardens stay", False),
        ("next phase", False),
        ("Kiln Guard lost 2 wounds", False),
    ],
)
def test_only_what_may_be_tried_again_is_said_to_be_marked_then(tmp_path: Path, message: str, again: bool) -> None:
    with table(tmp_path, message) as app:
        for second in (again, False):  # what was said, and then the undo of it
            (reply,) = play(app, f"undo #{events(app)}")
            assert ("second try" in str(reply.blocks)) is second
            assert "it stays in the record" in str(reply.blocks)


@pytest.mark.parametrize(
    ("roll", "hint"), [("roll 10 attacks, hit 4+, S5 into T4, save 3+", "correct #1 T4"), ("dice 2d6", "show #1")]
)
def test_a_roll_outside_the_game_stays_and_how_a_mistake_is_noted_is_said(tmp_path: Path, roll: str, hint: str) -> None:
    with umpire(tmp_path) as app:
        play(app, roll)
        reply = say(app, "undo #1")
        assert "it stays in the record" in reply.title
        assert reply.machine["hint"] == hint
