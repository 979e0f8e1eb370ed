"""The limits that decide a question with numbers in it, by the name that rulings call them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from math import ceil

from bot.questions.meaning import HIGHEST, NATURAL_FAIL
from bot.questions.question import Question
from bot.questions.words import ORDINAL
from resolver.ruleset import Ruleset

# Distances: one measured number is compared with each, edge included.
LIMITS: Mapping[str, Callable[[Ruleset], float]] = {
    "charge within": lambda ruleset: ruleset.movement.charge_within,
    "engaged within": lambda ruleset: ruleset.movement.engaged_within,
    "coherency": lambda ruleset: ruleset.movement.coherency,
}


_NUMBERED = frozenset({"number", "some-number", "two", "one", NATURAL_FAIL, HIGHEST})
_STANDS = re.compile(r"\b(?:at|am|away|within|in|inside|from|stands?|standing)\b")


def _said(question: Question) -> str:
    return " ".join(word.said for word in question.words)


def _half_range(question: Question, ruleset: Ruleset) -> bool | None:
    distances = question.inches
    if len(distances) != 2 or (min(distances) < max(distances) / 2 and not _STANDS.search(_said(question))):
        return None  # "is half range of 30 inches 12" asks how far it is, not who is in it
    return min(distances) <= max(distances) / 2


def _charge_distance(question: Question, ruleset: Ruleset) -> bool | None:
    return question.inches == (ruleset.movement.charge_within,)


def _two_distances(question: Question, ruleset: Ruleset) -> bool | None:
    return question.inches[0] <= question.inches[1] if len(question.inches) == 2 else None


def _rounds(question: Question, ruleset: Ruleset) -> bool | None:
    return question.counts[0] == ruleset.rounds if len(question.counts) == 1 else None


def _numbered_round(question: Question, ruleset: Ruleset) -> bool | None:
    """A third round is played where there are at least three."""
    told = [word.number for word in question.words if word.concept == ORDINAL and word.number is not None]
    return told[0] <= ruleset.rounds if len(told) == 1 else None


def _phases(question: Question, ruleset: Ruleset) -> bool | None:
    told = [word.number for word in question.words if word.number is not None]
    return told[0] == len(ruleset.phases) if len(told) == 1 else None


def _beyond(question: Question, ruleset: Ruleset) -> bool | None:
    """A modifier within the cap may be had or not; only one beyond it is settled."""
    beyond = [abs(number) > ruleset.modifier_cap for number in question.modifiers]
    return True if beyond == [True] or _is_the_sum(question.modifiers, question, ruleset) else None


def _is_the_sum(modifiers: tuple[float, ...], question: Question, ruleset: Ruleset) -> bool:
    """ "+1 from this and +1 from that, do I get +2", "two things give +1": the last number is the others together."""
    *parts, last = modifiers or (0.0,)
    twice = any(word.concept == "two" for word in question.words) and len(parts) == 1
    whole = 2 * sum(parts) if twice else sum(parts)
    return (twice or len(parts) > 1) and abs(last) > ruleset.modifier_cap and whole == last


def _cap(question: Question, ruleset: Ruleset) -> bool | None:
    return {abs(number) for number in question.modifiers} == {ruleset.modifier_cap}


def _cover(question: Question, ruleset: Ruleset) -> bool | None:
    return question.modifiers == (ruleset.cover,)


def _magnitude(question: Question, ruleset: Ruleset) -> bool | None:
    return len({abs(number) for number in (*question.modifiers, *question.counts)}) == 1


def _targets(question: Question) -> list[float]:
    return [word.number for word in question.words if word.number and word.concept == f"{word.number:g}+"]


def _worsened(question: Question, ruleset: Ruleset) -> bool | None:
    """From the first target number to the second by the whole AP."""
    targets, by = _targets(question), {abs(number) for number in (*question.modifiers, *question.counts)}
    return targets[0] + by.pop() == targets[1] if len(targets) == 2 and len(by) == 1 else None


def _covered(question: Question, ruleset: Ruleset) -> bool | None:
    """From the first target number to the second by the worth of cover, and never better than the best save."""
    targets = _targets(question)
    return max(targets[0] - ruleset.cover, ruleset.best_save) == targets[1] if len(targets) == 2 else None


def _unchanged(question: Question, ruleset: Ruleset) -> bool | None:
    targets = _targets(question)
    return targets[0] == targets[1] if len(targets) == 2 else None


def _halved(question: Question, ruleset: Ruleset) -> bool | None:
    """ "Half of 5 damage is 3": halves are rounded up."""
    numbers = [word.number for word in question.words if word.number is not None and word.concept in _NUMBERED]
    return ceil(max(numbers) / 2) == min(numbers) if len(numbers) == 2 else None


# Everything else that is compared: whether the numbers keep to it, or None if they do not settle it.
NUMBERS: Mapping[str, Callable[[Question, Ruleset], bool | None]] = {
    "half range": _half_range,
    "charge distance": _charge_distance,
    "two distances": _two_distances,
    "halved": _halved,
    "worsened by AP": _worsened,
    "eased by cover": _covered,
    "unchanged": _unchanged,
    "rounds": _rounds,
    "phases": _phases,
    "last round": _numbered_round,
    "modifiers": _beyond,
    "cap": _cap,
    "cover": _cover,
    "magnitude": _magnitude,
}
