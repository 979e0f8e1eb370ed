"""The values of a ruleset that texts may name in {braces}, worded for players, and the statements that may hold."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from resolver.movement import LEAST
from resolver.ruleset import Ruleset, Step

_COUNTED = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]

# The statements about a ruleset on which an answer may hang.
HOLDS: Mapping[str, Callable[[Ruleset], bool]] = {
    "a natural 1 fails": lambda ruleset: ruleset.natural_fail >= 1,
    "the highest face hits": lambda ruleset: Step.HIT in ruleset.natural_pass,
    "the highest face wounds": lambda ruleset: Step.WOUND in ruleset.natural_pass,
    "the save needs its number": lambda ruleset: Step.SAVE not in ruleset.natural_pass,
    "there is a wound roll": lambda ruleset: Step.WOUND in ruleset.steps,
    "there is a command phase": lambda ruleset: any(phase.id == "command" for phase in ruleset.phases),
}


def values_of(ruleset: Ruleset) -> dict[str, str]:
    """Every value by the name that texts call it."""
    movement = ruleset.movement
    engaged = inches(movement.engaged_within)
    return {
        "ruleset": ruleset.title,
        "die": f"D{ruleset.die}",
        "highest": str(ruleset.die),
        "above": f"{ruleset.die + 1}+",
        "natural_fail": str(ruleset.natural_fail),
        "cap": str(ruleset.modifier_cap),
        "best_save": f"{ruleset.best_save}+",
        "cover": str(ruleset.cover),
        "advance": str(movement.advance).upper(),
        "charge": str(movement.charge).upper(),
        "charge_within": inches(movement.charge_within),
        "engaged_within": engaged,
        "charge_needs": f"the distance less {engaged}, rounded up, and at least {LEAST}",
        "coherency": inches(movement.coherency),
        "rounds": counted(ruleset.rounds),
        "phases": ", ".join(phase.title.removesuffix(" phase").lower() for phase in ruleset.phases),
        "chart": _chart(ruleset),
    }


def inches(distance: float) -> str:
    """A distance as players write it."""
    return f'{distance:g}"'


def counted(number: int) -> str:
    """A small number as a word."""
    return _COUNTED[number] if number < len(_COUNTED) else str(number)


def _chart(ruleset: Ruleset) -> str:
    chart = ruleset.wound_chart
    if chart is None:
        return "this ruleset has no wound roll"
    pairs = ((8, 4), (5, 4), (4, 4), (3, 4), (2, 4))
    return "; ".join(f"S{s} against T{t} needs {chart.needed(s, t)[0]}+" for s, t in pairs)
