"""What is described without its name: the nearest entries are offered, the best first, and nothing is made up."""

from __future__ import annotations

import pytest
from asking import machine

from bot.app import App
from bot.describing import bare, telling
from bot.glossary import Glossary

DESCRIBING = Glossary().describing
DESCRIBED = {
    "the save that AP can't make worse, how is it called": "fixed-save",
    "staying close to the other models of the same unit": "coherency",
    "my die is leaning on the terrain": "cocked-die",
    "that move where you go M plus a dice": "advance",
    "what do you call it when the gun gets more shots up close": "half-range-bonus",
    "the roll after damage to shrug off each point": "ignore-roll",
    "models put on the table before the game starts": "deployment",
    "taking back a move because you changed your mind": "take-back",
}


def test_the_best_entry_for_a_description_comes_first() -> None:
    found = {words: DESCRIBING.nearest(words)[0].id for words in DESCRIBED}
    assert found == DESCRIBED


def test_at_most_three_entries_are_near() -> None:
    assert 1 <= len(DESCRIBING.nearest("the wound of a model in a unit with a weapon and a save")) <= 3


@pytest.mark.parametrize("words", ["the weather tomorrow", "xyzzy", "", "what is it called", "?!"])
def test_words_that_describe_nothing_are_near_nothing(words: str) -> None:
    assert DESCRIBING.nearest(words) == ()


def test_a_message_that_asks_nothing_must_describe_the_more_plainly() -> None:
    assert DESCRIBING.nearest("putting the models on the table before the game starts", alone=True)
    assert not DESCRIBING.nearest("wardens shoot the kiln guard", alone=True)


def test_only_what_asks_is_taken_away_from_a_name() -> None:
    assert bare("sorry, what is the T on my stat card again") == "t"
    assert telling("What's a Fixed save?") == ["fixed", "save"]


def test_what_a_description_offers_leads_to_the_entry(adviser: App) -> None:
    choices = machine(adviser, "die leaning on the edge of the terrain, not flat")["choices"]
    assert machine(adviser, choices[0])["id"] == "cocked-die"
