"""The smallest pieces: one spelling each, and a place in the message as typed."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.reading.atoms import Line
from bot.reading.beginnings import beginning, beginnings
from bot.reading.clause import Clause
from bot.reading.message import Message
from bot.reading.numbers import with_digits
from bot.reading.scan import TARGET_PART, WEAPON_PART
from bot.reading.synonyms import line_of


def line(text: str) -> Line:
    return line_of(Message(text), {})


@pytest.mark.parametrize(
    ("typed", "normal"),
    [
        ("hitting on fours", "hit on 4s"),
        ("4 +", "4+"),
        ("four-up", "4+"),
        ("4 up save", "4+ save"),
        ("a 3 or better", "a 3+"),
        ("4's", "4s"),
        ("D 6", "d6"),
        ("2 D6", "2 d6"),
        ("2D6 + 1", "2d6 + 1"),
        ("AP−1", "ap-1"),
        ("AP — 1", "ap - 1"),
        ("S5AP-1D2", "s5 ap-1 d2"),
        ("re-roll", "reroll"),
        ("Re rolling", "reroll"),
        ("14”", "14 inch"),
        ("14''", "14 inch"),
        ("14in", "14 inch"),
        ("14 in cover", "14 in cover"),
        ("ten-man squad", "10 model squad"),
        ("twice each", "2 times each"),
        ("twenty-four shots", "24 attack"),
        ("half a dozen", "6"),
        ("a dozen", "12"),
        ("hit: 4+", "hit 4+"),
        ("T4: 2 models", "t4 : 2 model"),
        ("w/ 5 models", "with 5 model"),
        ("S3 plus 1 model", "s3 plus 1 model"),
        ("3 plus save", "3+ save"),
        ("don’t", "don't"),
    ],
)
def test_every_way_of_typing_has_one_spelling(typed: str, normal: str) -> None:
    assert line(typed).text == normal


@pytest.mark.parametrize(
    ("word", "digits"), [("zero", "0"), ("one", "1"), ("seven", "7"), ("twelve", "12"), ("twenty", "20")]
)
def test_number_words_are_digits(word: str, digits: str) -> None:
    assert line(word).text == digits


@pytest.mark.parametrize("word", ["someone", "tenth", "often", "weight", "height", "nones"])
def test_a_number_inside_a_word_is_none(word: str) -> None:
    assert line(word).text == word


def test_a_place_is_that_of_the_words_as_typed() -> None:
    text = "  hitting on a FOUR or better, twenty five shots"
    found = line(text)
    assert [text[atom.start : atom.end] for atom in found.atoms] == [
        "hitting",
        "on",
        "a",
        "FOUR or better",
        ",",
        "twenty five",
        "shots",
    ]


@given(st.text(max_size=60))
def test_the_plain_text_is_as_long_as_the_message(text: str) -> None:
    assert len(Message(text).plain) == len(text)


@given(st.text(max_size=60) | st.text(alphabet="onetwfurfisxghd 2d6+-4.'\"", max_size=60))
def test_places_lie_in_the_message_in_order_and_apart(text: str) -> None:
    end = 0
    for atom in line(text).atoms:
        assert atom.start < atom.end <= len(text)
        if atom.text != "inch":
            assert atom.start >= end
        end = atom.end


@given(st.lists(st.sampled_from(["ten", "fours", "twice", "a", "dozen", "x", "4"]), max_size=8))
def test_the_origin_of_every_character_is_known(words: list[str]) -> None:
    text = " ".join(words)
    digits, origin = with_digits(text)
    places = [origin.place(at, at) for at in range(len(digits))]
    assert places == sorted(places)
    assert all(0 <= start < end <= len(text) for start, end in places)


@pytest.mark.parametrize(
    ("pattern", "starts"),
    [
        ("(?:hit|wound)s", {"hit", "wou"}),
        ("(?:a )?by", {"a b", "by "}),
        ("(?P<n>[0-9]+)xy", {"0xy"}),
        ("[1-9]?[0-9] d[0-9]+", {"0 d"}),
        ("[+-]?(?!z)qq", {"+qq", "-qq", "qq "}),
        ("(?:a?)?+(?:bz|(?:cd){0,2}dz)", {"abz", "adz", "acd", "bz ", "dz ", "cdc", "cdd"}),
        (r"\+a(?= |$)", {"+a "}),
        ("[0-9]+(?= (?:t|toughness) ?[0-9])", {"0 t"}),
    ],
)
def test_beginnings(pattern: str, starts: set[str]) -> None:
    assert beginnings(pattern) == starts


@pytest.mark.parametrize(
    ("text", "start"),
    [("10 models", "0 m"), ("s5, ap-1", "s0,"), ("4+", "0+ "), ("12345678901234567890 12", "0 0"), ("x", "x  ")],
)
def test_the_beginning_of_a_text(text: str, start: str) -> None:
    assert beginning(text, 0) == start


@given(st.sampled_from(WEAPON_PART.clauses + TARGET_PART.clauses), st.data())
def test_a_clause_never_matches_what_it_cannot_begin_with(clause: Clause, data: st.DataObject) -> None:
    text = data.draw(st.from_regex(re.compile(clause.source)))
    if clause.match(text, 0) is not None:
        assert beginning(text, 0) in clause.beginnings
