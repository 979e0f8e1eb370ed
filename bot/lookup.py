"""Look-up in the glossary: abbreviations, titles and other names answer; whatever only comes near is offered.

Words are compared without case, marks, articles, plural endings and order. Nothing is guessed: a misspelt
word finds its neighbours and is never answered as if it had been spelt right.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from bot.naming import singular
from bot.terms import Entry

Key = TypeVar("Key")

MOST_NEAR = 4
NEAR_ENOUGH = 66.0
WITHIN = 90.0  # nearly all words of the shorter stand in the longer
MISSPELT = 80.0
MOST_MISSPELT = 4  # words
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
# Where a name stands ("M on the card"), and the number beside it ("a 4+ fixed save", "AP-1", "T4").
_PLACE = re.compile(
    r" (?:on|in|of|for|from|at) (?:(?:the|a|an|my|your|this|that|our) )*"
    r"(?:(?:stat|data|unit|weapon|model|army) )?(?:cards?|lines?|statlines?|sheets?|rosters?|profiles?|records?|ledger"
    r"|dice|die|weapons?|units?|models?|games?|rules|rulesets?|bot|pages?|attacks?|stats|drumhead|umpire|list)$"
)
_NUMBER = re.compile(r"\b\d+\+(?!\w)|(?<![\w.])[+-]?\d+\b")
_STATISTIC = re.compile(r"^(s|t|w|a|m|ap|bs|ws|sv|ld)[ -]?\d+\+?$")
# "A on the stat line" is the statistic, no article; "A.P." is written with points.
_LETTER = re.compile(
    r"^(a) (?:on|in) (?:(?:the|a|my|this) )?(?:stat ?lines?|cards?|weapons?|profiles?|sheets?)$", re.IGNORECASE
)
_POINTS = re.compile(r"\b(?:[a-z]\.)+[a-z]\b\.?")
_SOUNDS = (("ough", "uf"), ("igh", "i"), ("ph", "f"), ("ck", "k"), ("our", "er"), ("or", "er"))
_DOUBLED = re.compile(r"([a-z])\1")
_SILENT = re.compile(r"(?<=[a-z][^aeiou\W])e$")
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
        said = plain(_LETTER.sub(r"\1", words.strip()))
        return self._plain.get(said) or self._in_any_order(sorted_words(words)) or self._joined.get(said, [])

    def loosely(self, words: str) -> list[Entry]:
        """The entry that bears the words without the place where they stand and without the numbers beside them."""
        said = words.casefold().strip()
        shorter = (_PLACE.sub("", said), _STATISTIC.sub(r"\1", said), _NUMBER.sub("", said).strip(" -"))
        found = (self.bearing(name) for name in shorter if name and name != said)
        return next((entries for entries in found if entries), [])

    def pair(self, words: str) -> tuple[Entry, ...]:
        """The two entries of "X and Y", if both are names."""
        for between in re.finditer(" and ", words):
            sides = (self.bearing(words[: between.start()]), self.bearing(words[between.end() :]))
            if all(len(side) == 1 for side in sides):
                return tuple(side[0] for side in sides)
        return ()

    def misspells(self, words: str) -> bool:
        """Whether the words are a name with slips in its longer words, and nothing else."""
        return bool(self.misspelt(words))

    def misspelt(self, words: str) -> tuple[Entry, ...]:
        """The entries of which the words are a name with slips in its longer words, or written as it sounds."""
        from rapidfuzz import fuzz  # only words that are no name pay for loading it

        said = sorted_words(words)
        if not said or len(said) > MOST_MISSPELT or self.bearing(words):
            return ()
        close = self._close(" ".join(said), fuzz.ratio, MISSPELT)
        slips = {name: slip for name in close if (slip := _slips(said, tuple(name.split()))) is not None}
        names = [name for name, slip in slips.items() if slip == min(slips.values())]
        names = names or self._sounding.get(_sound(said)) or self._sounding.get(_run_together(said), [])
        return tuple({self._owner[name].id: self._owner[name] for name in names}.values())[:MOST_NEAR]

    @property
    def plain_names(self) -> Mapping[str, list[Entry]]:
        """Every name without case and marks, with the entries that bear it."""
        return self._plain

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
        from rapidfuzz import fuzz

        said = " ".join(sorted_words(words))
        if not said:
            return ()
        found = self._close(said, fuzz.ratio, NEAR_ENOUGH)
        if len(found) < MOST_NEAR and " " in said:
            found += self._close(said, fuzz.token_set_ratio, WITHIN)
        ranked = sorted(found, key=lambda name: -fuzz.ratio(said, name))
        return tuple(dict.fromkeys(self._owner[name].title for name in ranked))[:MOST_NEAR]

    def _close(self, said: str, scorer: Callable[..., float], least: float) -> list[str]:
        from rapidfuzz import process

        close = process.extract(said, self._names, scorer=scorer, score_cutoff=least, limit=3 * MOST_NEAR)
        return [name for name, _, _ in close]

    @cached_property
    def _joined(self) -> dict[str, list[Entry]]:
        """The entries by names of several words written as one: "fallback", "halfrange"."""
        return {name.replace(" ", ""): found for name, found in self._plain.items() if " " in name and name.isascii()}

    @cached_property
    def _sounding(self) -> dict[str, list[str]]:
        """The names by how they sound."""
        found: dict[str, list[str]] = {}
        for entry in self.entries:
            for name in names_of(entry):
                owned = " ".join(sorted_words(name))
                for sound in (_sound(owned.split()), _run_together(plain(name).split())):
                    found.setdefault(sound, [])
                    found[sound] += [owned] if owned not in found[sound] else []
        return found

    @cached_property
    def _names(self) -> list[str]:
        return list(self._owner)


def names_of(entry: Entry) -> Iterator[str]:
    """Everything that an entry is called."""
    yield from (entry.title, entry.id.replace("-", " "), *entry.abbreviations, *entry.names)


def _slips(said: tuple[str, ...], name: tuple[str, ...]) -> int | None:
    """How many slips make the words of the name; None beyond one slip in four letters of a word or two in eight."""
    from rapidfuzz.distance import OSA

    if len(said) != len(name):
        return None
    found = [min((OSA.distance(word, other), other) for other in name) for word in said]
    near = all(slips <= min(2, len(other) // 4) for slips, other in found)
    near = near and all(not slips or _begins(word, other) for word, (slips, other) in zip(said, found, strict=True))
    return sum(slips for slips, _ in found) if near else None


def _begins(word: str, other: str) -> bool:
    """Whether a slip may have made one word of the other: few begin one, and "tea" is no team."""
    return len(word) > 3 and (word[0] == other[0] or word[:2] == other[1::-1])


def _sound(words: Iterable[str]) -> str:
    """Words as they sound, in one order: "tuffness" is "toughness"."""
    return " ".join(sorted(map(_spoken, words)))


def _run_together(words: Iterable[str]) -> str:
    """Words as they sound, written as one: "falback" is "fall back"."""
    return "".join(map(_spoken, words))


def _spoken(word: str) -> str:
    for written, spoken in _SOUNDS:
        word = word.replace(written, spoken)
    return _SILENT.sub("", _DOUBLED.sub(r"\1", word))


def stem(word: str) -> str:
    """A word without the ending that changes with its place in a sentence, roughly: "leaning" is "lean"."""
    word = _singular(_SPELLINGS.get(word, word))
    for ending in ("ing", "ed", "er"):
        if word.endswith(ending) and len(word) > len(ending) + 2:
            word = _DOUBLED.sub(r"\1", word[: -len(ending)])
            break
    return word[:-1] if word.endswith("e") and len(word) > 3 else word


def plain(words: str) -> str:
    """Words without case and marks."""
    return " ".join(_words(words))


def sorted_words(words: str) -> tuple[str, ...]:
    """The words that matter, each in the singular, in one order."""
    kept = [word for word in _words(words) if word not in _SMALL]
    return tuple(sorted(_singular(word) for word in kept or _words(words)))


def _words(words: str) -> list[str]:
    joined = re.sub(r"\bre[- ]roll", "reroll", words.casefold().replace("'s", "").replace("’s", ""))
    joined = _POINTS.sub(lambda letters: letters[0].replace(".", ""), joined)
    return [_SPELLINGS.get(word, word) for word in re.findall(r"[^\W_]+[+]?", joined)]


def _singular(word: str) -> str:
    return _PLURALS.sub("y", word) if word.endswith("ies") else singular(word)


def _put(shelf: dict[Key, list[Entry]], key: Key, entry: Entry) -> None:
    held = shelf.setdefault(key, [])
    if entry not in held:
        held.append(entry)
