"""Plain questions at a table: each is the request whose canonical line stands beside it."""

from __future__ import annotations

import pytest

from bot.content import load_rulesets
from bot.reading import read
from bot.reading.context import Context

CONTEXT = Context(ruleset=load_rulesets()["standard"])


@pytest.mark.parametrize(
    "text",
    [
        "why did they need 5s to wound?",
        "why do I save on 4s",
        "why does it need a 5 to wound?",
        "so why 4+ to save?",
        "why is it 3+ to hit",
        "why do they hit on threes",
        "why do I need a 2+ save",
    ],
)
def test_why_a_number_is_needed_asks_for_the_reasons_of_the_attack_at_hand(text: str) -> None:
    assert str(read(text, CONTEXT)) == "why"


@pytest.mark.parametrize("text", ["why can't I save on a 7+", "why does a natural 1 always fail"])
def test_why_something_is_so_in_general_asks_for_the_rule(text: str) -> None:
    assert str(read(text, CONTEXT)) == f"{text}?"


@pytest.mark.parametrize("text", ["how do I play?", "how is this played", "how do we play this game?"])
def test_how_to_play_asks_for_help(text: str) -> None:
    assert str(read(text, CONTEXT)) == "help"
