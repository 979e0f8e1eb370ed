"""The words of the trade as data: which words mean the same, and which are mere grammar.

A word that is no word here is put right only if one word alone can be meant (two letters swapped or one doubled
before any other slip) and it is no English word of another meaning (the lookalikes); what may be meant are its
candidates. Otherwise it stays unknown, and nobody answers yes or no.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import chain

ARTICLES = frozenset({"a", "an", "the", "my", "your", "its", "our", "this", "these", "those"})
VOWELS = "aeiou"
SHORTEST_SLIPPED, SHORTEST_MENDED, SHORTEST_SURE, LONG = 3, 4, 4, 8  # letters
DENYING = ("un", "non", "dis", "in")
MOST_NEAR, REMEMBERED = 30, 1_000


@dataclass(frozen=True, kw_only=True)
class WordFile:
    """One family of words. `words` maps a concept to its spellings, single words or phrases, in base form.

    `fillers` carry no meaning here. `past` maps an irregular past form to its base, `forms` any other form.
    `narrower` lists concepts that are cases of another one: what is ruled of the one is ruled of them.
    """

    family: str
    title: str
    words: dict[str, tuple[str, ...]]
    fillers: tuple[str, ...] = ()
    past: dict[str, str] = field(default_factory=dict)
    forms: dict[str, str] = field(default_factory=dict)
    narrower: dict[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class LookalikeFile:
    """English words one slip away from a word of ours that mean something else, one string of words."""

    family: str
    title: str
    source: str
    words: str


@dataclass(frozen=True)
class Form:
    """A surface form: its base word, and whether it tells of something done."""

    base: str
    past: bool = False


@dataclass(frozen=True)
class Mended:
    """The form that a misspelt word was taken for, and how it is spelt."""

    spelt: str
    form: Form


class Lexicon:
    """All words of the files together. A spelling belongs to one concept only."""

    def __init__(self, files: Iterable[WordFile], lookalikes: Iterable[LookalikeFile] = ()) -> None:
        files = tuple(files)
        self._files = files
        self.lookalikes = frozenset(word for file in lookalikes for word in file.words.split())
        self.fillers = frozenset(word for file in files for word in file.fillers)
        self.concepts = frozenset(concept for file in files for concept in file.words)
        self.narrower = {wide: frozenset(narrow) for file in files for wide, narrow in file.narrower.items()}

    @cached_property
    def phrases(self) -> Mapping[tuple[str, ...], str]:
        """Every spelling as a row of words without articles, with its concept."""
        found: dict[tuple[str, ...], str] = {}
        for concept, spelling in self.spellings():
            row = tuple(word for word in spelling.split() if word not in ARTICLES)
            if found.setdefault(row, concept) != concept:
                raise ValueError(f"the words {spelling!r} belong to both {found[row]} and {concept}")
        return found

    def spellings(self) -> Iterator[tuple[str, str]]:
        """Every concept with each of its spellings."""
        for file in self._files:
            for concept, spellings in file.words.items():
                for spelling in spellings:
                    yield concept, spelling

    @cached_property
    def longest(self) -> int:
        """The number of words in the longest phrase."""
        return max(map(len, self.phrases))

    @cached_property
    def forms(self) -> Mapping[str, Form]:
        """Every form of every word that stands in a spelling or among the fillers.

        A word that means something alone is its own base; one that stands in phrases only may be a form of another.
        """
        alone = [*self.fillers, *(row[0] for row in self.phrases if len(row) == 1)]
        found = {word: Form(word) for word in alone}
        for file in self._files:
            found |= {word: Form(of, past=True) for word, of in file.past.items()}
            found |= {word: Form(of) for word, of in file.forms.items()}
        for word in dict.fromkeys(chain(alone, *self.phrases)):
            for inflected, past in inflections(word):
                found.setdefault(inflected, Form(word, past))
        for word in chain.from_iterable(self.phrases):
            found.setdefault(word, Form(word))
        return found

    @cached_property
    def bases(self) -> Mapping[str, tuple[str, ...]]:
        """Every word as it stands and every word that it may be a form of: what it may be inside a phrase."""
        found = {word: dict.fromkeys((word, form.base)) for word, form in self.forms.items()}
        for word in list(found):
            for inflected, _ in inflections(word):
                if inflected in found:
                    found[inflected][word] = None
        return {word: tuple(bases) for word, bases in found.items()}

    def form(self, word: str) -> Form | None:
        """The form that this word is, if it is one of ours."""
        return self.forms.get(word)

    def is_word(self, word: str) -> bool:
        """Whether this is one of ours or an English word of another meaning."""
        return word in self.forms or word in self.lookalikes

    def mend(self, word: str) -> Mended | None:
        """The one word of ours that a misspelt word must mean, or None."""
        meant = self.candidates(word)
        return meant[0] if len(meant) == 1 else None

    def candidates(self, word: str) -> tuple[Mended, ...]:
        """The words of ours that a misspelt word may mean: slips of the finger before any other."""
        return self._meant(word)

    @cached_property
    def _meant(self) -> Callable[[str], tuple[Mended, ...]]:
        """Remembers the words last looked for, since a question is read more than once."""
        return lru_cache(REMEMBERED)(self._candidates)

    def _candidates(self, word: str) -> tuple[Mended, ...]:
        if len(word) < SHORTEST_SLIPPED or word in self.lookalikes:
            return ()
        slipped = dict.fromkeys(slips_behind(word))
        if any(spelt in self.lookalikes for spelt in slipped) or self._denies(word):
            return ()
        likely = [spelt for spelt in slipped if spelt in self.forms]
        sure = likely and len(word) >= SHORTEST_SURE
        return self._distinct(likely if sure else [*likely, *self._nearest(word)])

    def _denies(self, word: str) -> bool:
        """ "Unarmoured" is no slip in "armoured"."""
        return any(word.startswith(prefix) and word[len(prefix) :] in self.forms for prefix in DENYING)

    def _distinct(self, spellings: Iterable[str]) -> tuple[Mended, ...]:
        """One spelling for each form; all that is mere grammar counts as the same."""
        found: dict[Form, Mended] = {}
        for spelt in spellings:
            form = self.forms[spelt]
            found.setdefault(Form("") if form.base in self.fillers else form, Mended(spelt, form))
        return tuple(found.values())

    def _nearest(self, word: str) -> list[str]:
        """The words that lie nearest, a slip or two away."""
        from rapidfuzz import process  # only a word that is not known pays for loading it
        from rapidfuzz.distance import OSA

        slips = 2 if len(word) >= LONG else 1
        near = process.extract(word, self._mendable, scorer=OSA.distance, score_cutoff=slips, limit=MOST_NEAR)
        least = min((distance for _, distance, _ in near), default=0)
        return [spelt for spelt, distance, _ in near if distance == least]

    @cached_property
    def _mendable(self) -> list[str]:
        """The forms worth mending."""
        return [word for word, form in self.forms.items() if self._worth_mending(word, form.base)]

    def _worth_mending(self, word: str, base: str) -> bool:
        """Mere grammar is mended only where it stands as it is listed."""
        return len(word) >= SHORTEST_MENDED and (base not in self.fillers or word in self.fillers)


def slips_behind(word: str) -> Iterator[str]:
    """Every word in which two letters were swapped, or one doubled, to give this one."""
    for place in range(len(word) - 1):
        yield word[:place] + word[place + 1] + word[place] + word[place + 2 :]
        if word[place] == word[place + 1] and len(word) > SHORTEST_SLIPPED:
            yield word[:place] + word[place + 1 :]


def inflections(word: str) -> Iterator[tuple[str, bool]]:
    """The regular forms of a word, each with whether it tells of something done."""
    if len(word) < 3 and word != "go":
        return
    if word.endswith("ee"):
        yield from ((word + "s", False), (word + "d", True), (word + "ing", False))
    elif word.endswith("e"):
        yield from ((word + "s", False), (word + "d", True), (word[:-1] + "ing", False))
    elif word.endswith("y") and word[-2:-1] not in VOWELS:
        yield from ((word[:-1] + "ies", False), (word[:-1] + "ied", True), (word + "ing", False))
    else:
        ending = "es" if word.endswith(("s", "x", "ch", "sh", "o")) else "s"
        yield from ((word + ending, False), (word + "ed", True), (word + "ing", False))
        if len(word) > 2 and word[-1] not in VOWELS + "wxy" and word[-2] in VOWELS and word[-3] not in VOWELS:
            yield from ((word + word[-1] + "ed", True), (word + word[-1] + "ing", False))
