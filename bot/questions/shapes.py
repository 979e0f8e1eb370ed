"""Rulings as shapes of questions, and which of them covers a question word for word.

A shape is a row of concepts; "hit|wound" is either, "must" marks what is asked with "do I have to", "A before B"
is an order in time and "A > B" an order in the sentence. A shape
covers a question that has every concept of it and none besides, except those that its ruling lets stand.
Nothing else gets a yes or a no.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property

from bot.guide import Ruling
from bot.questions.question import EARLIER, FACT, MARKS, MUST, Question
from bot.questions.verdict import DEPENDS, NO, YES

# Words that say how far a statement reaches: where the statement is false, so is every stronger one.
STRONGER = frozenset({"always", "only"})
# What players see with their own eyes.
SEEN = frozenset({"sight", "unseen", "cover", "terrain", "behind"})
COVERED = frozenset({"cover"})
# Matters of dice and of no ruling, which the sight of anything does not settle; words of matters that no ruling knows.
UNSEEN = frozenset({"explosive", "burning", "revive", "reroll", "reroll-failed", "reroll-ones", "damage-roll"})
FOREIGN_MATTERS = frozenset({"explosive", "burning", "revive"})
_FOREIGN = (
    "until night fog smoke rain collapse collapses indirect indirectly throw thrown fly flying climb reduce reserve"
    " teleport ambush stealth camouflage weather snow storm dark darkness mortar artillery drone spell magic psychic"
)
FOREIGN = frozenset(_FOREIGN.split())
# Words that may stand in any question.
ALWAYS_MAY_STAND = frozenset({"exactly", "apply"})
ORDERING = MARKS | {"first"}
# Words that ask for a fact without saying of which sort.
LOOSE = frozenset({"what", "what-happen", "why", "when", "which", "how", "how-work"})


@dataclass(frozen=True)
class Shape:
    """One way to ask what a ruling answers."""

    ruling: Ruling
    answer: str | None
    groups: tuple[frozenset[str], ...]
    also: frozenset[str]
    literal: frozenset[str] = frozenset()
    must: bool = False
    order: tuple[frozenset[str], frozenset[str]] | None = None
    earlier: tuple[frozenset[str], frozenset[str]] | None = None

    @cached_property
    def concepts(self) -> frozenset[str]:
        """Every concept that the shape names."""
        return frozenset().union(*self.groups)

    @cached_property
    def known(self) -> frozenset[str]:
        """Every concept that may stand in a question that the shape covers."""
        return self.concepts | self.also | ALWAYS_MAY_STAND

    def meets(self, concepts: frozenset[str]) -> bool:
        """Whether every concept of the shape is asked about."""
        return all(group & concepts for group in self.groups)

    def covers(self, concepts: frozenset[str], question: Question) -> bool:
        """Whether every concept of the shape is asked about, in its order, and none besides."""
        if self.earlier is not None and not question.names_earlier(*self.earlier):
            return False
        if self.order is None:
            return concepts <= self.known and self.meets(concepts)
        return concepts - ORDERING <= self.known and self.meets(concepts) and self._in_order(question)

    def closeness(self, question: Question) -> tuple[int, int]:
        """How much of the question the shape speaks of, and how much of that by its very name."""
        told = (self.order, self.earlier)
        return len(self.groups) + sum(order is not None for order in told), len(self.literal & question.concepts)

    def _in_order(self, question: Question) -> bool:
        """ "A before B", "B after A" and "A then B" are the same order."""
        first, second = self.order or (frozenset(), frozenset())
        return bool(question.order) and all(
            concept in (second if before else first) for before, concept in question.order
        )


@dataclass(frozen=True)
class Hit:
    """A shape that fits a question, and the answer that it gives to it before the ruleset is asked."""

    shape: Shape
    answer: str | None
    exact: bool = True


Narrower = Mapping[str, frozenset[str]]


def shapes_of(rulings: Iterable[Ruling], narrower: Narrower) -> tuple[Shape, ...]:
    """Every shape of every ruling; what is said of a concept is said of its narrower ones."""

    @cache
    def widened(word: str) -> frozenset[str]:
        return _with_narrower(word.split("|"), narrower)

    return tuple(shape for ruling in rulings for shape in _shapes(ruling, widened))


def _with_narrower(concepts: Iterable[str], narrower: Narrower) -> frozenset[str]:
    concepts = frozenset(concepts)
    return concepts.union(*(narrower.get(concept, frozenset()) for concept in concepts))


def _shapes(ruling: Ruling, widened: Callable[[str], frozenset[str]]) -> Iterator[Shape]:
    kinds: Mapping[str | None, tuple[str, ...]] = {
        YES: ruling.yes, NO: ruling.no, DEPENDS: ruling.depends, None: ruling.fact
    }  # fmt: skip
    also: frozenset[str] = frozenset().union(*map(widened, ruling.also))
    for answer, lines in kinds.items():
        for line in lines:
            words = line.split()
            groups = [widened(word) for word in words if word != "must"]
            order, earlier = _beside(groups, MARKS), _beside(groups, frozenset({EARLIER}))
            signs = (MARKS if order else frozenset()) | {EARLIER}
            plain = tuple(group for group in groups if not group & signs)
            literal = frozenset(part for word in words for part in word.split("|"))
            yield Shape(ruling, answer, plain, also, literal, "must" in words, order, earlier)


def _beside(groups: list[frozenset[str]], signs: frozenset[str]) -> tuple[frozenset[str], frozenset[str]] | None:
    """What stands before and behind a sign, in the order of time."""
    for place in range(1, len(groups) - 1):
        if groups[place] & signs:
            before, after = groups[place - 1], groups[place + 1]
            return (after, before) if "after" in groups[place] else (before, after)
    return None


def best(question: Question, shapes: Iterable[Shape]) -> Hit | None:
    """The closest fit; None where nothing fits, or where equally close shapes disagree."""
    for hits in _tries(question, tuple(shapes)):
        if hits:
            return _closest(hits, question)
    return None


def _tries(question: Question, shapes: tuple[Shape, ...]) -> Iterator[list[Hit]]:
    """The fits of each kind, the strictest kind first."""
    concepts = question.concepts
    if not question.unknown:
        if question.alternative:
            yield from _for_a_choice(question, shapes)
        asked = {FACT: _for_a_fact, MUST: _for_a_duty}.get(question.asked, _for_yes_or_no)
        yield from asked(question, shapes)
    table = [Hit(shape, DEPENDS) for shape in shapes if _hangs_on_the_table(shape, question)]
    spoken = () if question.unknown else shapes
    near = [Hit(shape, None, exact=False) for shape in spoken if _same_matter(shape, concepts)]
    told = not concepts & (SEEN - COVERED) and _widest(near) > _widest(table)
    yield from (near, table) if told else (table, near)


def _widest(hits: list[Hit]) -> int:
    """How many concepts the most telling of some shapes speaks of."""
    return max((len(hit.shape.groups) for hit in hits), default=0)


def _for_a_fact(question: Question, shapes: tuple[Shape, ...]) -> Iterator[list[Hit]]:
    facts = [shape for shape in shapes if shape.answer is None]
    loose = question.concepts - LOOSE
    yield [Hit(shape, None) for shape in facts if shape.covers(question.concepts, question)]
    if {"what", "first"} <= question.concepts:  # "what goes first"
        which = question.concepts - {"what"} | {"which"}
        yield [Hit(shape, None) for shape in facts if shape.covers(which, question)]
    if loose:
        yield [Hit(shape, None) for shape in facts if shape.covers(loose, question)]
        yield [Hit(shape, None) for shape in shapes if shape.covers(loose, question)]


def _for_a_choice(question: Question, shapes: tuple[Shape, ...]) -> Iterator[list[Hit]]:
    """ "Do I halve or reduce first": the question for a fact behind an "or"."""
    facts = [shape for shape in shapes if shape.answer is None]
    for asking in ("which", "when"):
        concepts = (question.concepts - MARKS) | {asking}
        yield [Hit(shape, None) for shape in facts if shape.covers(concepts, question)]


def _for_a_duty(question: Question, shapes: tuple[Shape, ...]) -> Iterator[list[Hit]]:
    """What is not so need not be so."""
    weaker = question.concepts - STRONGER
    covering = [
        shape for shape in shapes if shape.covers(question.concepts, question) or shape.covers(weaker, question)
    ]
    yield [Hit(shape, shape.answer) for shape in covering if shape.must]
    yield [Hit(shape, NO) for shape in covering if shape.answer == NO]
    yield [Hit(shape, None) for shape in covering]


def _for_yes_or_no(question: Question, shapes: tuple[Shape, ...]) -> Iterator[list[Hit]]:
    """What is not so is not always so either."""
    plain = [shape for shape in shapes if not shape.must or shape.answer == YES]
    weaker = question.concepts - STRONGER
    yield [Hit(shape, shape.answer) for shape in plain if shape.covers(question.concepts, question)]
    yield [Hit(shape, NO) for shape in plain if shape.answer == NO and shape.covers(weaker, question)]


def _hangs_on_the_table(shape: Shape, question: Question) -> bool:
    """What is seen may be described in any words; what shortens a range is no matter of the table."""
    strange = question.unknown and (not shape.concepts & SEEN or bool(FOREIGN & set(question.unknown)))
    if question.concepts & UNSEEN:
        return False
    return shape.ruling.scenery and not strange and shape.meets(question.concepts)


def _same_matter(shape: Shape, concepts: frozenset[str]) -> bool:
    """The shape leaves only one concept unexplained: its ruling speaks of this, though it does not decide it."""
    return (
        not concepts & FOREIGN_MATTERS
        and len(shape.groups) >= 2
        and shape.meets(concepts)
        and len(concepts - shape.known) == 1
    )


def _closest(hits: list[Hit], question: Question) -> Hit | None:
    if not hits:
        return None
    most = max(hit.shape.closeness(question) for hit in hits)
    closest = [hit for hit in hits if hit.shape.closeness(question) == most]
    answers = {hit.answer for hit in closest if hit.answer is not None}
    if len(answers) > 1:
        return None
    return next((hit for hit in closest if hit.answer is not None), closest[0])
