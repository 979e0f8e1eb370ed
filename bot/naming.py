"""Loose names: which of the names on the table a player's words may mean."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TypeVar

CLOSE_ENOUGH = 82
LONGEST_SAID = 60  # characters of a player's words that are worth saying again

T = TypeVar("T")


def folded(words: str) -> str:
    """A name as it is compared: lower case, without articles, marks and plural endings."""
    kept = re.findall(r"[^\W_]+", words.casefold().replace("'s ", " ").replace("’s ", " "))
    return " ".join(
        singular(word) for word in kept if word not in ("the", "my", "our", "their", "your", "a", "an")
    )


def singular(word: str) -> str:
    """A word without its plural ending, roughly; both sides of a comparison pass through here."""
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def clipped(words: str) -> str:
    """A player's words as an answer quotes them."""
    return words if len(words) <= LONGEST_SAID else f"{words[:LONGEST_SAID].rstrip()}…"


def possessive(name: str) -> str:
    """ "the Wardens'", "the Kiln Guard's"."""
    return f"the {name}'" if name.endswith("s") else f"the {name}'s"


def matches(words: str, names: Iterable[tuple[str, T]]) -> list[T]:
    """The things that the words may mean, by the best kind of match: the same, a part, or nearly the name."""
    known = [(folded(name), thing) for name, thing in names]
    said = folded(words)
    if not said:
        return []
    for fits in (_same, _part, _near):
        found = _unique(thing for name, thing in known if fits(said, name))
        if found:
            return found
    return []


def _same(said: str, name: str) -> bool:
    return said == name


def _part(said: str, name: str) -> bool:
    """Every word said begins a word of the name, in any order."""
    return all(any(word.startswith(part) for word in name.split()) for part in said.split())


def _near(said: str, name: str) -> bool:
    from rapidfuzz import fuzz  # only a name that is not known pays for loading it

    return fuzz.ratio(said, name) >= CLOSE_ENOUGH or any(
        len(word) > 3 and fuzz.ratio(said, word) >= CLOSE_ENOUGH for word in name.split()
    )


def _unique(things: Iterable[T]) -> list[T]:
    found: list[T] = []
    for thing in things:
        if thing not in found:
            found.append(thing)
    return found


def nearest(words: str, names: Iterable[str]) -> str | None:
    """The name most like the words, for a hint."""
    from rapidfuzz import fuzz

    return max(names, key=lambda name: fuzz.ratio(folded(words), folded(name)), default=None)
