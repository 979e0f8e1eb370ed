"""One die of an attack built from the rules: which faces pass, are critical or are thrown again.

Every function gives a Check whose reasons say in plain words how its number came about.
"""

from __future__ import annotations

from typing import NamedTuple

from resolver.amount import Amount
from resolver.attack import Reroll, TargetGroup, WeaponGroup
from resolver.check import Check, Feeds
from resolver.refused import within
from resolver.ruleset import Ruleset, Step

NOTHING: Feeds = {}
NO_FACES: frozenset[int] = frozenset()
NO_SAVE = 1000  # beyond every die


class Outcome(NamedTuple):
    """What a passing and a critical face of one step feed (a failing one nothing); `why` tells the latter."""

    passed: Feeds
    critical: Feeds
    why: tuple[str, ...] = ()


class Roll(NamedTuple):
    """What is known of a hit or wound die before the natural faces are looked at."""

    step: Step
    number: int
    modifier: int
    reroll: Reroll | None
    threshold: int | None
    reasons: tuple[str, ...]


def hit_check(weapon: WeaponGroup, number: int, outcome: Outcome, rules: Ruleset) -> Check:
    """The hit die of a weapon group that hits on `number`."""
    reasons = (f"this weapon hits on {number}+",)
    roll = Roll(Step.HIT, number, weapon.to_hit, weapon.reroll_hit, weapon.critical_hit, reasons)
    return _check(roll, outcome, rules)


def wound_check(weapon: WeaponGroup, number: int, why: str, outcome: Outcome, rules: Ruleset) -> Check:
    """The wound die of a weapon group that wounds on `number` for the reason `why`."""
    roll = Roll(Step.WOUND, number, weapon.to_wound, weapon.reroll_wound, weapon.critical_wound, (why,))
    return _check(roll, outcome, rules)


def save_check(group: TargetGroup, weapon: WeaponGroup, failed: Feeds, rules: Ruleset) -> Check:
    """The save of a target group against a weapon group: the better of worn-down armour and fixed save."""
    number, reasons = _save_number(group, weapon, rules)
    needed = max(number, rules.natural_fail + 1)
    if Step.SAVE in rules.natural_pass and number < NO_SAVE:
        needed = min(needed, rules.die)
    needed = min(needed, rules.die + 1)
    rows = (failed,) * (needed - 1) + (NOTHING,) * (rules.die + 1 - needed)
    if needed > rules.die:
        return Check("save", rows, needed, reasons=reasons)
    again = _again(group.reroll_save, needed, needed)
    return Check("save", rows, needed, *again, reasons + _reroll_reasons(group.reroll_save, "save"))


def amount_check(name: str, amount: Amount, why: str, feeds: str, times: int = 1) -> tuple[Check | None, Feeds]:
    """The die of an amount whose every point feeds `times` of `feeds`, and what the amount feeds once rolled.

    The second value holds the dice themselves and the part that is no dice; neither is ever negative, since
    a subtracted number is taken from the faces instead.
    """
    if not amount.dice:
        return None, {feeds: amount.plus * times}
    less = 1 if amount.plus < 0 else 0
    rows = tuple({feeds: (face - less) * times} for face in range(1, amount.sides + 1))
    fed = {name: amount.dice, feeds: (amount.plus + less * amount.dice) * times}
    return Check(name, rows, reasons=(why,)), fed


def _check(roll: Roll, outcome: Outcome, rules: Ruleset) -> Check:
    """Natural faces first: low ones always fail, critical ones always pass; then the number decides."""
    number, reasons = _modified(roll, rules)
    critical = _first_critical(roll, number, rules)
    needed = min(max(number, rules.natural_fail + 1), critical)
    rows = (NOTHING,) * (needed - 1) + (outcome.passed,) * (critical - needed)
    rows += (outcome.critical,) * (rules.die + 1 - critical)
    if needed != number:
        reasons += (_natural_reason(needed, number, critical, rules),)
    if roll.threshold is not None:
        reasons += (f"a natural {critical} or more is a critical {roll.step}, and always passes",)
    if critical <= rules.die:
        reasons += outcome.why
    if needed > rules.die:
        return Check(roll.step, rows, needed, reasons=reasons)
    again = _again(roll.reroll, needed, critical)
    return Check(roll.step, rows, needed, *again, reasons + _reroll_reasons(roll.reroll, roll.step))


