"""In a channel that opted in, a plain message is the umpire's only if it opens with a verb and reads completely."""

from __future__ import annotations

import pytest

from bot.content import load_rulesets
from bot.reading.context import Context
from bot.reading.opening import opens

CONTEXT = Context(ruleset=load_rulesets()["standard"], units=("Saltmarsh Wardens", "Kiln Guard"))


@pytest.mark.parametrize(
    "text",
    [
        "roll 10 attacks, hit 4+, S5 into T4, save 3+",
        "Odds 10 shots 4+ S5 into T4 3+",
        "charge 9",
        "dice 3d6+2",
        "roll 3d6",
        "cut lantern",
        "next phase",
        "log",
        "compare 1 attack 4+ S5 into T4 3+ or 2 attacks 4+ S4 into T4 3+",
    ],
)
def test_a_verb_that_reads_completely_is_acted_on(text: str) -> None:
    assert opens(text, CONTEXT)


@pytest.mark.parametrize(
    "text",
    [
        "lovely weather today",
        "10 attacks, hit 4+, S5 into T4, save 3+",
        "roll me over in the clover",
        "charge!!!",
        "roll 10 attacks, hit 4+",
        "odds are it rains",
        "log off will you",
        "cut the cake",
        "rules are rules",
        "sit down",
        "reveal",
        "forget me",
        "yes",
        "2",
        "",
        "   ",
    ],
)
def test_table_talk_is_left_alone(text: str) -> None:
    assert not opens(text, CONTEXT)


@pytest.mark.parametrize("text", ["agreed", "rest", "undo", "next phase", "end turn"])
def test_words_of_the_game_are_talk_where_no_table_is_open(text: str) -> None:
    assert not opens(text, Context(ruleset=CONTEXT.ruleset))


def test_what_was_left_open_before_does_not_make_talk_an_answer() -> None:
    memory = {"pending": "10 attacks hit 4+ S5 into T4, ‸", "missing": "save", "choices": ["charge 9", "charge 8"]}
    context = Context(ruleset=CONTEXT.ruleset, memory=memory)
    assert not opens("3+", context)
    assert not opens("2", context)
