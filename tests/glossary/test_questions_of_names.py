"""Questions that hold one name or two: told apart, written as one word, or asked with "meaning" and "work"."""

from __future__ import annotations

import pytest
from asking import machine

from bot.app import App
from bot.asked import Asked


@pytest.mark.parametrize(
    ("asked", "first", "second"),
    [
        ("difference between an advance and a charge", "advance", "charge"),
        ("what's the difference between a round and a turn?", "round", "turn"),
        ("turn vs round?", "turn", "round"),
        ("armour save vs fixed save, what's the difference", "armour save", "fixed save"),
    ],
)
def test_two_names_are_both_offered(adviser: App, asked: str, first: str, second: str) -> None:
    said = machine(adviser, asked, who=f"asks for {first}")
    assert said["kind"] == "choice"
    assert len(said["choices"]) == 2


@pytest.mark.parametrize(
    ("asked", "title"),
    [("fallback", "Falling back"), ("cut meaning", "Cut"), ("how does the wound roll work", "Wound roll")],
)
def test_a_name_is_found_in_everyday_words(adviser: App, asked: str, title: str) -> None:
    assert machine(adviser, asked)["title"] == title


@pytest.mark.parametrize("asked", ["D6", "d6", "d20", "2d6", "3D6+1"])
def test_dice_alone_are_reckoned_and_not_thrown(adviser: App, asked: str) -> None:
    reply = adviser.answer(Asked(asked, "Ann", "ferry"))
    assert (reply.kind, reply.title, reply.offers[0]) == ("dice odds", f"odds {asked.lower()}", f"dice {asked.lower()}")


def test_what_a_die_is_called_is_asked_about(adviser: App) -> None:
    assert len(machine(adviser, "what is d6")["choices"]) == 2


@pytest.mark.parametrize(
    ("asked", "needed"),
    [
        ("does S5 need a 4 to wound T4", "3+"),
        ("S4 into T5, do I wound on 4s?", "5+"),
        ("is it 2+ to wound with strength 5 against toughness 4", "3+"),
    ],
)
def test_a_number_that_is_asked_about_is_not_believed(adviser: App, asked: str, needed: str) -> None:
    assert needed in str(machine(adviser, asked))
