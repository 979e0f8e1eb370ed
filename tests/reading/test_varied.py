"""The last attack with something of it changed: what is said replaces what stood there, and nothing is guessed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bot.content import load_rulesets
from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context

FRESH = Context(ruleset=load_rulesets()["standard"])
LAST = "odds 10 attacks, hit 4+, S4, AP-1 into T4, save 3+, W2, 5 models"
EACH = "odds 5 models with 2 attacks each, hit 3+, S4 into T4, save 4+"


def after(last: str) -> Context:
    return replace(FRESH, memory={"last": last})


@pytest.mark.parametrize(
    ("last", "message", "whole"),
    [
        (LAST, "what about S5?", "odds 10 attacks, hit 4+, S5, AP-1 into T4, save 3+, W2, 5 models"),
        (LAST, "and in cover?", "odds 10 attacks, hit 4+, S4, AP-1 into T4, save 3+, W2, 5 models, cover"),
        (LAST, "same but 20 shots", "odds 20 attacks, hit 4+, S4, AP-1 into T4, save 3+, W2, 5 models"),
        (LAST, "and against T3 5+ save?", "odds 10 attacks, hit 4+, S4, AP-1 into T3, save 5+, W2, 5 models"),
        (LAST, "what if I had +1 to hit", f"{LAST}, +1 to hit"),
        (LAST, "make it damage 2", "odds 10 attacks, hit 4+, S4, AP-1, damage 2 into T4, save 3+, W2, 5 models"),
        (EACH, "what about 3 shots each", "odds 5 models with 3 attacks each, hit 3+, S4 into T4, save 4+"),
        (EACH, "how about 20 shots instead", "odds 20 attacks, hit 3+, S4 into T4, save 4+"),
        (f"{LAST}, cover", "and not in cover", LAST),
        (LAST, "what if it was 8 models", "odds 10 attacks, hit 4+, S4, AP-1 into T4, save 3+, W2, 8 models"),
        (LAST, "what if there were 8 models?", "odds 10 attacks, hit 4+, S4, AP-1 into T4, save 3+, W2, 8 models"),
    ],
)
def test_what_is_said_replaces_what_stood_there(last: str, message: str, whole: str) -> None:
    assert read(message, after(last)) == read(whole, FRESH)


@pytest.mark.parametrize(("message", "count"), [("what about 10 models", 2), ("how about 3+", 2)])
def test_a_number_of_either_side_is_asked_about(message: str, count: int) -> None:
    with pytest.raises(Unsure) as unsure:
        read(message, after(EACH))
    assert len(unsure.value.choices) == count


@pytest.mark.parametrize(
    ("message", "missing"),
    [("in melee 10 attacks hit 3+ S5 into save 3+", "toughness"), ("against T4, 10 attacks hit 3+ S5", "save")],
)
def test_an_attack_of_its_own_borrows_nothing_from_the_last(message: str, missing: str) -> None:
    with pytest.raises(Misread) as misread:
        read(message, after(LAST))
    assert misread.value.missing == missing


@pytest.mark.parametrize("message", ["what about cover?", "what about charging?", "what if we advance?"])
def test_a_question_about_the_rules_stays_one(message: str) -> None:
    context = replace(after(LAST), is_term=lambda words: words == "cover")
    assert read(message, context) == read(message, replace(FRESH, is_term=context.is_term))


def test_of_several_weapon_groups_the_change_must_be_said_whole() -> None:
    two = "odds 10 attacks, hit 4+, S4 plus 2 attacks, hit 3+, S8 into T4, save 3+"
    with pytest.raises(Misread):
        read("what about S5", after(two))
