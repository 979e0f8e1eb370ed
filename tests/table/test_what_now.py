"""Asked in mid-game: whose turn, what is to be rolled, what next; told from the state and with what to type."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.app import App
from bot.reply import Reply
from tests.conversation import say, umpire
from tests.table.play import events, play, table

SHOOTING, CHARGE, FIGHT = (f"go to the {name} phase" for name in ("shooting", "charge", "fight"))
SEATED = ("sit with the Saltmarsh Wardens",)


def lines(reply: Reply) -> list[str]:
    return str(reply.machine["said"]).split("\n")


def seated(app: App) -> None:
    play(app, *SEATED)
    play(app, "sit with the Kiln Guard", who="Ben")


@pytest.mark.parametrize("question", ["what do I roll?", "how many dice do I need?", "which dice", "do I have to roll"])
def test_what_to_roll_is_told_for_the_phase(tmp_path: Path, question: str) -> None:
    with table(tmp_path) as app:
        seated(app)
        before = events(app)
        assert lines(say(app, question))[1:] == ["nothing is rolled now"]
        play(app, "go to the movement phase")
        assert lines(say(app, question))[1:] == ["an advance: d6, added to the move; I roll it when you say it"]
        play(app, SHOOTING)
        reply = say(app, question)
        assert lines(reply)[0] == "round 1 of 5, the Saltmarsh Wardens' shooting phase"
        assert lines(reply)[1].startswith("an attack: say who attacks whom")
        assert reply.offers == ("Wardens shoot", "Reed Runners shoot", "step by step Wardens shoot", "what now")
        play(app, CHARGE)
        assert lines(say(app, question))[1].startswith("a charge: 2d6, added up")
        other = lines(say(app, question, "Ben"))
        assert other[1:] == ["not your turn, Ben: it is the Saltmarsh Wardens' turn (Ada)", "nothing is rolled now"]
        assert events(app) == before + 3


def test_what_now_names_what_to_type_for_the_units_of_the_asker(tmp_path: Path) -> None:
    with table(tmp_path, "go to the movement phase", "Wardens advance", SHOOTING) as app:
        seated(app)
        assert say(app, "what now").offers == ("Reed Runners shoot", "next phase")
        play(app, FIGHT, "Reed Runners are engaged with the Ember Crew")
        assert say(app, "what now").offers == ("Reed Runners fight Ember Crew", "next phase")
        assert say(app, "what can my unit still do", "Ben").offers == ("Ember Crew fight Reed Runners", "where are we")


def test_units_of_the_other_side_are_promised_nothing_in_this_turn_but_the_fight(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        seated(app)
        reply = say(app, "what can my units still do?", "Ben")
        assert lines(reply)[1:4] == [
            "not your turn, Ben: it is the Saltmarsh Wardens' turn (Ada)",
            "Kiln Guard: later fight",
            "Ember Crew: later fight",
        ]


@pytest.mark.parametrize(
    ("question", "who", "said"),
    [
        ("is it my turn", "Ada", "yes: round 1"),
        ("am I next?", "Ben", "no: round 1"),
        ("is it the Kiln Guard's turn", "Ada", "no: round 1"),
        ("who is next", "Ada", "round 1"),
        ("is it my turn", "Cleo", "round 1"),
    ],
)
def test_whose_turn_it_is_is_told_with_whose_comes_next(tmp_path: Path, question: str, who: str, said: str) -> None:
    with table(tmp_path) as app:
        seated(app)
        told = lines(say(app, question, who))
        assert told[0].startswith(said)
        assert told[-1] == "the Saltmarsh Wardens' turn (Ada) now; then the Kiln Guard's turn (Ben)"


@pytest.mark.parametrize("question", ["what do I roll?", "what now", "is it my turn?", "where are we", "unit Wardens"])
def test_a_question_between_leaves_open_what_was_asked_back(tmp_path: Path, question: str) -> None:
    with table(tmp_path, SHOOTING) as app:
        assert say(app, "Reed Runners shoot the Ember Crew").machine["missing"] == "distance"
        say(app, question)
        assert say(app, "14").machine["read"] == "Reed Runners shoot Ember Crew at 14"


@pytest.mark.parametrize("question", ["what do I roll?", "what now", "is it my turn?", "what can my units do"])
def test_what_is_still_asked_of_the_asker_is_told_first(tmp_path: Path, question: str) -> None:
    with table(tmp_path, SHOOTING) as app:
        say(app, "Reed Runners shoot the Ember Crew")
        asked = "how far are the Reed Runners from the Ember Crew, in inches?"
        assert lines(say(app, question))[1] == f"still open: {asked} Type it, as in `at 14`."
        say(app, "never mind")
        assert "still open" not in say(app, question).machine["said"]
        say(app, "Reed Runners shoot")
        told = lines(say(app, question))
        assert told[1:4] == [
            "still open: whom do the Reed Runners shoot at?",
            "1. Reed Runners shoot Kiln Guard",
            "2. Reed Runners shoot Ember Crew",
        ]


@pytest.mark.parametrize("question", ["how many dice do I need?", "what do I roll", "what now"])
def test_without_a_table_what_is_asked_back_is_asked_again(tmp_path: Path, question: str) -> None:
    with umpire(tmp_path) as app:
        first = say(app, "roll 3 shots hitting on 4s, S4 into T4 3+ save with dice 6 4")
        again = say(app, question)
        assert (again.title, again.machine["missing"]) == (first.title, "dice")
        assert again.title == "1 more die to throw for the hit step, needing 4+"
        assert say(app, "dice 1").title == "2 more dice to throw for the wound step, needing 4+"


@pytest.mark.parametrize("question", ["how many dice do I need?", "which dice", "do I roll now?"])
def test_within_a_step_by_step_attack_the_handful_is_told_again(tmp_path: Path, question: str) -> None:
    with umpire(tmp_path) as app:
        say(app, "step by step 5 shots hitting on 4s, S4 into T4 3+ save")
        assert "To hit: pick up 5 dice." in say(app, question).machine["said"]


def test_what_a_step_by_step_attack_lacks_is_asked_for_and_it_stays_one(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        assert say(app, "step by step Reed Runners shoot").offers[0] == "step by step Reed Runners shoot Kiln Guard"
        assert say(app, "2").machine["missing"] == "distance"
        assert "pick up 10 dice" in say(app, "14").machine["said"]


def test_saves_are_the_umpires_to_roll(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        seated(app)
        said = lines(say(app, "do I roll my saves now?", "Ben"))
        assert said[-1] == "nothing is yours to roll: I roll the saves of your units with each attack on them"


def test_who_may_fight_in_the_others_turn_is_told_so(tmp_path: Path) -> None:
    with table(tmp_path, FIGHT, "Wardens are engaged with the Kiln Guard") as app:
        seated(app)
        said = lines(say(app, "is it my turn?", "Ben"))
        assert said[0].startswith("no: ")
        assert said[-1] == "but in this phase these of yours may act: Kiln Guard"
        assert say(app, "do I get to fight", "Ben").offers[0] == "Kiln Guard fight Wardens"


@pytest.mark.parametrize("question", ["can I undo that", "may we take that back?", "could I still undo it"])
def test_whoever_asks_whether_to_undo_undoes_nothing(tmp_path: Path, question: str) -> None:
    with table(tmp_path, "go to the movement phase", "Wardens move") as app:
        before = events(app)
        reply = say(app, question)
        assert (reply.kind, reply.offers) == ("choice", ("undo", "what is undo"))
        assert events(app) == before
