"""Which entries a description comes nearest to: by how many of its telling words stand in their names and texts.

A word counts the more, the fewer entries have it; in a name it counts more than in a sentence, and in the one
sentence for a phone more than in the text. Words of asking and of mere grammar count nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from itertools import islice
from math import log

from bot.asking_words import ASKING_WORDS
from bot.lookup import Lookup, names_of, stem
from bot.terms import Entry

IN_NAME, IN_SHORT, IN_TEXT = 3.0, 2.0, 1.0
MOST_OFFERED, MOST_WORDS = 3, 40
ENOUGH, ENOUGH_ALONE = 0.4, 0.6  # the share of the telling weight that the best entry must hold
SHORTEST_MENDED = 6  # letters of a stem
LEAST_TOLD = 3  # telling words that must fit where nothing says that something is asked
NAMED = 1.5  # by how much a name said in full counts more for each word after its first
BEHIND = 0.55  # an entry further behind the best than this share is not offered
_CHATTER = (
    "count counts counted "
    "his her their these those some any by were or but he she they him them done doing had will would shall might"
    " not no yes hello actually anyway really even lol thanks thx wot who hows why earth hell heck mean means"
    " meant meaning call named word term stuff say says said told ask asked explained define knew think heard"
    " forgot forget remember understand friend buddy guy guys opponent somebody someone people ones working kind"
    " sort bit gets use used want wants let make makes take card cards stat stats line sheet profile roster"
    " statline ll don doesn isn new beginner dummies simple english game games rule rules also still ever from out"
    " into as than too very much world supposed whole wait confused lost idea point wonder dictionary glossary"
    " table"
)
CHATTER = ASKING_WORDS | frozenset(_CHATTER.split())
# What is named beside anything: never what "what is that" asks for while another name stands there.
_EVERYDAY = (
    "unit model d6 handful table weapon side turn round attack skirmish base points face success failure roster"
    " stat-line shooting-weapon inch umpire leader move"
)
EVERYDAY = frozenset(_EVERYDAY.split())
LONGEST_NAME = 5  # words
_SAID = r"says?|said|saying|call|calls|called|calling|names?|named|word|term|told me|tells me|mentioned|about"
_MARKS = (
    (re.compile(rf"\b(?:{_SAID})\W+(?:an? |the |it (?:an? )?)?$"), 3.0),
    (re.compile(r"\b(?:is|are|was|has|have|got|an?)\W+$"), 1.0),
)
_RUN = re.compile(r"[^\W_]+[+]?(?:[-'][^\W_]+)*")
_DICE = re.compile(r"\b\d*d\d+ ?[+-] ?\d+\b", re.IGNORECASE)
_WORD = re.compile(r"[^\W_]+[+]?")


class Describing:
    """Every telling word of every entry, ready to be weighed."""

    def __init__(self, lookup: Lookup) -> None:
        self.lookup = lookup

    @cached_property
    def _places(self) -> Mapping[str, Mapping[int, float]]:
        """For each word the entries that have it, and how much it counts in each."""
        found: dict[str, dict[int, float]] = {}
        for number, entry in enumerate(self.lookup.entries):
            for weight, texts in ((IN_TEXT, (entry.text,)), (IN_SHORT, (entry.short,)), (IN_NAME, _named(entry))):
                for word in telling(" ".join(texts)):
                    found.setdefault(stem(word), {})[number] = weight
        return found

    @cached_property
    def _rarity(self) -> Mapping[str, float]:
        most = len(self.lookup.entries)
        return {word: log(most / len(places)) for word, places in self._places.items()}

    def nearest(self, words: str, alone: bool = False) -> tuple[Entry, ...]:
        """The entries that the words describe best, the best first; none if the words are near nothing.

        `alone` is said where nothing else shows that something is asked: then more of the words must fit.
        """
        said = dict.fromkeys(stem(word) for word in telling(words)[:MOST_WORDS])
        told = [known for word in said if (known := word if word in self._places else self._meant(word))]
        names = self._names_in(words)
        scores: dict[int, float] = {}
        for word in told:
            for number, weight in self._places[word].items():
                scores[number] = scores.get(number, 0.0) + weight * self._rarity[word]
        for number, length in names.items():
            scores[number] = scores.get(number, 0.0) * NAMED ** (length - 1)
        ranked = sorted(scores, key=lambda number: (-scores[number], number))[:MOST_OFFERED]
        if not ranked or not self._enough(ranked[0], list(said), told, names, alone):
            return ()
        least = BEHIND * scores[ranked[0]]
        close = (number for number in ranked if scores[number] >= least or names.get(number, 0) > 1)
        return tuple(self.lookup.entries[number] for number in close)

    def _meant(self, word: str) -> str | None:
        """The one word of an entry of which this long one is a misspelling, if any."""
        if len(word) < SHORTEST_MENDED or not word.isalpha():
            return None
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

        close = process.extract(word, self._long, scorer=OSA.distance, score_cutoff=1 + (len(word) > 8), limit=2)
        sure = len(close) == 1 or (len(close) > 1 and close[0][1] < close[1][1])
        return close[0][0] if sure and close[0][0][0] == word[0] else None

    @cached_property
    def _long(self) -> list[str]:
        return [word for word in self._places if len(word) >= SHORTEST_MENDED - 1]

    def _enough(self, best: int, said: list[str], told: list[str], names: Mapping[int, int], alone: bool) -> bool:
        """Whether the best entry holds enough of what is said, weighed by rarity; strange words are rare."""
        least = IN_SHORT if alone else IN_TEXT  # the texts tell stories of units that a message may speak of too
        held = [word for word in told if self._places[word].get(best, 0.0) >= least]
        whole = sum(self._rarity.get(word, log(len(self.lookup.entries)) / 2) for word in said)
        share = sum(self._rarity[word] for word in held) / whole if whole else 0.0
        if alone:
            return len(held) >= LEAST_TOLD and share >= ENOUGH_ALONE
        return best in names or (len(held) > 1 and share >= ENOUGH)

    def _names_in(self, words: str) -> dict[int, int]:
        """The entries named in full among the words, each with the number of words of its name."""
        row = words.casefold().split()[:MOST_WORDS]
        found: dict[int, int] = {}
        for start in range(len(row)):
            for end in range(start + 1, min(len(row), start + 5) + 1):
                run = " ".join(row[start:end]).strip(" ,.;:!?\"'()")
                if not telling(run) or (run not in self.lookup.plain_names):
                    continue
                for entry in self.lookup.plain_names[run]:
                    number = self._numbers[entry.id]
                    found[number] = max(found.get(number, 0), end - start)
        return found

    def named(self, words: str) -> tuple[Entry, ...]:
        """The entries that the words name, the likeliest to be meant first; things everybody knows only alone."""
        found: dict[str, tuple[float, Entry]] = {}
        for match in _RUN.finditer(words.casefold()):
            for run, at in _runs(match, words):
                for entry in self.lookup.plain_names.get(run, ())[:1]:
                    weight = _mark(words[:at].casefold()) + len(run.split())
                    found[entry.id] = max(found.get(entry.id, (0.0, entry)), (weight, entry), key=lambda pair: pair[0])
        rare = [pair for id, pair in found.items() if id not in EVERYDAY] or list(found.values())
        return tuple(entry for _, entry in sorted(rare, key=lambda pair: -pair[0]))[:MOST_OFFERED]

    @cached_property
    def _numbers(self) -> Mapping[str, int]:
        return {entry.id: number for number, entry in enumerate(self.lookup.entries)}


def _runs(first: re.Match[str], words: str) -> Iterator[tuple[str, int]]:
    """Every row of words that begins at the first, with where it begins; the longest name wins by its length."""
    following = [match[0] for match in islice(_RUN.finditer(words.casefold(), first.start()), LONGEST_NAME)]
    letter = len(first[0]) == 1 and not words[first.start()].isupper() and not _mark(words[: first.start()].casefold())
    for length in range(len(following), 0, -1):
        run = " ".join(following[:length])
        if (telling(run) and not (letter and length == 1)) or (length == 1 and _is_letter(words, first)):
            yield run, first.start()


def _is_letter(words: str, said: re.Match[str]) -> bool:
    """ "A little A on the card": a capital that begins no sentence and is nobody's "I"."""
    alone = len(said[0]) == 1 and words[said.start()].isupper() and said[0] != "i"
    return alone and re.search(r"[\w,\"'“] ?[\"'“]?$", words[: said.start()]) is not None


def _mark(before: str) -> float:
    """By how much what stands before a name shows that it is the one meant."""
    return next((weight for pattern, weight in _MARKS if pattern.search(before)), 0.0)


def telling(words: str) -> list[str]:
    """The words that say what is meant, without those that ask and join."""
    return [word for word in _words_of(_DICE.sub("dice notation", words)) if word not in CHATTER]


def bare(words: str) -> str:
    """The words without those that ask and join: "the T on my stat card again" is T."""
    return " ".join(telling(words))


def _words_of(words: str) -> list[str]:
    """The words in their order, in small letters, without marks."""
    return _WORD.findall(words.casefold().replace("'s", "").replace("’s", "").replace("n't", "").replace("re-r", "rer"))


def _named(entry: Entry) -> Iterable[str]:
    return (*names_of(entry), *entry.like)
