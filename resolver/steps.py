"""One die of an attack built from the rules: which faces pass, are critical or are thrown again.

Every function gives a Check whose reasons say in plain words how its number came about.
"""

from __future__ import annotations

from dataclasses import dataclass

from resolver.amount import Amount
from resolver.attack import Reroll, TargetGroup, WeaponGroup
from resolver.check import Check, Feeds
from resolver.refused import within
from resolver.ruleset import Ruleset, Step

NOTHING: Feeds = {}


@dataclass(frozen=True)
class Outcome:
    """What a passing and a critical face of one step feed (a failing one nothing); `why` tells the latter."""

    passed: Feeds
    critical: Feeds
    why: tuple[str, ...] = ()


@dataclass(frozen=True)
class Roll:
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
    criticals = frozenset({rules.die}) if Step.SAVE in rules.natural_pass and number else frozenset[int]()
    passing = _passing(number or rules.die + 1, criticals, rules)
    needed = min(passing, default=rules.die + 1)
    rows = tuple(NOTHING if face >= needed else failed for face in _faces(rules))
    if needed > rules.die:
        return Check("save", rows, needed, reasons=reasons)
    again = _again(group.reroll_save, passing, frozenset(), rules)
    reasons += _reroll_reasons(group.reroll_save, "save")
    return Check("save", rows, needed, *again, reasons)


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
    criticals, critical_reasons = _criticals(roll, rules)
    number, modifier_reasons = _modified(roll, rules)
    passing = _passing(number, criticals, rules)
    needed = min(passing, default=rules.die + 1)
    rows = tuple(_row(face, passing, criticals, outcome) for face in _faces(rules))
    reasons = roll.reasons + modifier_reasons
    if needed != number:
        reasons += (_natural_reason(needed, number, criticals, rules),)
    reasons += critical_reasons + (outcome.why if criticals else ())
    if needed > rules.die:
        return Check(roll.step, rows, needed, reasons=reasons)
    again = _again(roll.reroll, passing, criticals, rules)
    return Check(roll.step, rows, needed, *again, reasons + _reroll_reasons(roll.reroll, roll.step))


def _faces(rules: Ruleset) -> range:
    return range(1, rules.die + 1)


def _row(face: int, passing: frozenset[int], criticals: frozenset[int], outcome: Outcome) -> Feeds:
    if face in criticals:
        return outcome.critical
    return outcome.passed if face in passing else NOTHING


def _passing(number: int, criticals: frozenset[int], rules: Ruleset) -> frozenset[int]:
    """Natural faces first: low ones always fail, criticals always pass; then the number decides."""
    good = {face for face in _faces(rules) if face >= number and face > rules.natural_fail}
    return frozenset(good | criticals)


def _criticals(roll: Roll, rules: Ruleset) -> tuple[frozenset[int], tuple[str, ...]]:
    """The critical faces: from the threshold said, or the highest face where the rules let it always pass."""
    if roll.threshold is None:
        always = roll.step in rules.natural_pass or roll.number - _held(roll, rules) <= rules.die
        return frozenset({rules.die} if always else ()), ()
    faces = frozenset(face for face in _faces(rules) if face >= roll.threshold and face > rules.natural_fail)
    return faces, (f"a natural {roll.threshold} or more is a critical {roll.step}, and always passes",)


def _held(roll: Roll, rules: Ruleset) -> int:
    return max(-rules.modifier_cap, min(rules.modifier_cap, roll.modifier))


def _modified(roll: Roll, rules: Ruleset) -> tuple[int, tuple[str, ...]]:
    """The number after the modifiers, which are held within the ruleset's cap."""
    held = _held(roll, rules)
    number = roll.number - held
    reasons: tuple[str, ...] = ()
    if held != roll.modifier:
        reasons += (f"{roll.modifier:+d} to {roll.step} is held to {held:+d}",)
    if held:
        reasons += (f"{held:+d} to {roll.step} turns {roll.number}+ into {number}+",)
    return number, reasons


def _natural_reason(needed: int, number: int, criticals: frozenset[int], rules: Ruleset) -> str:
    if needed > rules.die:
        return f"no face reaches {number}+"
    if needed > number:
        return f"a natural {needed - 1} always fails, so {needed}+"
    if criticals == {rules.die}:
        return f"a natural {rules.die} always passes, so {needed}+"
    return f"critical from {needed}, so {needed}+"


def _again(
    reroll: Reroll | None, passing: frozenset[int], criticals: frozenset[int], rules: Ruleset
) -> tuple[frozenset[int], frozenset[int]]:
    """The faces thrown again, and the faces of which a single die is."""
    every = frozenset(_faces(rules))
    none: frozenset[int] = frozenset()
    if reroll is Reroll.ONES:
        return frozenset({1}), none
    if reroll is Reroll.FAILED:
        return every - passing, none
    if reroll is Reroll.NON_CRITICAL:
        return every - criticals, none
    return none, every - passing if reroll is Reroll.ONE_FAILED else none


def _reroll_reasons(reroll: Reroll | None, step: str) -> tuple[str, ...]:
    if reroll is None:
        return ()
    if reroll is Reroll.ONES:
        return (f"natural 1s to {step} are thrown again",)
    if reroll is Reroll.ONE_FAILED:
        return (f"one failed {step} is thrown again",)
    return (f"{reroll} {step}s are thrown again",)


def _save_number(group: TargetGroup, weapon: WeaponGroup, rules: Ruleset) -> tuple[int | None, tuple[str, ...]]:
    """The number needed to save before natural faces (None: no save at all), and why."""
    if Step.SAVE not in rules.steps:
        return None, (f"{rules.title} has no save roll",)
    armour, reasons = _armour(group, weapon, rules)
    numbers = [number for number in (armour, group.fixed_save) if number is not None]
    if not numbers:
        return None, ("there is no save",)
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
    rows = tuple(NOTHING if face >= needed else {"lost": 1} for face in _faces(rules))
    return Check("ignore", rows, needed, reasons=(f"each point of damage is ignored on {needed}+",))
