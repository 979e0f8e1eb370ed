"""A plan becomes exact distributions of attacks, hits, wounds, unsaved wounds, damage and models slain.

Nothing is simulated. With one target group the counts of independent weapon groups add up, and only the
state of the target is carried from group to group; with several, unsaved wounds are carried with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from resolver.counts import Distribution, added, certain, damage_chances, ended, rounded_off
from resolver.generating import chances, composed, joint, roots, size_for, thinned
from resolver.onto_one import Block, Dealt, carried
from resolver.onto_several import reckoned
from resolver.plan import PIERCED, GroupPlan, Plan
from resolver.ruleset import Step
from resolver.several.line import Blow, Hand, Line, at_stake, overkill_left_out
from resolver.several.work import Work

COUNTS = ("attacks", "hits", "wounds", "unsaved", "damage", "slain")


@dataclass(frozen=True)
class Odds:
    """Distributions as arrays: entry k is the chance of exactly k. `wipe` None: a target without end."""

    attacks: Distribution
    hits: Distribution
    wounds: Distribution
    unsaved: Distribution
    damage: Distribution
    slain: Distribution
    wipe: float | None

    @cached_property
    def mean(self) -> dict[str, float]:
        """The expected value of each of the six counts."""
        return {name: _mean(getattr(self, name)) for name in COUNTS}


def odds(plan: Plan) -> Odds:
    """The exact odds of a plan; every distribution sums to 1 within 1e-12."""
    return _onto_one(plan) if len(plan.target.groups) == 1 else _onto_several(plan)


def better(a: Odds, b: Odds) -> float:
    """The chance that attack `a` slays strictly more models than `b`, the two being independent."""
    fewer = np.concatenate(([0.0], np.cumsum(b.slain)))[: len(a.slain)]
    fewer = np.pad(fewer, (0, len(a.slain) - len(fewer)), constant_values=1.0)
    return min(float(a.slain @ fewer), 1.0)


def _mean(distribution: Distribution) -> float:
    return float(distribution @ np.arange(len(distribution)))


def _onto_one(plan: Plan) -> Odds:
    (group,) = plan.target.groups
    damages = [damage_chances(weapon.damages[0]) for weapon in plan.weapons]
    counted = [_counts(weapon, damage[0]) for weapon, damage in zip(plan.weapons, damages, strict=True)]
    blows = [
        (weapon.most, len(damage) - 1, weapon.damages[0].spills)
        for weapon, damage in zip(plan.weapons, damages, strict=True)
    ]
    block = Block.of(group, blows)
    state = carried(block, [
        Dealt(counts.harmful, damage, weapon.damages[0].spills)
        for weapon, counts, damage in zip(plan.weapons, counted, damages, strict=True)
    ])  # fmt: skip
    attacks, hits, wounds, unsaved, _ = map(added, zip(*counted, strict=True))
    state = rounded_off(block.whole(state))
    wipe = None if group.models is None else float(state[block.end]) if block.most == block.end else 0.0
    return Odds(attacks, hits, wounds, unsaved, state, rounded_off(block.slain(state)), wipe)


def _onto_several(plan: Plan) -> Odds:
    line = Line(plan.target.groups)
    unsaved, done = reckoned(line, dealt(plan))
    counted = [_counts(weapon, 0.0) for weapon in plan.weapons]
    attacks, hits, wounds, _, _ = map(added, zip(*counted, strict=True))
    unsaved, done = rounded_off(ended(unsaved)), rounded_off(done)
    damage = ended(done)
    return Odds(attacks, hits, wounds, unsaved, damage, rounded_off(line.slain(damage)), float(done[-1]))


def dealt(plan: Plan) -> list[tuple[Hand, list[Blow]]]:
    """The wounds of each weapon group at stake, and what one of them does to each of several target groups."""
    work = Work()
    line, found = Line(plan.target.groups), []
    for weapon in plan.weapons:
        blows = _blows(weapon)
        found.append((Hand(overkill_left_out(_joint(weapon, at_stake(blows)), line, blows), work), blows))
    return found


def _blows(weapon: GroupPlan) -> list[Blow]:
    pairs = zip(weapon.saves, weapon.damages, strict=True)
    return [Blow(save, damage_chances(damage), damage.spills) for save, damage in pairs]


def _joint(weapon: GroupPlan, share: float) -> Distribution:
    """Entry [n, p]: the chance of n ordinary wounds among the share at stake together with p piercing ones."""
    if any(PIERCED in row for check in weapon.checks for row, _ in check.shares):
        return joint(weapon.checks, weapon.start, {Step.SAVE: share, PIERCED: 1.0}, weapon.most)
    return ended(thinned(weapon.checks, weapon.start, {Step.SAVE: share}, weapon.most))[:, None]


class _Counts(NamedTuple):
    """What one weapon group scores; `harmful` are unsaved wounds that take at least one point."""

    attacks: Distribution
    hits: Distribution
    wounds: Distribution
    unsaved: Distribution
    harmful: Distribution


def _counts(weapon: GroupPlan, harmless: float) -> _Counts:
    """The counts of a weapon group; `harmless` is the chance that an unsaved wound takes nothing."""
    cuts = list(weapon.counted.values())
    rolled = cuts[0] > 0
    if not rolled:
        del cuts[0]
    if harmless:
        cuts.append(cuts[-1])
    size = size_for(weapon.most)
    circle = roots(size)
    ends = circle[None, :].repeat(len(cuts), axis=0)
    if harmless:
        ends[-1] = harmless + (1 - harmless) * circle
    found = list(chances(composed(weapon.checks, weapon.start, ends, cuts), size, weapon.most))
    attacks = found.pop(0)[: weapon.most_attacks + 1] if rolled else certain(weapon.most_attacks)
    return _Counts(attacks, found[0], found[1], found[2], found[-1])
