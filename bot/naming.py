"""Loose names: which of the names on the table a player's words may mean."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TypeVar

CLOSE_ENOUGH = 82
NEARLY_A_WORD = 60  # of each word, where the whole is close enough
LONGEST_SAID = 60  # characters of a player's words that are worth saying again

_UNSAID = frozenset(["the", "my", "our", "their", "your", "a", "an", "of"])
_BETWEEN = re.compile(r"\s*(?:,|&|\band\b)\s*(?:and\b\s*)?", re.IGNORECASE)
ONE_AT_A_TIME = "one unit at a time: which one now?"
MOST_NAMED = 8  # names that a complaint tells

T = TypeVar("T")


def folded(words: str) -> str:
    """A name as it is compared: lower case, without articles, marks and plural endings."""
    kept = re.findall(r"[^\W_]+", re.sub(r"['’]s\b", "", words.casefold()))
    return " ".join(singular(word) for word in kept if word not in _UNSAID)


def singular(word: str) -> str:
    """A word without its plural ending, roughly; both sides of a comparison pass through here."""
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def clipped(words: str) -> str:
    """A player's words as an answer quotes them."""
    return words if len(words) <= LONGEST_SAID else f"{words[:LONGEST_SAID].rstrip()}…"


def possessive(name: str) -> str:
    """ "the Wardens'", "the Kiln Guard's"."""
    return f"the {name}'" if name.endswith("s") else f"the {name}'s"


def matches(words: str, names: Iterable[tuple[str, T]], *, nearly: bool = True) -> list[T]:
    """The things that the words may mean, by the best kind of match: the same, a part, or (`nearly`) almost it."""
    known = [(folded(name), thing) for name, thing in names]
    said = folded(words)
    if not said:
        return []
    for fits in (_same, _part, _near) if nearly else (_same, _part):
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
    """Nearly the whole name, or one word nearly a word of it; no word more than the name has."""
    from rapidfuzz import fuzz  # only a name that is not known pays for loading it

    words, parts = said.split(), name.split()
    if _numbers(said) not in ([], _numbers(name)):
        return False
    if len(words) > len(parts):
        return said.replace(" ", "") == name.replace(" ", "")
    if len(words) == 1 and any(len(part) > 3 and fuzz.ratio(said, part) >= CLOSE_ENOUGH for part in parts):
        return True
    alike = len(words) < len(parts) or all(map(lambda *pair: fuzz.ratio(*pair) >= NEARLY_A_WORD, words, parts))
    return alike and fuzz.ratio(said, name) >= CLOSE_ENOUGH


def _numbers(words: str) -> list[str]:
    return re.findall(r"\d+", words)


def holds(words: str, names: Iterable[str]) -> bool:
    """Whether one of the names stands whole among the words."""
    said = f" {folded(words)} "
    return any(f" {folded(name)} " in said for name in names)


def several(words: str, names: Iterable[str]) -> tuple[str, ...]:
    """What "and" or commas join, if it is names that may mean different ones of these; none if it is not so."""
    parts = tuple(part for part in _BETWEEN.split(words.strip()) if part)
    known = [(name, name) for name in names] if len(parts) > 1 else []
    if any(words.casefold() == name.casefold() for name, _ in known):
        return ()
    meant = [frozenset(matches(part, known)) for part in parts]
    return parts if len(parts) > 1 and all(meant) and len(set(meant)) == len(parts) else ()


def there(names: Iterable[str]) -> str:
    """The names that there are, where each may be told with its side before it too, and by a part of it."""
    every = tuple(dict.fromkeys(names))
    sided = [name for name in every if any(other.endswith(f" {name}") for other in every)]
    plain = [name for name in sided if not any(other.endswith(f" {name}") for other in sided)] or list(every)
    return ", ".join(plain[:MOST_NAMED]) + (" …" if len(plain) > MOST_NAMED else "")


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
