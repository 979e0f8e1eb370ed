"""Loose names: the same, a part of the name, or nearly it; the best kind of match alone counts."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.naming import folded, matches, nearest, several, there
from tests.conversation import say
from tests.table.play import events, play, table

NAMES = ("Wardens", "Reed Runners", "Kiln Guard", "Ember Crew", "Ember Watch", "Squad 1", "Squad 12")


def meant(words: str) -> list[str]:
    return matches(words, [(name, name) for name in NAMES])


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("wardens", ["Wardens"]),
        ("the Warden's", ["Wardens"]),
        ("my warden", ["Wardens"]),
        ("kiln", ["Kiln Guard"]),
        ("guard", ["Kiln Guard"]),
        ("Guard Kiln", ["Kiln Guard"]),
        ("runers", ["Reed Runners"]),
        ("Kilm Guard", ["Kiln Guard"]),
        ("ember", ["Ember Crew", "Ember Watch"]),
        ("crew", ["Ember Crew"]),
        ("Squad 1", ["Squad 1"]),
        ("squad 12", ["Squad 12"]),
        ("squad", ["Squad 1", "Squad 12"]),
        ("Crew of the Ember", ["Ember Crew"]),
        ("kiln guard or", []),
        ("i wardens", []),
        ("reed hope runners", []),
        ("squad 2", []),
        ("goblins", []),
        ("the", []),
        ("", []),
        ("x", []),
    ],
)
def test_words_mean_the_names_that_they_fit_best(words: str, names: list[str]) -> None:
    assert meant(words) == names


def test_case_articles_marks_and_plurals_make_no_difference() -> None:
    assert folded("The  Reed-Runners'") == folded("reed runner")


def test_a_short_word_is_not_cut() -> None:
    assert folded("gas moss") == "gas moss"


def test_the_nearest_name_is_hinted() -> None:
    assert nearest("Kiln Gard", NAMES) == "Kiln Guard"
    assert nearest("anything", ()) is None


def test_names_that_and_or_a_comma_joins_are_several_only_if_each_is_one_of_its_own() -> None:
    assert several("Kiln Guard and the Ember Crew", NAMES) == ("Kiln Guard", "the Ember Crew")
    assert several("wardens, Kiln Guard", NAMES) == ("wardens", "Kiln Guard")
    assert several("Kiln Guard and goblins", NAMES) == several("Kiln Guard", NAMES) == ()
    assert several("Tom and Jerry", ("Tom and Jerry", "Wardens")) == ()


def test_a_complaint_tells_each_unit_by_its_plain_name() -> None:
    assert there(("Reed Runners", "Runners", "Wardens Reed Runners", "Wardens Runners")) == "Reed Runners"
    assert there(f"Squad {number}" for number in range(10)).endswith("Squad 7 …")


@pytest.mark.parametrize(
    "message",
    [
        "Kiln Guard but not Ember Crew shoot Wardens at 9",
        "Kiln Guard banana Ember Crew move",
        "odds Kiln Guard banana Ember Crew shoot Wardens at 9",
        "note Kiln Guard banana Ember Crew moved",
        "Kiln Guard banana Ember Crew lost 2 wounds",
        "Kiln Guard banana Ember Crew are engaged",
        "unit Kiln Guard banana Ember Crew",
        "can Kiln Guard banana Ember Crew shoot",
        "Saltmarsh Wardens hope the Reed Runners advance",
    ],
)
def test_other_words_within_a_name_make_it_nobodys(message: str, tmp_path: Path) -> None:
    with table(tmp_path) as app:
        told = say(app, message).machine
        assert told["kind"] == "misread"
        assert told["message"].startswith("no unit on this table is called")
        assert told["message"].endswith("there are Wardens, Reed Runners, Kiln Guard, Ember Crew")


@pytest.mark.parametrize("joined", ["Wardens and Reed Runners", "Wardens, Reed Runners", "Wardens & Reed Runners"])
@pytest.mark.parametrize("rest", ["advance", "shoot Kiln Guard at 14", "charge Kiln Guard from 5", "lost 2 wounds"])
def test_two_units_are_asked_about_one_at_a_time(joined: str, rest: str, tmp_path: Path) -> None:
    with table(tmp_path) as app:
        told = say(app, f"{joined} {rest}").machine
        assert told["choices"] == [f"Wardens {rest}", f"Reed Runners {rest}"]


@pytest.mark.parametrize(
    "name",
    ["Kiln Guard Ember Crew", "Kiln Guard's Ember Crew", "Ember Crew of the Kiln Guard", "Kiln Guard: Ember Crew"],
)
def test_a_side_may_stand_at_a_units_name(name: str, tmp_path: Path) -> None:
    with table(tmp_path) as app:
        assert say(app, f"{name} lost 2 wounds").machine["said"] == "by hand: Ember Crew lost 2 wounds"


@pytest.mark.parametrize(
    "message",
    [
        "forget me",
        "agreed",
        "undo that",
        "leave",
        "rest",
        "Kiln Guard lost 2 wounds",
        "score Kiln Guard 3",
        "house rule: no running",
        "explain off",
        "first turn Kiln Guard",
        "close table",
    ],
)
def test_a_question_does_nothing_of_what_it_asks_about(message: str, tmp_path: Path) -> None:
    with table(tmp_path) as app:
        before = events(app)
        assert say(app, f"{message}?").machine["choices"][0] == message
        assert events(app) == before


SHOOTING = "go to the shooting phase"


@pytest.mark.parametrize(
    ("message", "choices"),
    [
        ("the punt gunner shoots the Kiln Guard at 14", ("Wardens shoot Kiln Guard at 14", "punt gun")),
        ("rifles shoot Kiln Guard at 20", ("Wardens shoot Kiln Guard at 20", "rifle")),
        ("the gunner shoots at the Ember Crew at 14", ("Wardens shoot Ember Crew at 14", "punt gun")),
        ("the punt gun fires at Kiln Guard at 14", ("Wardens shoot Kiln Guard at 14", "punt gun")),
        ("odds reeve fights the Kiln Guard", ("odds Wardens fight Kiln Guard", "sabre")),
        ("Wardens shoot the captain at 14", ("Wardens shoot Kiln Guard at 14", None)),
        ("odds Wardens charge the captain from 9", ("odds Wardens charge Kiln Guard from 9", None)),
        ("reeve charges the Kiln Guard from 7", ("Wardens charge Kiln Guard from 7", None)),
        ("reeve moves", ("Wardens move", None)),
        ("captain has lost 2 wounds", ("Kiln Guard lost 2 wounds of captain", None)),
    ],
)
def test_a_model_or_weapon_named_for_its_unit_is_told_whose_it_is(
    tmp_path: Path, message: str, choices: tuple[str, str | None]
) -> None:
    whole, weapon = choices
    with table(tmp_path, SHOOTING) as app:
        before = events(app)
        reply = say(app, message)
        assert reply.kind == "choice", reply.machine
        assert reply.offers == ((whole,) if weapon is None else (whole, f"{whole} with {weapon}"))
        assert "Wardens" in reply.title or "Kiln Guard" in reply.title
        assert events(app) == before


def test_the_choice_of_a_model_is_played_with_its_weapons_alone(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        say(app, "the punt gunner shoots the Kiln Guard at 14")
        reply = say(app, "2")
        assert reply.machine["read"] == "Wardens shoot Kiln Guard at 14 with punt gun"
        assert len(reply.machine["faces"]) == 1


@pytest.mark.parametrize(
    "question", ["is the captain alive", "is my captain still alive?", "how is the captain", "who is the captain"]
)
def test_a_question_about_a_model_is_answered_by_its_unit(tmp_path: Path, question: str) -> None:
    with table(tmp_path) as app:
        assert "captain: 1 of 1 left" in say(app, question).machine["said"]
        play(app, "Kiln Guard lost 2 wounds of captain")
        assert "captain: 1 of 1 left, one has lost 2" in say(app, question).machine["said"]
        play(app, "Kiln Guard lost 3 wounds of captain")
        assert "captain: none left" in say(app, question).machine["said"]


def test_whether_a_model_may_is_whether_its_unit_may_while_the_model_is_left(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        reply = say(app, "can the reeve shoot?")
        assert (reply.machine["answer"], reply.title) == ("yes", "can the Wardens shoot?")
        assert "the reeve is in the Wardens" in str(reply.blocks)
        play(app, "Wardens lost 3 wounds of reeve")
        assert (say(app, "can the reeve shoot?").machine["answer"]) == "no"
        assert (say(app, "can the reeve shoot and charge?").machine["answer"]) == "no"
        assert (say(app, "can the Wardens shoot?").machine["answer"]) == "yes"


@pytest.mark.parametrize("question", ["what is a captain?", "can rifles shoot after advancing?"])
def test_the_general_question_about_a_kind_of_model_stays_one(tmp_path: Path, question: str) -> None:
    with table(tmp_path) as app:
        assert say(app, question).kind in ("entry", "ruling")


def test_a_unit_called_like_a_model_is_the_unit(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        assert say(app, "runners shoot the Ember Crew at 16").machine["read"].startswith("Reed Runners shoot")


def test_one_of_two_units_is_offered_without_a_second_article(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        offers = say(app, "can the Wardens and the Runners move").offers
        assert offers == ("can the Wardens move", "can the Runners move")
