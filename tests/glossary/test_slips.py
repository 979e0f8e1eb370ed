"""A slip of the finger loses an answer at worst: it never turns a no into a yes or a yes into a no."""

from __future__ import annotations

import re
from random import Random

import pytest
from asking import cases, machine, told

from bot.app import App
from bot.glossary import Glossary
from bot.questions.typos import put_right

EVERY = 5
LEXICON = Glossary().lexicon
# Each key with the ones beside it, on the rows of the usual keyboard.
ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
BESIDE = {key: row[max(0, at - 1) : at] + row[at + 1 : at + 2] for row in ROWS for at, key in enumerate(row)}
QUESTIONS = [(question, answer) for _, question, answer in cases()[::EVERY] if answer in ("yes", "no")]


def slipped(word: str, random: Random) -> str:
    """The word with two letters swapped, one doubled, one left out, or the key beside one."""
    at = random.randrange(len(word) - 1)
    here, rest = word[at], word[at + 1 :]
    ways = (rest[0] + here + rest[1:], here + here + rest, rest, BESIDE[here][0] + rest)
    return word[:at] + random.choice(ways)


def misspelt(question: str, random: Random) -> str:
    """The question with a slip in one of its longer words that makes no other word of it."""
    words = [word for word in re.findall(r"\b[a-z]{4,}\b(?!')", question) if word[0] in BESIDE]
    if not words:
        return question
    word = random.choice(words)
    slip = slipped(word, random)
    another = LEXICON.form(slip) is not None or slip in LEXICON.lookalikes
    return question if another else re.sub(rf"\b{word}\b", slip, question, count=1)


def test_a_slip_never_turns_an_answer(adviser: App) -> None:
    random = Random(20261125)
    read = [(misspelt(question, random), answer) for question, answer in QUESTIONS]
    answers = [(question, answer, told(machine(adviser, question))) for question, answer in read]
    turned = [row for row in answers if row[2] in ("yes", "no") and row[2] != row[1]]
    assert not turned
    assert sum(row[1] == row[2] for row in answers) > 0.75 * len(answers)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("cna i", "can i"),
        ("befroe", "before"),
        ("shoudl", "should"),
        ("aftr", "after"),
        ("it is to far", "it is too far"),
    ],
)
def test_slips_in_small_words_are_put_right(typed: str, meant: str) -> None:
    assert put_right(typed) == meant


@pytest.mark.parametrize("word", ["form", "then", "than", "three", "were", "cold", "man", "who", "how", "saw"])
def test_a_word_of_its_own_is_left_as_it_stands(word: str) -> None:
    assert put_right(word) == word


@pytest.mark.parametrize("word", ["unarmoured", "nonfixed", "wave", "light", "shop"])
def test_a_word_that_means_something_else_is_never_taken_for_ours(word: str) -> None:
    assert LEXICON.mend(word) is None


def test_a_word_that_may_be_several_is_mended_to_none() -> None:
    assert LEXICON.mend("wond") is None or len(LEXICON.candidates("wond")) == 1
    assert LEXICON.mend("shoo") is None
