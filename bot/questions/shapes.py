"""Rulings as shapes of questions, and which of them covers a question word for word.

A shape is a row of concepts; "hit|wound" is either, "must" marks what is asked with "do I have to". A shape
covers a question that has every concept of it and none besides, except those that its ruling lets stand.
Nothing else gets a yes or a no.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from bot.guide import Ruling
from bot.questions.question import FACT, MUST, Question
from bot.questions.verdict import DEPENDS, NO, YES

# Words that say how far a statement reaches: where the statement is false, so is every stronger one.
STRONGER = frozenset({"always", "only"})
# Words that ask for a fact without saying of which sort.
LOOSE = frozenset({"what", "what-happen", "why", "when", "which", "how", "how-work"})


@dataclass(frozen=True)
class Shape:
    """One way to ask what a ruling answers."""

    ruling: Ruling
    answer: str | None
    groups: tuple[frozenset[str], ...]
    must: bool = False

    @cached_property
    def concepts(self) -> frozenset[str]:
        """Every concept that the shape names."""
        return frozenset().union(*self.groups)

    @cached_property
    def known(self) -> frozenset[str]:
        """Every concept that may stand in a question that the shape covers."""
        return self.concepts | frozenset(self.ruling.also)

    def meets(self, concepts: frozenset[str]) -> bool:
        """Whether every concept of the shape is asked about."""
        return all(group & concepts for group in self.groups)

    def covers(self, concepts: frozenset[str]) -> bool:
        """Whether every concept of the shape is asked about, and none besides."""
        return concepts <= self.known and self.meets(concepts)


@dataclass(frozen=True)
class Hit:
    """A shape that fits a question, and the answer that it gives to it before the ruleset is asked."""

    shape: Shape
    answer: str | None
    exact: bool = True


def shapes_of(rulings: Iterable[Ruling]) -> tuple[Shape, ...]:
    """Every shape of every ruling."""
    return tuple(shape for ruling in rulings for shape in _shapes(ruling))


def _shapes(ruling: Ruling) -> Iterator[Shape]:
    kinds: Mapping[str | None, tuple[str, ...]] = {
        YES: ruling.yes, NO: ruling.no, DEPENDS: ruling.depends, None: ruling.fact
    }  # fmt: skip
    for answer, lines in kinds.items():
        for line in lines:
            words = line.split()
            groups = tuple(frozenset(word.split("|")) for word in words if word != "must")
            yield Shape(ruling, answer, groups, "must" in words)


def best(question: Question, shapes: Iterable[Shape]) -> Hit | None:
    """The closest fit; None where nothing fits, or where equally close shapes disagree."""
    for hits in _tries(question, tuple(shapes)):
        hit = _closest(hits)
        if hit is not None:
            return hit
    return None


def _tries(question: Question, shapes: tuple[Shape, ...]) -> Iterator[list[Hit]]:
    """The fits of each kind, the strictest kind first."""
    concepts = question.concepts
    weaker = concepts - STRONGER
    if question.unknown:
        pass
    elif question.asked == FACT:
        yield [Hit(shape, None) for shape in shapes if shape.answer is None and shape.covers(concepts)]
        loose = concepts - LOOSE
        if loose:
            yield [Hit(shape, None) for shape in shapes if shape.answer is None and shape.covers(loose)]
            yield [Hit(shape, None) for shape in shapes if shape.covers(loose)]
    elif question.asked == MUST:
        covering = [shape for shape in shapes if shape.covers(concepts) or shape.covers(weaker)]
        yield [Hit(shape, shape.answer) for shape in covering if shape.must]
        yield [Hit(shape, NO) for shape in covering if shape.answer == NO]
        yield [Hit(shape, None) for shape in covering]
    else:
        yield [Hit(shape, shape.answer) for shape in shapes if shape.covers(concepts) and _plainly(shape)]
        yield [Hit(shape, NO) for shape in shapes if shape.answer == NO and _plainly(shape) and shape.covers(weaker)]
    yield [Hit(shape, DEPENDS) for shape in shapes if shape.ruling.scenery and shape.meets(concepts)]
    if not question.unknown:
        yield [Hit(shape, None, exact=False) for shape in shapes if _same_matter(shape, concepts)]


def _plainly(shape: Shape) -> bool:
    """What must be is; what need not be may still be."""
    return not (shape.must and shape.answer == NO)


def _same_matter(shape: Shape, concepts: frozenset[str]) -> bool:
    """The shape leaves only one concept unexplained: its ruling speaks of this, though it does not decide it."""
    return len(shape.groups) >= 2 and shape.meets(concepts) and len(concepts - shape.known) == 1


def _closest(hits: list[Hit]) -> Hit | None:
    if not hits:
        return None
    most = max(len(hit.shape.groups) for hit in hits)
    closest = [hit for hit in hits if len(hit.shape.groups) == most]
    answers = {hit.answer for hit in closest if hit.answer is not None}
    if len(answers) > 1:
        return None
    return next((hit for hit in closest if hit.answer is not None), closest[0])
