"""Number words as digits ("four" is 4, "fours" 4s, "twice" 2 times, "6½" 6.5), every character keeping its origin."""

from __future__ import annotations

import re
from bisect import bisect_right

_SMALL = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]

VALUES: dict[str, int] = {
    **{word: value for value, word in enumerate(_SMALL)},
    **{word: 20 + 10 * place for place, word in enumerate(_TENS)},
    "dozen": 12,
    "hundred": 100,
    "single": 1,
}
TIMES = {"once": "1 times", "twice": "2 times", "thrice": "3 times"}
_MANY = {"ones": 1, "twos": 2, "threes": 3, "fours": 4, "fives": 5, "sixes": 6, "sevens": 7, "eights": 8}
_MANY |= {"nines": 9, "tens": 10, "elevens": 11, "twelves": 12}

_FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75}
_UNITS = "|".join(sorted(_SMALL, key=len, reverse=True))

# "two d six" are dice; behind the name of a statistic the number is its own: "AP one d six".
_NO_STAT = "".join(rf"(?<!{name} )" for name in (
    "strength", "str", "toughness", "ap", "penetration", "minus", "damage", "dmg", "skill", "range", "save", "at", "on",
    "s", "t", "w", "wounds", "wound", "armour",
))  # fmt: skip

_WORD = re.compile(
    rf"\b(?:(?P<mixed>(?P<whole>[0-9]*) ?(?P<part>[{''.join(_FRACTIONS)}]))"
    rf"|(?P<halves>(?P<base>[0-9]+|{'|'.join(_TENS)}|{_UNITS}) and (?:a|1) half(?= ?(?:\"|''|inch|in\b|away|[?.!,]|$)))"
    rf"|(?P<dice>{_NO_STAT}(?P<count>{_UNITS}) d ?(?P<sides>[0-9]+|{_UNITS}))"
    r"|(?P<half>half an? dozen)|(?P<pair>(?:an? )?(?:couple|pair) of)"
    rf"|(?:an? )?(?P<round>dozen|hundred)"
    rf"|(?P<tens>{'|'.join(_TENS)})(?:[ -](?P<unit>{'|'.join(_SMALL[1:10])}))?"
    rf"|(?P<many>{'|'.join(_MANY)})"
    rf"|(?P<times>{'|'.join(TIMES)})"
    rf"|(?P<small>{_UNITS}|single))\b"
)


class Origin:
    """Where each character of a rewritten text came from. Unchanged stretches are not spelled out."""

    def __init__(self) -> None:
        self._starts: list[int] = [0]  # of stretches, in the rewritten text
        self._from: list[tuple[int, int | None]] = [(0, None)]  # start, and the end if the stretch was rewritten

    def rewritten(self, at: int, size: int, start: int, end: int) -> None:
        """Note that `size` characters at `at` stand for the piece from start to end."""
        self._starts += at, at + size
        self._from += (start, end), (end, None)

    def place(self, first: int, last: int) -> tuple[int, int]:
        """The place in the text as typed of the rewritten characters from `first` to `last` (included)."""
        if len(self._starts) == 1:
            return first, last + 1
        return self[first][0], self[last][1]

    def __getitem__(self, at: int) -> tuple[int, int]:
        row = bisect_right(self._starts, at) - 1
        start, end = self._from[row]
        if end is not None:
            return start, end
        here = start + at - self._starts[row]
        return here, here + 1


def _digits(match: re.Match[str]) -> str:
    word = match[match.lastgroup or 0]
    if match["mixed"]:
        return f"{int(match['whole'] or 0) + _FRACTIONS[match['part']]:g}"
    if match["halves"]:
        base = match["base"]
        return f"{int(base) if base.isdigit() else VALUES[base]}.5"
    if match["dice"]:
        return f"{VALUES[match['count']]}d{VALUES.get(match['sides'], match['sides'])}"
    if match["half"]:
        return "6"
    if match["pair"]:
        return "2"
    if match["tens"]:
        return str(VALUES[match["tens"]] + (VALUES[match["unit"]] if match["unit"] else 0))
    if match["many"]:
        return f"{_MANY[word]}s"
    return TIMES[word] if match["times"] else str(VALUES[word])


def with_digits(plain: str) -> tuple[str, Origin]:
    """The text with digits for number words, and where each of its characters came from."""
    pieces: list[str] = []
    origin = Origin()
    done = size = 0
    for match in _WORD.finditer(plain):
        start, end = match.span()
        digits = _digits(match)
        size += start - done
        origin.rewritten(size, len(digits), start, end)
        size += len(digits)
        pieces += plain[done:start], digits
        done = end
    return "".join((*pieces, plain[done:])), origin
