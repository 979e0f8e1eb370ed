"""What can come of an attack at all: the numbers that each count may take, whatever their chances round to.

Sets of numbers are kept as the bits of one whole number, so that adding two sets is a few shifts. Damage is walked
from state to state; where that is too long it is told as None, and nothing is known of it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from resolver.attack import Target
from resolver.check import Check, Feeds
from resolver.counts import damage_chances
from resolver.plan import GroupPlan, Plan

MOST_STEPS = 30_000  # of the walk over damage, about a hundredth of a second
_ONE = 0b10  # the set of the number 1


def possible(plan: Plan, count: str) -> Collection[int] | None:
    """Every number that hits, wounds, unsaved, damage or slain can come to; None where it is not known."""
    if count in ("damage", "slain"):
        done = _damage(plan)
        return done if done is None or count == "damage" else {_fallen(plan.target, damage) for damage in done}
    if count == "unsaved" and len(plan.target.groups) > 1:
        return None  # it ends with the last model
    total = 1
    for weapon in plan.weapons:
        total = _plus(total, _counted(weapon, count))
    return set(_numbers(total))


def _counted(weapon: GroupPlan, count: str) -> int:
    """The set of the numbers of things that may be outstanding after the checks of a count."""
    of_one: dict[str, int] = {}
    checks: Sequence[Check] = weapon.checks[: weapon.counted[count]]
    for check in reversed(checks):
        found = 0
        for row, _ in check.shares:
            found |= _fed(row, of_one)
        of_one[check.name] = found
    return _fed(weapon.start, of_one)


def _fed(row: Feeds, of_one: dict[str, int]) -> int:
    total = 1
    for name, count in row.items():
        total = _plus(total, _times(of_one.get(name, _ONE), count))
    return total


def _times(numbers: int, count: int) -> int:
    """The set of all sums of so many numbers of a set."""
    total = 1
    while count:
        if count & 1:
            total = _plus(total, numbers)
        numbers = _plus(numbers, numbers) if count > 1 else numbers
        count >>= 1
    return total


def _plus(one: int, other: int) -> int:
    """The set of all sums of a number of each set."""
    total = 0
    for first, last in _runs(other):
        spread, width = one, 1
        while width <= last - first:
            step = min(width, last - first + 1 - width)
            spread |= spread << step
            width += step
        total |= spread << first
    return total


def _runs(numbers: int) -> Iterator[tuple[int, int]]:
    """The first and the last number of each stretch without a gap."""
    at = 0
    while numbers:
        zeros = (numbers & -numbers).bit_length() - 1
        numbers >>= zeros
        ones = (~numbers & (numbers + 1)).bit_length() - 1
        yield at + zeros, at + zeros + ones - 1
        numbers >>= ones
        at += zeros + ones


def _numbers(numbers: int) -> Iterator[int]:
    for first, last in _runs(numbers):
        yield from range(first, last + 1)


def _damage(plan: Plan) -> set[int] | None:
    """The damage that may be done after all weapon groups; None beyond MOST_STEPS."""
    states, steps = {0}, 0
    for weapon in plan.weapons:
        points = [_points(weapon, group) for group in range(len(plan.target.groups))]
        blows = _counted(weapon, "unsaved")
        reached, now = (set(states) if blows & 1 else set()), states
        free = blows & (blows + 1) == 0  # any number up to the most: what was reached before brings nothing new
        for blow in range(1, blows.bit_length()):
            steps += len(now) * max(map(len, points))
            if steps > MOST_STEPS:
                return None
            now = {after for state in now for after in _after(plan.target, state, points, weapon)}
            now = now - reached if free else now
            if blows >> blow & 1:
                reached |= now
            if not now:
                break
        states = reached
    return states


def _points(weapon: GroupPlan, group: int) -> set[int]:
    """What one wound may take of a target group; nothing, if it may still be saved."""
    found = {points for points, chance in enumerate(damage_chances(weapon.damages[group])) if chance}
    return found | {0} if len(weapon.saves) > 1 and weapon.saves[group].thrown else found


def _after(target: Target, state: int, points: Sequence[set[int]], weapon: GroupPlan) -> Iterator[int]:
    """The damage done after one more wound."""
    before = 0
    for number, group in enumerate(target.groups):
        end = None if group.models is None else before + group.models * group.wounds - group.lost
        if end is None or state < end:
            room = group.wounds - (state - before + group.lost) % group.wounds
            spills, whole = weapon.damages[number].spills, _end(target)
            for taken in points[number]:
                after = state + (taken if spills else min(taken, room))
                yield after if whole is None else min(after, whole)
            return
        before = end
    yield state


def _end(target: Target) -> int | None:
    """The damage at which no model is left."""
    if target.models is None:
        return None
    return sum((group.models or 0) * group.wounds - group.lost for group in target.groups)


def _fallen(target: Target, damage: int) -> int:
    """The models slain by so much damage."""
    fallen = 0
    for group in target.groups:
        room = damage if group.models is None else min(damage, group.models * group.wounds - group.lost)
        fallen += (room + group.lost) // group.wounds if room else 0
        damage -= room
    return fallen
