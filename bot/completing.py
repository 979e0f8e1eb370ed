"""Which of some texts somebody may be typing: what begins so, what has such words in this order, what is nearly so."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import cache
from typing import TypeVar

NEAR_ENOUGH = 66  # of 100; a suggestion may be rasher than a reading
_ABBREVIATED = 80
_SHORTEST = 3  # letters of a word that may be misspelt

T = TypeVar("T")


def completions(named: Iterable[tuple[str, T]], typed: str) -> list[T]:
    """The things whose names fit, the likeliest first; misspelt words count only where nothing fits otherwise."""
    said = " ".join(typed.lower().split())
    names = [(name.lower(), thing) for name, thing in named]
    same = [thing for name, thing in names if name == said]
    begins = [thing for name, thing in names if name.startswith(said)]
    words = [thing for name, thing in names if _fit(said, name, _begun)]
    return _unique([*same, *begins, *words] or _nearly(said, names))


def _nearly(said: str, names: list[tuple[str, T]]) -> list[T]:
    near = cache(_near)
    scored = [(_fit(said, name, near), thing) for name, thing in names]
    return [thing for _, thing in sorted((pair for pair in scored if pair[0]), key=lambda pair: -pair[0])]


def _fit(said: str, name: str, fits: Callable[[str, str], float]) -> float:
    """How well every word said fits a word of the name, in their order but for gaps; 0 if one fits none."""
    rest, whole = iter(_words(name)), 100.0
    for word in _words(said):
        best = next((score for score in (fits(word, other) for other in rest) if score), 0.0)
        if not best:
            return 0
        whole = min(whole, best)
    return whole


def _words(text: str) -> list[str]:
    return re.findall(r"[^\s\-/]+", text)


def _begun(word: str, other: str) -> float:
    return 100 * other.startswith(word)


def _near(word: str, other: str) -> float:
    """How near a typed word comes to another or to its beginning; both begin alike."""
    if other.startswith(word):
        return 100
    if len(word) < _SHORTEST or not word.isalpha() or word[0] != other[0]:
        return 0
    from rapidfuzz import fuzz  # only a word that is not known pays for loading it

    score = max(fuzz.ratio(word, other), fuzz.ratio(word, other[: len(word) + 1]))
    if score < NEAR_ENOUGH and _left_out(word, other):
        return _ABBREVIATED
    return score if score >= NEAR_ENOUGH else 0


def _left_out(word: str, other: str) -> bool:
    """Whether the word is the other with letters left out."""
    letters = iter(other)
    return all(letter in letters for letter in word)


def _unique(things: Iterable[T]) -> list[T]:
    return list(dict.fromkeys(things))
