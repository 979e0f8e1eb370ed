"""A plan becomes exact distributions of attacks, hits, wounds, unsaved wounds, damage and models slain.

Nothing is simulated. With one target group the counts of independent weapon groups add up, and only the
state of the target is carried from group to group; with several, unsaved wounds are carried with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from resolver.counts import Distribution, added, certain, damage_chances
from resolver.generating import chances, composed, joint, roots, size_for
from resolver.onto_one import Block, carried
from resolver.onto_several import Blow, Line, at_stake, untouched, walked
from resolver.plan import PIERCED, GroupPlan, Plan
from resolver.refused import Refused
from resolver.ruleset import Step
from resolver.windows import Work

MOST_PIERCING = 1200  # hits of a weapon group whose critical wounds pierce several target groups

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
    return float(a.slain @ fewer)


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
    state = certain(0)
    for weapon, counts, damage in zip(plan.weapons, counted, damages, strict=True):
        state = carried(block, state, counts.harmful, damage, weapon.damages[0].spills)
    attacks, hits, wounds, unsaved, _ = map(added, zip(*counted, strict=True))
    state = block.whole(state)
    wipe = None if group.models is None else float(state[block.end]) if block.most == block.end else 0.0
    return Odds(attacks, hits, wounds, unsaved, state, block.slain(state), wipe)


def _onto_several(plan: Plan) -> Odds:
    blows = [_blows(weapon) for weapon in plan.weapons]
    reach = sum(weapon.most * _deepest(blow) for weapon, blow in zip(plan.weapons, blows, strict=True))
    line = Line(plan.target.groups, reach, any(save.one_again for weapon in plan.weapons for save in weapon.saves))
    state, work = untouched(line), Work()
    counted = []
    for weapon, blow in zip(plan.weapons, blows, strict=True):
        counts = _counts(weapon, 0.0)
        counted.append(counts)
        state = walked(line, state, _joint(weapon, at_stake(blow)), blow, work)
    attacks, hits, wounds, _, _ = map(added, zip(*counted, strict=True))
    damage = state.reshape(len(state), -1, line.last + 1).sum(axis=(0, 1))
    wipe = float(damage[-1]) if line.ends else 0.0
    return Odds(attacks, hits, wounds, state.sum(axis=1), damage, line.slain(damage), wipe)


def _blows(weapon: GroupPlan) -> list[Blow]:
    pairs = zip(weapon.saves, weapon.damages, strict=True)
    return [Blow(save, damage_chances(damage), damage.spills) for save, damage in pairs]


def _deepest(blows: Sequence[Blow]) -> int:
    """The most points that one wound takes from any of the target groups."""
    return max(len(blow.points) - 1 for blow in blows)


def _joint(weapon: GroupPlan, share: float) -> Distribution:
    """Entry [n, p]: the chance of n ordinary wounds among the share at stake together with p piercing ones."""
    pierces = any(PIERCED in row for check in weapon.checks for row in check.rows)
    if pierces and weapon.most > MOST_PIERCING:
        raise Refused(
            "target groups", f"up to {weapon.most} hits may pierce several groups; the limit is {MOST_PIERCING}"
        )
    return joint(weapon.checks, weapon.start, {Step.SAVE: share, PIERCED: 1.0}, weapon.most)


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