def _first_critical(roll: Roll, number: int, rules: Ruleset) -> int:
    """The lowest critical face: as said, else the highest face if it passes; past the die if there is none."""
    if roll.threshold is not None:
        return max(roll.threshold, rules.natural_fail + 1)
    return rules.die if roll.step in rules.natural_pass or number <= rules.die else rules.die + 1


def _modified(roll: Roll, rules: Ruleset) -> tuple[int, tuple[str, ...]]:
    """The number after the modifiers, which are held within the ruleset's cap, and why."""
    reasons = roll.reasons
    if not roll.modifier:
        return roll.number, reasons
    held = max(-rules.modifier_cap, min(rules.modifier_cap, roll.modifier))
    number = roll.number - held
    if held != roll.modifier:
        reasons += (f"{roll.modifier:+d} to {roll.step} is held to {held:+d}",)
    if held:
        reasons += (f"{held:+d} to {roll.step} turns {roll.number}+ into {number}+",)
    return number, reasons


def _natural_reason(needed: int, number: int, critical: int, rules: Ruleset) -> str:
    if needed > rules.die:
        return f"no face reaches {number}+"
    if needed > number:
        return f"a natural {needed - 1} always fails, so {needed}+"
    if critical == rules.die:
        return f"a natural {rules.die} always passes, so {needed}+"
    return f"critical from {needed}, so {needed}+"


def _again(reroll: Reroll | None, needed: int, critical: int) -> tuple[frozenset[int], frozenset[int]]:
    """The faces thrown again, and the faces of which a single die is."""
    if reroll is None:
        return NO_FACES, NO_FACES
    if reroll is Reroll.ONES:
        return frozenset({1}), NO_FACES
    if reroll is Reroll.NON_CRITICAL:
        return frozenset(range(1, critical)), NO_FACES
    failing = frozenset(range(1, needed))
    return (failing, NO_FACES) if reroll is Reroll.FAILED else (NO_FACES, failing)


def _reroll_reasons(reroll: Reroll | None, step: str) -> tuple[str, ...]:
    if reroll is None:
        return ()
    if reroll is Reroll.ONES:
        return (f"natural 1s to {step} are thrown again",)
    if reroll is Reroll.ONE_FAILED:
        return (f"one failed {step} is thrown again",)
    return (f"{reroll} {step}s are thrown again",)


def _save_number(group: TargetGroup, weapon: WeaponGroup, rules: Ruleset) -> tuple[int, tuple[str, ...]]:
    """The number needed to save before natural faces, and why."""
    if Step.SAVE not in rules.steps:
        return NO_SAVE, (f"{rules.title} has no save roll",)
    armour, reasons = _armour(group, weapon, rules)
    numbers = [number for number in (armour, group.fixed_save) if number is not None]
    if not numbers:
        return NO_SAVE, ("there is no save",)
    number = min(numbers)
    if group.fixed_save is not None:
        better = armour is None or group.fixed_save < armour
        reasons += (f"the fixed save of {group.fixed_save}+ is {'used' if better else 'no better'}",)
    if number < rules.best_save:
        reasons += (f"a save is never better than {rules.best_save}+",)
    if number > rules.die:
        reasons += (f"no face reaches {number}+, so no dice are thrown",)
    return max(number, rules.best_save), reasons


def _armour(group: TargetGroup, weapon: WeaponGroup, rules: Ruleset) -> tuple[int | None, tuple[str, ...]]:
    """The armour save after AP and cover, and why."""
    if group.save is None:
        return None, ()
    cover = rules.cover if group.cover and not weapon.melee else 0
    reasons: tuple[str, ...] = () if weapon.ap or cover else (f"the armour saves on {group.save}+",)
    worn = group.save + weapon.ap
    if weapon.ap:
        reasons += (f"AP-{weapon.ap} turns a {group.save}+ save into {worn}+",)
    if cover:
        reasons += (f"cover turns a {worn}+ save into {worn - cover}+",)
    return worn - cover, reasons


def ignore_check(number: int, rules: Ruleset) -> Check:
    """The die that a model rolls for each point of damage, ignoring it on `number`."""
    within("ignore number", number, 2, rules.die)
    needed = max(number, rules.natural_fail + 1)
    rows: tuple[Feeds, ...] = ({"lost": 1},) * (needed - 1) + (NOTHING,) * (rules.die + 1 - needed)
    return Check("ignore", rows, needed, reasons=(f"each point of damage is ignored on {needed}+",))
