"""The reading held next to the message: which words gave which clause."""

from __future__ import annotations

from dataclasses import replace

from bot.content import load_rulesets
from bot.reading import read
from bot.reading.context import Context
from bot.reading.trace import beside
from bot.requests.attack import Compare, Odds

CONTEXT = Context(ruleset=load_rulesets()["standard"])


def held(text: str) -> dict[str, str]:
    request = read(text, CONTEXT)
    assert isinstance(request, Odds | Compare)
    return {clause: words for words, clause in beside(text, request.trace)}


def test_every_clause_is_beside_its_words() -> None:
    text = "squad of five shooting twice each, Fours to hit, str 5, ap2, d3 vs toughness 4, three up save, 2W each"
    assert held(text) == {
        "5 models": "squad of five",
        "2 attacks": "shooting twice each",
        "each": "shooting twice each",
        "hit 4+": "Fours to hit",
        "S5": "str 5",
        "AP-2": "ap2",
        "damage d3": "d3",
        "T4": "toughness 4",
        "save 3+": "three up save",
        "W2": "2W each",
    }


def test_a_bare_number_is_beside_what_it_was_read_as() -> None:
    text = "10 shots 4+ S5 into T4 3+"
    assert held(text)["hit 4+"] == "4+"
    assert held(text)["save 3+"] == "3+"


def test_effects_and_ranges_are_beside_their_words() -> None:
    text = (
        '7 shots within half range, 30" range, double shots at half range, auto hits, S4, '
        "sixes to wound pierce vs T4 3+"
    )
    told = held(text)
    assert told["within half range"] == "within half range"
    assert told["range 30"] == '30" range'
    assert told["half range double attacks"] == "double shots at half range"
    assert told["auto hit"] == "auto hits"
    assert told["critical wounds pierce"] == "sixes to wound pierce"


def test_the_places_are_no_part_of_what_is_asked() -> None:
    request = read("10 shots 4+ S5 into T4 3+", CONTEXT)
    assert isinstance(request, Odds)
    assert request == replace(request, trace=(), notes=("anything",))


def test_a_comparison_keeps_the_words_of_every_option() -> None:
    text = "compare 10 shots 4+ S5 into T4 3+ or 5 attacks 3+ S8 into T4 3+"
    request = read(text, CONTEXT)
    assert isinstance(request, Compare)
    assert ("10 shots", "10 attacks") in beside(text, request.trace)
    assert ("5 attacks", "5 attacks") in beside(text, request.trace)


def test_a_level_is_beside_its_words_and_those_that_ask_for_it() -> None:
    told = held("what's the chance of killing two or more with 10 shots 4+ S5 into T4 3+ save")
    assert told["at least 2 slain"] == "what's the chance of killing two or more"
