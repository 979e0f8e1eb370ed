"""A plain simulation of attacks with numpy, dice by dice, without the resolver's plan, checks or odds.

It knows the rules of the standard ruleset only, and works on one row of dice for each sample.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from resolver.amount import Amount
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup

Dice = NDArray[np.uint8]
Flags = NDArray[np.bool_]
Counts = NDArray[np.int16]


@dataclass
class Table:
    """`samples` games at once, all with the same target."""

    random: Generator
    samples: int
    target: Target
    group: Counts = field(init=False)  # the group that takes the next wound; the number of groups if none
    left: Counts = field(init=False)  # models left in that group
    lost: Counts = field(init=False)  # wounds lost by its first model
    damage: Counts = field(init=False)
    slain: Counts = field(init=False)

    def __post_init__(self) -> None:
        self.group, self.damage, self.slain = (np.zeros(self.samples, np.int16) for _ in range(3))
        self.left = np.full(self.samples, self.target.groups[0].models, np.int16)
        self.lost = np.full(self.samples, self.target.groups[0].lost, np.int16)

    def dice(self, columns: int, sides: int = 6, rows: int | None = None) -> Dice:
        shape = (self.samples if rows is None else rows, columns)
        return self.random.integers(1, sides + 1, shape, dtype=np.uint8)

    def sum_of(self, amount: Amount, rows: int) -> Counts:
        dice = self.dice(amount.dice, max(amount.sides, 1), rows)
        return (dice.sum(1, dtype=np.int16) + amount.plus).astype(np.int16)


def simulate(attack: Attack, samples: int, random: Generator) -> dict[str, Counts]:
    """Each of the counts for every sample."""
    table = Table(random, samples, attack.target)
    totals = {name: np.zeros(samples, np.int16) for name in ("attacks", "hits", "wounds", "unsaved")}
    for weapon in attack.weapons:
        for name, counts in _strike(table, weapon).items():
            totals[name] += counts
    return {**totals, "damage": table.damage, "slain": table.slain}


def _strike(table: Table, weapon: WeaponGroup) -> dict[str, Counts]:
    attacks = sum(table.sum_of(weapon.attacks, table.samples) for _ in range(weapon.models))
    assert isinstance(attacks, np.ndarray)
    hits, outright = _hits(table, weapon, attacks)
    rolled, pierced = _wounds(table, weapon, hits)
    wounds = rolled + outright
    if len(table.target.groups) == 1:
        unsaved = _failed_saves(table, weapon, table.target.groups[0], wounds) + pierced
        for k in range(int(unsaved.max(initial=0))):
            _damage(table, weapon, np.flatnonzero(unsaved > k))
    else:
        unsaved = _one_by_one(table, weapon, wounds, pierced)
    return {"attacks": attacks, "hits": hits + outright, "wounds": wounds + pierced, "unsaved": unsaved}


def _pool(
    table: Table, count: Counts, needed: int, critical: int, modifier: int, reroll: Reroll | None
) -> tuple[Flags, Flags]:
    """Which of the dice pass, and which are critical; dice beyond `count` do neither."""
    dice = table.dice(int(count.max(initial=0)))
    used = np.arange(dice.shape[1]) < count[:, None]
    bonus = max(-1, min(1, modifier))
    passes = np.array([_passes(face, needed, critical, bonus) for face in range(7)])
    again = np.zeros(7, np.bool_)
    if reroll is Reroll.ONES:
        again[1] = True
    elif reroll is Reroll.FAILED:
        again[1:] = ~passes[1:]
    elif reroll is Reroll.NON_CRITICAL:
        again[1:critical] = True
    if again.any():
        dice = np.where(again[dice], table.dice(dice.shape[1]), dice)
    if reroll is Reroll.ONE_FAILED and dice.shape[1]:
        failed = used & ~passes[dice]
        first, rows = failed.argmax(1), np.flatnonzero(failed.any(1))
        dice[rows, first[rows]] = table.dice(1, rows=len(rows))[:, 0]
    return passes[dice] & used, (dice >= critical) & used


def _passes(face: int, needed: int, critical: int, bonus: int) -> bool:
    return face > 1 and (face == 6 or face >= critical or face + bonus >= needed)


def _hits(table: Table, weapon: WeaponGroup, attacks: Counts) -> tuple[Counts, Counts]:
    """Hits that roll to wound, and wounds that need no roll."""
    if weapon.hit is None:
        return attacks, np.zeros_like(attacks)
    critical = weapon.critical_hit or 6
    passed, crits = _pool(table, attacks, weapon.hit, critical, weapon.to_hit, weapon.reroll_hit)
    hits, outright = _counted(passed), np.zeros_like(attacks)
    if weapon.critical_hits_wound:
        outright = _counted(crits)
        hits -= outright
    if weapon.extra_hits is not None:
        for column in range(crits.shape[1]):
            rows = np.flatnonzero(crits[:, column])
            hits[rows] += table.sum_of(weapon.extra_hits, len(rows))
    return hits, outright


def _wounds(table: Table, weapon: WeaponGroup, hits: Counts) -> tuple[Counts, Counts]:
    """Ordinary wounds and piercing ones."""
    critical = weapon.critical_wound or 6
    needed = weapon.wound or _chart(weapon.strength or 0, table.target.toughness or 0)
    passed, crits = _pool(table, hits, needed, critical, weapon.to_wound, weapon.reroll_wound)
    pierced = _counted(crits) if weapon.critical_wounds_pierce else np.zeros_like(hits)
    return _counted(passed) - pierced, pierced


def _chart(strength: int, toughness: int) -> int:
    if strength >= 2 * toughness:
        return 2
    if 2 * strength <= toughness:
        return 6
    return 4 + (toughness > strength) - (strength > toughness)


def _save(weapon: WeaponGroup, group: TargetGroup) -> int:
    worn = 7 if group.save is None else group.save + weapon.ap - (group.cover and not weapon.melee)
    return max(2, min(worn, group.fixed_save or 7))


def _failed(table: Table, weapon: WeaponGroup, group: TargetGroup, rows: int, columns: int) -> Flags:
    """Which of the saves fail, re-rolls made."""
    needed = max(2, _save(weapon, group))
    dice = table.dice(columns, rows=rows)
    if group.reroll_save is not None:
        again = dice == 1 if group.reroll_save is Reroll.ONES else dice < needed
        dice = np.where(again, table.dice(columns, rows=rows), dice)
    return dice < needed


def _failed_saves(table: Table, weapon: WeaponGroup, group: TargetGroup, wounds: Counts) -> Counts:
    columns = int(wounds.max(initial=0))
    used = np.arange(columns) < wounds[:, None]
    return _counted(_failed(table, weapon, group, table.samples, columns) & used)


def _one_by_one(table: Table, weapon: WeaponGroup, wounds: Counts, pierced: Counts) -> Counts:
    """Saves of the model that takes the wound, one wound after the other, while a model is left."""
    unsaved = np.zeros_like(wounds)
    groups = table.target.groups
    for count, saved in ((wounds, True), (pierced, False)):
        for k in range(int(count.max(initial=0))):
            rows = np.flatnonzero((count > k) & (table.group < len(groups)))
            if saved:
                fails = np.zeros(len(rows), np.bool_)
                for number, group in enumerate(groups):
                    here = table.group[rows] == number
                    fails[here] = _failed(table, weapon, group, int(here.sum()), 1)[:, 0]
                rows = rows[fails]
            unsaved[rows] += 1
            _damage(table, weapon, rows)
    return unsaved


def _damage(table: Table, weapon: WeaponGroup, rows: NDArray[np.intp]) -> None:
    """One unsaved wound on each of the rows."""
    points = table.sum_of(weapon.damage, len(rows))
    for number, group in enumerate(table.target.groups):
        here = table.group[rows] == number
        points[here] = _lessened(table, group, points[here])
    if weapon.spills:
        while rows.size:
            going = (points > 0) & (table.group[rows] < len(table.target.groups))
            rows, points = rows[going], points[going]
            _lose(table, rows, np.ones_like(points))
            points = points - 1
    else:
        _lose(table, rows, points)


def _lessened(table: Table, group: TargetGroup, points: Counts) -> Counts:
    halved = (points + 1) // 2 if group.halve else points
    left = np.maximum(halved - group.reduce, 1)
    if group.ignore is None:
        return left.astype(np.int16)
    columns = int(left.max(initial=0))
    kept = (table.dice(columns, rows=len(left)) < group.ignore) & (np.arange(columns) < left[:, None])
    return _counted(kept)


def _lose(table: Table, rows: NDArray[np.intp], points: Counts) -> None:
    """The first model standing loses the points, as far as it has wounds."""
    for number, group in enumerate(table.target.groups):
        here = (table.group[rows] == number) & (points > 0)
        hurt, taken = rows[here], np.minimum(points[here], group.wounds - table.lost[rows[here]])
        table.damage[hurt] += taken
        table.lost[hurt] += taken
        dead = hurt[table.lost[hurt] >= group.wounds]
        table.lost[dead] = 0
        table.slain[dead] += 1
        table.left[dead] -= 1
        gone = dead[table.left[dead] == 0]
        table.group[gone] = number + 1
        if number + 1 < len(table.target.groups):
            table.left[gone] = table.target.groups[number + 1].models
        points = np.where(here, 0, points)


def _counted(flags: Flags) -> Counts:
    return flags.sum(1, dtype=np.int16)
