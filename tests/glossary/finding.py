"""Numbers in a text, and values in the machine form of an answer: how an example is held to what it says."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

# Spelled numbers are figures too, save "one" and "two", mostly plain words ("one idea", "two dice").
WORDS = ("three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_SHARE = re.compile(r"\b(one|two) (?=(?:[a-z]+ )?in (?:\d|" + "|".join(WORDS) + "))")
_NUMBER = re.compile(
    r"(?P<top>\d+)(?:/|(?: [a-z]+)? (?:in|of) )(?P<below>\d+)"
    r"|(?P<percent>\d+(?:\.\d+)?)%"
    r"|(?<![\d.])(?P<plain>\d+(?:\.\d+)?)"
)
# Properties of the die, not figures of an example.
_CONSTANTS = re.compile(
    r"natural [16]\b|re-?roll(?:ing|ed)? 1s|\b\d?d[36]\b|six-sided|six faces|one to three", re.IGNORECASE
)


def value_at(machine: Any, path: str) -> Any:
    """What stands at a dotted path; "2+" or "2-" at its end adds up a distribution from or up to there."""
    *way, last = path.split(".")
    for part in way:
        machine = _item(machine, part)
    if last[-1] not in "+-":
        return _item(machine, last)
    edge, upward = int(last[:-1]), last[-1] == "+"
    ends = (share for place, share in _places(machine) if place == edge or (place > edge) == upward)
    return sum(map(number, ends), Fraction())


def _item(machine: Any, part: str) -> Any:
    return machine[int(part)] if isinstance(machine, list) else machine[part]


def _places(distribution: Any) -> Iterator[tuple[int, Any]]:
    if isinstance(distribution, list):
        return enumerate(distribution)
    return ((int(place), share) for place, share in distribution.items())


def number(value: Any) -> Fraction:
    """A number of the machine form: 2.5, "5/18", "4+", a count."""
    if isinstance(value, str):
        return Fraction(value.removesuffix("+"))
    return Fraction(value)


def agrees(value: Any, written: str) -> bool:
    """Whether a value is what was written: a fraction or whole number exactly, a decimal to its digits."""
    if written.endswith("+"):
        return bool(value == written)
    if written.endswith("%"):
        return _rounds_to(number(value) * 100, written[:-1])
    if "." in written:
        return _rounds_to(number(value), written)
    return abs(number(value) - Fraction(written)) < Fraction(1, 10**9)


def _rounds_to(value: Fraction, written: str) -> bool:
    digits = len(written.partition(".")[2])
    return abs(value - Fraction(written)) <= Fraction(1, 2 * 10**digits) + Fraction(1, 10**9)


def numbers_in(text: str) -> list[str]:
    """Every number of a text as it would be written in an example."""
    text = _CONSTANTS.sub("", text)
    text = _SHARE.sub(lambda match: "1 " if match[1] == "one" else "2 ", text)
    for value, word in enumerate(WORDS, start=3):
        text = re.sub(rf"\b{word}\b", str(value), text, flags=re.IGNORECASE)
    return [_written(match) for match in _NUMBER.finditer(text)]


def _written(match: re.Match[str]) -> str:
    if match["top"]:
        return f"{match['top']}/{match['below']}"
    if match["percent"]:
        return f"{match['percent']}%"
    return str(match["plain"])
