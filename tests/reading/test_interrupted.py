"""A look-up between a question of the umpire and its answer leaves the question open; an advance gets its move."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.app import App
from tests.conversation import say, umpire


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    with umpire(tmp_path) as app:
        yield app


@pytest.mark.parametrize("between", ["what is AP", "can I shoot after advancing?", "phase charge"])
def test_a_look_up_between_keeps_the_pending_message(app: App, between: str) -> None:
    assert say(app, "10 shots S4 into T4 save 3+").machine["missing"] == "hit"
    say(app, between)
    assert say(app, "4+").machine["read"] == "odds 10 attacks, hit 4+, S4, damage 1 into T4, save 3+, W1"


@pytest.mark.parametrize("still_open", ["advance", "reach from 15", "10 shots S4 into T4 save 3+"])
@pytest.mark.parametrize(
    ("question", "answer"),
    [("can I move and shoot", "yes"), ("can I shoot after advancing?", "no"), ("a 1 never hits, right?", "yes")],
)
def test_an_open_message_never_gets_into_a_question(app: App, still_open: str, question: str, answer: str) -> None:
    say(app, still_open)
    assert say(app, question).machine["answer"] == answer


def test_a_look_up_between_keeps_the_choices(app: App) -> None:
    assert say(app, "5 models with 10 attacks hit 4+ S4 into T4 save 3+").machine["kind"] == "choice"
    say(app, "what is AP")
    assert "with 10 attacks each" in say(app, "each").machine["read"]


def test_a_whole_answer_between_closes_the_question(app: App) -> None:
    say(app, "10 shots S4 into T4 save 3+")
    say(app, "charge 9")
    assert say(app, "4+").machine["kind"] != "odds"


@pytest.mark.parametrize("answer", ["M6", "6", '6"'])
def test_an_advance_gets_its_move_afterwards(app: App, answer: str) -> None:
    assert say(app, "advance").machine["move"] is None
    assert say(app, answer).machine["read"] == "advance with M6"


def test_a_strength_to_hit_a_toughness_is_told_as_the_wound_roll(app: App) -> None:
    reply = say(app, "what do I need to hit a T6 guy with S5")
    assert reply.machine["check"] == "wound"
    assert reply.machine["target"] == 5
    assert any("wound roll" in str(block) for block in reply.blocks)
