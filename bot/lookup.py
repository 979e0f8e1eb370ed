"""Look-up in the glossary: abbreviations, titles and other names answer; whatever only comes near is offered.

Words are compared without case, marks, articles, plural endings and order. Nothing is guessed: a misspelt
word finds its neighbours and is never answered as if it had been spelt right.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from rapidfuzz import fuzz, process

from bot.naming import singular
from bot.terms import Entry

Key = TypeVar("Key")

MOST_NEAR = 4
NEAR_ENOUGH = 66.0
WITHIN = 90.0  # nearly all words of the shorter stand in the longer
_SMALL = frozenset(
    [
        "a",
        "an",
        "the",
        "my",
        "your",
        "his",
        "her",
        "its",
        "our",
        "their",
        "of",
        "for",
        "to",
        "in",
        "on",
        "at",
        "by",
        "is",
        "are",
        "be",
        "with",
    ]
)
_SPELLINGS = {
    "armor": "armour",
    "dice": "die",
    "dices": "die",
    "grey": "gray",
    "defence": "defense",
    "centre": "center",
}
_PLURALS = re.compile(r"(?<=[a-z])ies$")


@dataclass(frozen=True)
class Found:
    """`exact` are the entries that bear the name, one if all is well; `near` the titles of the neighbours."""

    exact: tuple[Entry, ...] = ()
    near: tuple[str, ...] = ()


class Lookup:
    """Every name of every entry, ready to be looked up."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self.entries = tuple(entries)
        self._plain: dict[str, list[Entry]] = {}
        self._sorted: dict[tuple[str, ...], list[Entry]] = {}
        self._owner: dict[str, Entry] = {}
        for entry in self.entries:
            for name in names_of(entry):
                _put(self._plain, plain(name), entry)
                _put(self._sorted, sorted_words(name), entry)
                self._owner.setdefault(" ".join(sorted_words(name)), entry)

    def find(self, words: str) -> Found:
        """The entry or entries that the words name, or the nearest ones."""
        exact = self.bearing(words)
        return Found(exact=tuple(exact)) if exact else Found(near=self.near(words))

    def bearing(self, words: str) -> list[Entry]:
        """The entry or entries that the words name exactly."""
        return self._plain.get(plain(words)) or self._in_any_order(sorted_words(words))

    def _in_any_order(self, said: tuple[str, ...]) -> list[Entry]:
        """The entries that bear the words in any order; one that bears them as its title comes before the others."""
        found = self._sorted.get(said, [])
        titled = [entry for entry in found if sorted_words(entry.title) == said]
        return titled if len(titled) == 1 else found

    def own_name(self, entry: Entry) -> str:
        """A name that only this entry bears."""
        own = (name for name in names_of(entry) if self.find(name).exact == (entry,))
        return next(own, entry.title).lower()

    def near(self, words: str) -> tuple[str, ...]:
        """The titles of the entries whose names come nearest, the nearest first."""
        said = " ".join(sorted_words(words))
        if not said:
            return ()
        found = self._close(said, fuzz.ratio, NEAR_ENOUGH)
        if len(found) < MOST_NEAR and " " in said:
            found += self._close(said, fuzz.token_set_ratio, WITHIN)
        ranked = sorted(found, key=lambda name: -fuzz.ratio(said, name))
        return tuple(dict.fromkeys(self._owner[name].title for name in ranked))[:MOST_NEAR]

    def _close(self, said: str, scorer: Callable[..., float], least: float) -> list[str]:
        close = process.extract(said, self._names, scorer=scorer, score_cutoff=least, limit=3 * MOST_NEAR)
        return [name for name, _, _ in close]

    @cached_property
    def _names(self) -> list[str]:
        return list(self._owner)


def names_of(entry: Entry) -> Iterator[str]:
    """Everything that an entry is called."""
    yield from (entry.title, entry.id.replace("-", " "), *entry.abbreviations, *entry.names)


def plain(words: str) -> str:
    """Words without case and marks."""
    return " ".join(_words(words))


def sorted_words(words: str) -> tuple[str, ...]:
    """The words that matter, each in the singular, in one order."""
    kept = [word for word in _words(words) if word not in _SMALL]
    return tuple(sorted(_singular(word) for word in kept or _words(words)))


def _words(words: str) -> list[str]:
    joined = re.sub(r"\bre[- ]roll", "reroll", words.casefold().replace("'s", "").replace("’s", ""))
    return [_SPELLINGS.get(word, word) for word in re.findall(r"[^\W_]+[+]?", joined)]


def _singular(word: str) -> str:
    return _PLURALS.sub("y", word) if word.endswith("ies") else singular(word)


def _put(shelf: dict[Key, list[Entry]], key: Key, entry: Entry) -> None:
    held = shelf.setdefault(key, [])
    if entry not in held:
        held.append(entry)
