"""The limits that decide a question with numbers in it, by the name that rulings call them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from itertools import pairwise
from math import ceil

from bot.questions.meaning import HIGHEST, NATURAL_FAIL
from bot.questions.question import MAY, Question
from bot.questions.words import ORDINAL, Word
from resolver.movement import needed
from resolver.ruleset import Ruleset

# Distances: one measured number is compared with each, edge included.
LIMITS: Mapping[str, Callable[[Ruleset], float]] = {
    "charge within": lambda ruleset: ruleset.movement.charge_within,
    "engaged within": lambda ruleset: ruleset.movement.engaged_within,
    "coherency": lambda ruleset: ruleset.movement.coherency,
}


_NUMBERED = frozenset({"number", "some-number", "two", "one", NATURAL_FAIL, HIGHEST})
_CLAIMS = frozenset({"is", "equals", "equal", "makes", "gives", "total", "becomes", "get"})
_TIMES = frozenset({"number", "some-number", "two", "one"})
# A strength and a toughness of each kind.
_KINDS = {"double": (8, 4), "same": (4, 4), "half": (2, 4)}
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
    """A modifier within the cap may be had or not; only one beyond it is settled, or the sum of the others."""
    claimed = _claimed_sum(question, ruleset)
    if claimed is not None:
        return not claimed
    beyond = [abs(number) > ruleset.modifier_cap for number in question.modifiers]
    return True if beyond == [True] or _is_the_sum(question.modifiers, question, ruleset) else None


def _claimed_sum(question: Question, ruleset: Ruleset) -> bool | None:
    """ "+1 +1 -1, is it +1": whether the last modifier, where it is claimed of the others, is their capped sum."""
    *parts, (_, last) = _counted_modifiers(question) or [(0.0, 0.0)]
    places = [place for place, word in enumerate(question.words) if word.concept == "modifier-number"]
    between = {word.said for word in question.words[places[-2] + 1 : places[-1]]} if len(places) > 1 else set()
    if len(parts) < 2 or not between & _CLAIMS or {"hit", "wound"} <= question.concepts:
        return None
    whole = sum(times * number for times, number in parts)
    return max(-ruleset.modifier_cap, min(ruleset.modifier_cap, whole)) == last


def _is_the_sum(modifiers: tuple[float, ...], question: Question, ruleset: Ruleset) -> bool:
    """ "+1 from this and +1 from that, do I get +2", "two things give +1": the last number is the others together."""
    *parts, last = modifiers or (0.0,)
    twice = any(word.concept == "two" for word in question.words) and len(parts) == 1
    whole = 2 * sum(parts) if twice else sum(parts)
    return (twice or len(parts) > 1) and abs(last) > ruleset.modifier_cap and whole == last


def _cap(question: Question, ruleset: Ruleset) -> bool | None:
    """Whether the modifiers named are the cap; "three -1s and one +1: capped at -1" adds up those before the last."""
    told = _counted_modifiers(question)
    sizes = {abs(number) for number in question.modifiers}
    if len(told) < 3 and len(sizes) == 1:
        return sizes == {ruleset.modifier_cap}
    if {"hit", "wound"} <= question.concepts:
        return None
    *parts, (_, last) = told
    whole = sum(times * number for times, number in parts)
    return max(-ruleset.modifier_cap, min(ruleset.modifier_cap, whole)) == last


def _cancel(question: Question, ruleset: Ruleset) -> bool | None:
    """Whether the modifiers told come to nothing; whatever else they come to is not asked."""
    told = _counted_modifiers(question)
    return True if len(told) > 1 and not sum(times * number for times, number in told) else None


def _counted_modifiers(question: Question) -> list[tuple[float, float]]:
    """Each modifier with how many times it is told: "three -1s and one +1"."""
    found = []
    for before, word in pairwise((Word("", ""), *question.words)):
        if word.concept == "modifier-number" and word.number is not None:
            times = _worth(before) if before.concept in _TIMES else None
            found.append((1.0 if times is None else times, word.number))
    return found


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


def _numbers_of(question: Question, concept: str) -> list[int]:
    """The numbers said with a concept: "S7"."""
    return [int(word.number) for word in question.words if word.concept == concept and word.number is not None]


def wound_pair(question: Question) -> tuple[int, int] | None:
    """The one strength and the one toughness that are named; 8 and 4 for any that is double, and so on."""
    strength, toughness = _numbers_of(question, "strength"), _numbers_of(question, "toughness")
    if len(strength) == len(toughness) == 1:
        return strength[0], toughness[0]
    if not question.names_earlier(frozenset({"strength"}), frozenset({"toughness"})):
        return None  # "toughness is double my strength"
    kinds = [pair for kind, pair in _KINDS.items() if kind in question.concepts]
    return kinds[0] if len(kinds) == 1 and not (strength or toughness) else None


def _wounds_on(question: Question, ruleset: Ruleset) -> bool | None:
    """Whether this strength wounds this toughness on just this number."""
    pair, targets = wound_pair(question), _targets(question)
    if pair is None or len(targets) != 1 or ruleset.wound_chart is None:
        return None
    least, _ = ruleset.wound_chart.needed(*pair)
    return None if least < targets[0] else least == targets[0]  # who needs a 2 wounds on a 3 as well


def _charge_reached(question: Question, ruleset: Ruleset) -> bool | None:
    """Whether the roll named brings the unit over the measured distance."""
    if len(question.inches) != 1 or len(question.counts) != 1:
        return None
    return question.counts[0] >= needed(ruleset.movement, question.inches[0])


def _in_weapon_range(question: Question, ruleset: Ruleset) -> bool | None:
    """ "Range 24, he is 24.5 away": the number behind "range" against the other one."""
    row = [word for word in question.words if word.concept == "range" or word.concept == "inches"]
    ranges = [word.number for last, word in pairwise(row) if last.said.endswith("range") and word.number]
    if len(ranges) != 1 or len(question.inches) != 2:
        return None
    distance = sum(question.inches) - ranges[0]
    near = distance <= ruleset.movement.engaged_within  # whoever is so near is engaged and shoots at nobody
    return None if near else distance <= ranges[0]


def _full_fives(question: Question, ruleset: Ruleset) -> bool | None:
    """ "9 models, he takes two": whole fives of the first number against the second."""
    told = [_worth(word) for word in question.words if word.concept in (*_NUMBERED, "modifier-number")]
    numbers = [number for number in told if number is not None]
    return numbers[0] // 5 == numbers[1] if len(numbers) == 2 and numbers[0] >= 5 else None


def _worth(word: Word) -> float | None:
    return 1.0 if word.said == "one" else word.number


def _critical_face(question: Question, ruleset: Ruleset) -> bool | None:
    """A natural face at the threshold or above is a critical; one below it is settled by the total."""
    naturals = [word.number for last, word in pairwise(question.words) if last.concept == "natural" and word.number]
    targets = _targets(question)
    return True if len(naturals) == len(targets) == 1 and naturals[0] >= targets[0] else None


def _save_left(question: Question, ruleset: Ruleset) -> bool | None:
    """Whether the armour save can be made at all, where that is asked; or the number that it is said to become."""
    targets, by = _targets(question), {abs(number) for number in (*question.modifiers, *question.counts)}
    if len(targets) == 2:
        return _worsened(question, ruleset)
    if question.asked != MAY or len(targets) != 1 or len(by) != 1:
        return None
    return targets[0] + by.pop() <= ruleset.die


# Where the numbers do not settle it, the table does.
ON_THE_TABLE = frozenset({"weapon range"})
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
    "cancel": _cancel,
    "wound chart": _wounds_on,
    "charge reached": _charge_reached,
    "full fives": _full_fives,
    "weapon range": _in_weapon_range,
    "save left": _save_left,
    "critical face": _critical_face,
    "magnitude": _magnitude,
}
