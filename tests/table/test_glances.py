"""Plain questions at a table are answered in a line or three; the whole state is told by `where are we` alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.channels.paint import PHONE, plain
from bot.reply import Line, Reply
from tests.conversation import say
from tests.table.play import OPEN, play, table

SHOOTING = "go to the shooting phase"


def lines(reply: Reply) -> int:
    return 1 + sum(isinstance(block, Line) for block in reply.blocks)


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("what is the score?", "score: Saltmarsh Wardens 2, Kiln Guard 0"),
        ("score", "score: Saltmarsh Wardens 2, Kiln Guard 0"),
        ("who is winning?", "score: Saltmarsh Wardens 2, Kiln Guard 0"),
        ("what round is it?", "round 1 of 5, the Saltmarsh Wardens' shooting phase"),
        ("which phase are we in?", "round 1 of 5, the Saltmarsh Wardens' shooting phase"),
        ("how many rounds are left?", "round 1 of 5, the Saltmarsh Wardens' shooting phase"),
        ("my turn?", "round 1 of 5, the Saltmarsh Wardens' shooting phase"),
        ("how many did I lose?", "lost: Saltmarsh Wardens none, Kiln Guard none"),
        ("who goes first?", "the Saltmarsh Wardens go first, in every round"),
        ("what save do the Ember Crew have?", "Ember Crew: save 4+"),
        ("what is the Ember Crew's save", "Ember Crew: save 4+"),
        ("what save do the Kiln Guard have?", "Kiln Guard: hammers save 2+; captain save 2+, fixed save 4+"),
        ("what is the captain's save?", "captain (Kiln Guard): save 2+, fixed save 4+"),
        ("how far can the Ember Crew move?", 'Ember Crew: move 6"; an advance adds d6'),
        ("what is the toughness of the Kiln Guard?", "Kiln Guard: toughness 5"),
        ("what is the wounds characteristic of the Ember Crew", "Ember Crew: 2 wounds each"),
        (
            "what does the rifle do?",
            "rifle (Wardens): 1 attack, hit 4+, S4, damage 1, range 30, half range +1 attack",
        ),
        ("what is the hammer", "hammer (Kiln Guard): 3 attacks, melee, hit 3+, S6, AP-1, damage 2"),
        (
            "how far does the rifle shoot?",
            "rifle (Wardens): 1 attack, hit 4+, S4, damage 1, range 30, half range +1 attack",
        ),
    ],
)
def test_a_plain_question_gets_a_short_answer(tmp_path: Path, question: str, answer: str) -> None:
    with table(tmp_path, SHOOTING, "score Wardens 2") as app:
        reply = say(app, question, "Ben")
        assert reply.title == answer
        assert lines(reply) <= 3
        assert len(plain(reply, PHONE).splitlines()) <= 6


def test_the_last_round_is_called_so(tmp_path: Path) -> None:
    with table(tmp_path, "end round", "end round", "end round", "end round") as app:
        assert "it is the last round" in say(app, "what round is it?").machine["said"]
        play(app, "end round")
        assert say(app, "how many rounds are left?").title == "the game is over after 5 rounds"


def test_before_the_roll_off_nobody_goes_first_for_certain(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        play(app, "close table", OPEN)
        reply = say(app, "who goes first?")
        assert reply.title == "the first turn is not rolled off yet"
        assert reply.offers[0] == "roll off for the first turn"


@pytest.mark.parametrize("question", ["what is a save", "what is the range", "what is a captain?"])
def test_what_names_nothing_on_the_table_is_looked_up(tmp_path: Path, question: str) -> None:
    with table(tmp_path) as app:
        assert say(app, question).kind in ("entry", "choice")


def test_what_stands_on_no_card_is_said(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        assert say(app, "what is the range of the hammer?").title == "no range stands on that card"


def test_the_whole_state_stays_where_it_is_asked_for(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        assert lines(say(app, "where are we")) > 6


def test_losses_are_counted_by_sides_and_units(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        play(app, "Wardens have 7 models left")
        reply = say(app, "what have I lost?")
        assert reply.title == "lost: Saltmarsh Wardens 3 models, Kiln Guard none"
        assert "Wardens: 3 of 10 lost" in reply.machine["said"]


def test_what_just_happened_is_the_last_entry(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        play(app, "score Wardens 2")
        assert say(app, "what just happened?").title == say(app, "show last").title
