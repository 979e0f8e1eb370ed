"""One message makes one request: a second one in it is asked about or complained of, never passed over."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.content import load_rulesets
from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from tests.conversation import say, umpire

TERMS = ("AP", "save", "cover")
CONTEXT = Context(ruleset=load_rulesets()["standard"], is_term=lambda words: words.strip(" ?") in TERMS)
TEN = "roll 10 shots, hit 4+, S5 into T4, save 3+"


@pytest.mark.parametrize(
    "between", ["\n", " and ", " then ", ". ", ", and then ", " ", "\nPlease, ", "\nthanks!\n"], ids=ascii
)
def test_a_second_roll_in_the_same_words_is_pointed_at(between: str) -> None:
    with pytest.raises(Misread, match="one thing at a time") as caught:
        read(f"{TEN}{between}{TEN}", CONTEXT)
    start = len(TEN) + len(between)
    assert caught.value.at == (start, start + 4)
    assert caught.value.hint == TEN


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (TEN, TEN.replace("10", "12")),
        (TEN, "odds 12 shots, hit 4+, S5 into T4, save 3+"),
        (TEN, "roll 2d6"),
        ("what is AP", "what is save"),
        ("what is AP?", "can I shoot after advancing?"),
        ("charge 9", "charge 8"),
        ("show #3", "show #4"),
    ],
)
def test_two_requests_on_two_lines_are_a_choice(first: str, second: str) -> None:
    with pytest.raises(Unsure, match="One thing at a time") as caught:
        read(f"{first}\n{second}", CONTEXT)
    assert caught.value.choices == (first, second)


def test_politeness_before_it_is_passed_over() -> None:
    with pytest.raises(Unsure) as caught:
        read("ok, please roll 2d6 and then roll 3d6", CONTEXT)
    assert caught.value.choices == ("roll 2d6", "roll 3d6")


@pytest.mark.parametrize(
    ("message", "choices"),
    [
        ("what is AP? Can I shoot after advancing?", ("what is AP?", "Can I shoot after advancing?")),
        ("what is AP and what is save", ("what is AP", "what is save")),
        ("can I charge after advancing, and what is cover?", ("can I charge after advancing", "what is cover?")),
        ("what is AP, what is save, what is cover", ("what is AP", "what is save", "what is cover")),
        (
            "what is AP, can I shoot after advancing, how far is a charge?",
            ("what is AP", "can I shoot after advancing", "how far is a charge?"),
        ),
        (
            "what does S5 need against T4? what is AP? can I shoot after advancing?",
            ("what does S5 need against T4?", "what is AP?", "can I shoot after advancing?"),
        ),
        (
            "what does S5 need against T4? what does S5 need against T5?",
            ("what does S5 need against T4?", "what does S5 need against T5?"),
        ),
        (
            "can I charge after shooting, and shoot after advancing?",
            ("can i charge after shooting", "can i shoot after advancing"),
        ),
    ],
)
def test_several_questions_on_one_line_are_a_choice(message: str, choices: tuple[str, ...]) -> None:
    with pytest.raises(Unsure) as caught:
        read(message, CONTEXT)
    assert caught.value.choices == choices


@pytest.mark.parametrize(
    "text",
    [
        "roll 10 dice\nroll hits on 4+\nS5 into T4\n3+ save",
        "Please roll: 10 shots hit 4+\nS5 into T4 save 3+\nplease roll that",
        "can you roll 10 shots, 4+ to hit, S5 into T4 3+ save?",
        "roll 10 shots, hit roll 4+, S5 into T4, save 3+",
    ],
)
def test_a_verb_that_belongs_to_the_attack_is_no_second_request(text: str) -> None:
    assert str(read(text, CONTEXT)).startswith("roll 10 attacks, hit 4+, S5")


@pytest.mark.parametrize("text", ["needs S5 against T4\nneeds save 3+", "what is that?\nwhat is AP", "charge 9?!?"])
def test_what_is_one_matter_is_answered(text: str) -> None:
    read(text, CONTEXT)


def test_a_choice_is_taken_by_its_number(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        assert say(app, "what is AP\nwhat is a save roll").kind == "choice"
        assert say(app, "1").title.startswith("Armour penetration")
        assert say(app, f"{TEN}\nroll 2d6").kind == "choice"
        assert app.house.ledger.entries("low-ferry") == []
        assert say(app, "2").kind == "dice"


@pytest.mark.parametrize("text", ["\u202a", " \u200b\n", ""])
def test_nothing_is_nothing(text: str) -> None:
    with pytest.raises(Misread, match="nothing to read"):
        read(text, CONTEXT)


@pytest.mark.parametrize("more", ["what does it do?", "can you explain?", "may I ask"])
def test_a_question_about_the_same_thing_is_no_second_one(more: str) -> None:
    assert "AP" in str(read(f"what is AP, {more}", CONTEXT))


def test_the_other_questions_stay_open_behind_the_answer_to_one(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        assert say(app, "what is AP, what is cover, what is a charge").offers[2] == "what is a charge"
        assert say(app, "1").title.startswith("Armour penetration")
        assert say(app, "2").title.startswith("Cover")
