"""The judge: the permissions of the ruleset first, then the rulings of the glossary."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from bot.guide import Ruling
from bot.questions.limits import LIMITS, NUMBERS, ON_THE_TABLE, wound_pair
from bot.questions.permission import permitted
from bot.questions.persons import into_a_fight, sides_differ, slain_is_another, two_persons
from bot.questions.question import MAY, MUST, Question
from bot.questions.shapes import LOOSE, Hit, Narrower, Shape, best, shapes_of
from bot.questions.values import HOLDS, inches, values_of
from bot.questions.verdict import DEPENDS, NO, YES, Verdict, as_asked, opposite
from resolver.ruleset import Ruleset

MEASURES = frozenset(
    {"inches", "number", "modifier-number", "ordinal", "some-number", "two", "one", "2+", "3+", "4+", "5+", "6+"}
)
# Told of what is asked about, whoever tells it.
DECISIVE = frozenset({"spilling", "not-spilling", "leave-melee", "slain-before", "casualty"})
CONDITIONS = frozenset({"if", "when"})


class Judge:
    """Knows every ruling; asks the ruleset for whatever is played one way here and another way there."""

    def __init__(self, rulings: Iterable[Ruling], narrower: Narrower) -> None:
        self.shapes = shapes_of(rulings, narrower)
        self._by_first: dict[str, list[int]] = {}
        for place, shape in enumerate(self.shapes):
            for concept in shape.groups[0]:
                self._by_first.setdefault(concept, []).append(place)

    def verdict(self, question: Question, ruleset: Ruleset) -> Verdict | None:
        """The answer, or None if no ruling covers the question.

        Words not understood leave only the nearest ruling, without a yes or a no.
        """
        covered = self._covered(question, ruleset)
        if covered is not None or not question.nearly_understood:
            return self._unless_alone_otherwise(covered, question, ruleset)
        nearest = self._covered(question.understood, ruleset)
        return None if nearest is None or nearest.table else replace(nearest, answer=None, exact=False, says="")

    def _unless_alone_otherwise(self, covered: Verdict | None, question: Question, ruleset: Ruleset) -> Verdict | None:
        """The verdict; no yes or no where what is told would turn what the asking part by itself is answered.

        It may have been told of somebody else, or only beside the matter.
        """
        alone = question.alone
        if alone is None or covered is None or covered.answer not in (YES, NO) or _told_to_be_asked(question):
            return covered
        other = self._covered(alone, ruleset)
        turned = other is not None and other.exact and other.answer == opposite(covered.answer)
        return replace(covered, answer=None, exact=False, says="") if turned else covered

    def _covered(self, question: Question, ruleset: Ruleset) -> Verdict | None:
        if into_a_fight(question.words) or slain_is_another(question.words):
            return None
        allowed = permitted(question, ruleset)
        if allowed is not None:
            return allowed
        hit = best(question, self._near(question))
        if hit is not None and hit.shape.order and two_persons(question.words):
            return None  # the order of one side's phases says nothing of what the other does
        if hit is None:
            return None
        if hit.shape.ruling.one_side and hit.exact and sides_differ(question.words):
            hit = replace(hit, answer=None, exact=False)
        return as_asked(_verdict(hit, question, ruleset), question)

    def _near(self, question: Question) -> tuple[Shape, ...]:
        """The shapes that the question may fit at all, in the order in which they are written."""
        asked = question.concepts | LOOSE
        places = {place for concept in asked for place in self._by_first.get(concept, ())}
        return tuple(shape for place in sorted(places) if (shape := self.shapes[place]).meets(asked))


def _told_to_be_asked(question: Question) -> bool:
    """ "13 inches. May I declare": the only numbers are told; "it spills. Is the rest lost": so is the matter."""
    asking = set(question.asking)
    told = [word for word in question.words if word not in asking]
    measured = any(word.number is not None for word in told) and not any(word.number is not None for word in asking)
    return measured or any(word.concept in DECISIVE for word in told)


def _verdict(hit: Hit, question: Question, ruleset: Ruleset) -> Verdict:
    ruling = hit.shape.ruling
    values = values_of(ruleset) | _measured(question) | _compared_pair(question, ruleset)
    because = ruling.because.format_map(values)
    answer = _compared(hit, question, ruleset)
    if ruling.feature is not None and not ruleset.has(ruling.feature):
        answer = None
        because = f"{ruleset.title} is played without {ruling.feature}. Where it is played: {because}"
    elif ruling.holds and not HOLDS[ruling.holds](ruleset):
        answer = opposite(hit.answer) if hit.answer else None
        because = ruling.otherwise.format_map(values)
    return Verdict(answer, because, ruling.entry, exact=hit.exact, table=ruling.scenery, ruling=ruling.id)


def _compared(hit: Hit, question: Question, ruleset: Ruleset) -> str | None:
    """A measured question is decided by its number: at the limit is within it."""
    limit = hit.shape.ruling.limit
    if not limit or hit.answer not in (YES, NO) or not hit.shape.concepts & MEASURES:
        return hit.answer
    if question.asked == MUST and any(word.concept in CONDITIONS for word in question.words):
        return None  # "must I charge if he is within 12" asks for the deed, not for the distance
    if limit in LIMITS and any(word.concept == "far" and not word.said.startswith("too") for word in question.words):
        beyond = len(question.inches) == 1 and question.inches[0] >= LIMITS[limit](ruleset)
        return NO if beyond else None  # "more than 10" may be more than 12
    if limit in LIMITS and any(word.concept == "below" for word in question.words):
        inside = len(question.inches) == 1 and question.inches[0] <= LIMITS[limit](ruleset)
        return YES if inside and hit.answer == YES and question.asked != MUST else None  # "less than 15" may be 13
    holds = _within(limit, hit, question, ruleset)
    if holds is None:
        return DEPENDS if limit in ON_THE_TABLE else None
    if not holds and hit.answer == NO and question.asked == MAY:
        return None  # what is forbidden within a limit is not allowed for being beyond it
    return hit.answer if holds else opposite(hit.answer)


def _within(limit: str, hit: Hit, question: Question, ruleset: Ruleset) -> bool | None:
    """Whether the numbers named keep to the limit; None if they do not settle it."""
    if limit in NUMBERS:
        return NUMBERS[limit](question, ruleset)
    if len(question.inches) != 1:
        return None
    most = LIMITS[limit](ruleset)
    return question.inches[0] == most if hit.shape.must and question.asked == MUST else question.inches[0] <= most


def _compared_pair(question: Question, ruleset: Ruleset) -> dict[str, str]:
    """The strength and the toughness that the question names, compared."""
    pair = wound_pair(question)
    if pair is None or ruleset.wound_chart is None:
        return {"compared": ""}
    return {"compared": f"S{pair[0]} against T{pair[1]} needs {ruleset.wound_chart.needed(*pair)[0]}+. "}


def _measured(question: Question) -> dict[str, str]:
    """The number that the question names, and its half."""
    number = max(question.inches, default=0.0)
    return {"number": inches(number), "half": inches(number / 2)}
