"""In a channel that opted in, a plain message is the umpire's if it opens with a verb, reads whole and is no talk."""

from __future__ import annotations

import pytest

from bot.content import load_rulesets
from bot.reading.context import Context
from bot.reading.opening import opens, stands_alone

CONTEXT = Context(ruleset=load_rulesets()["standard"], units=("Saltmarsh Wardens", "Kiln Guard"))


@pytest.mark.parametrize(
    "text",
    [
        "roll 10 attacks, hit 4+, S5 into T4, save 3+",
        "Odds 10 shots 4+ S5 into T4 3+",
        "charge 9",
        "dice 3d6+2",
        "roll 3d6",
        "next phase",
        "next phase please",
        "Next phase!",
        "end the phase",
        "end turn",
        "undo",
        "agreed #4",
        "why #12",
        "log",
        "what is cover?",
        "can I shoot after advancing?",
        "Kiln Guard move",
        "the Kiln Guard move 5 inches towards the ford",
        "Kiln Guard fall back",
        "Kiln Guard stay where they are",
        "Kiln Guard shoot the Saltmarsh Wardens at 10",
        "sit with the Kiln Guard",
        "chance of 9+ on 2d6",
        "was I lucky?",
        "luck of #17",
        "units of the Kiln Guard",
        "help",
        "help attacks",
        "Kiln Guard fight the Saltmarsh Wardens",
        "Kiln Guard charge the Saltmarsh Wardens",
        "step by step Kiln Guard shoot the Saltmarsh Wardens at 10",
        "step by step 10 attacks, hit 4+",
        "house rule: who fell back may not charge",
        "correct #3 T5",
        "compare 1 attack 4+ S5 into T4 3+ or 2 attacks 4+ S4 into T4 3+",
    ],
)
def test_a_verb_that_reads_completely_is_acted_on(text: str) -> None:
    assert opens(text, CONTEXT)


@pytest.mark.parametrize(
    "text",
    [
        "lovely weather today",
        "was I lucky with the lottery",
        "was it just bad luck",
        "chance of rain tomorrow",
        "Kiln Guard fight dirty lol",
        "Kiln Guard charge my phone please",
        "help me carry this",
        "step by step we get there",
        "house rule: loser buys",
        "units of beer lol",
        "10 attacks, hit 4+, S5 into T4, save 3+",
        "roll me over in the clover",
        "charge!!!",
        "roll 10 attacks, hit 4+",
        "odds are it rains",
        "log off will you",
        "cut the cake",
        "rules are rules",
        "sit down",
        "sit with us",
        "cut cake",
        "cut lantern",
        "back",
        "back!",
        "next please",
        "next",
        "rest",
        "close",
        "leave",
        "why",
        "why?",
        "agreed!",
        "agreed",
        "not agreed",
        "luck",
        "advance",
        "correct that",
        "rules lawyer",
        "load of rubbish",
        "luck of the Irish",
        "good game",
        "thanks",
        "ok",
        "it was in cover",
        "we disagree",
        "can I have a beer",
        "can you move your car?",
        "is it raining?",
        "what is that?",
        "what a roll",
        "Kiln Guard run away lol",
        "Kiln Guard move along, nothing to see here",
        "Kiln Guard move on to better things",
        "Kiln Guard charged!",
        "Kiln Guard attack!",
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


@pytest.mark.parametrize("text", ["agreed #4", "rest the table", "undo", "next phase", "end turn"])
def test_words_of_the_game_are_talk_where_no_table_is_open(text: str) -> None:
    assert not opens(text, Context(ruleset=CONTEXT.ruleset))


def test_what_was_left_open_before_does_not_make_talk_an_answer() -> None:
    memory = {"pending": "10 attacks hit 4+ S5 into T4, ‸", "missing": "save", "choices": ["charge 9", "charge 8"]}
    context = Context(ruleset=CONTEXT.ruleset, memory=memory)
    assert not opens("3+", context)
    assert not opens("2", context)


@pytest.mark.parametrize("text", ["back", "why", "agreed", "cut lantern", "Kiln Guard run away"])
def test_what_is_talk_among_people_is_a_message_of_its_own_to_the_umpire(text: str) -> None:
    assert stands_alone(text, CONTEXT)
