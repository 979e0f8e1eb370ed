"""Several target groups one after the other, and what one wound of a weapon group does to each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from math import ceil, log, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from resolver.attack import TargetGroup
from resolver.check import Check
from resolver.counts import Distribution
from resolver.several.work import Work

_UNLIKELY = 1e-20  # far below the rounding of a chance


class Hand(NamedTuple):
    """The chance `joint`[n, p] of n ordinary and p piercing wounds, shape (most n + 1, most p + 1)."""

    joint: Distribution
    work: Work

    @property
    def ordinary(self) -> int:
        """The most ordinary wounds that there can be."""
        return len(self.joint) - 1

    @property
    def piercing(self) -> int:
        """The most piercing wounds that there can be."""
        return len(self.joint[0]) - 1

    @property
    def most(self) -> int:
        """The most wounds that there can be."""
        return self.ordinary + self.piercing


class Saves(NamedTuple):
    """The share of the ordinary wounds that a group fails to save, and of the first failure that is rescued."""

    fails: float
    rescued: float = 0.0


@dataclass(frozen=True)
class Blow:
    """One wound of a weapon group on one target group: its save, and the chances of the points it takes."""

    save: Check
    points: Distribution
    spills: bool

    @cached_property
    def unsaved(self) -> float:
        """The chance not to be saved, a single re-roll left out."""
        return 1 - float(self.save.chance)

    @cached_property
    def harms(self) -> float:
        """The chance that an unsaved wound takes at least one point."""
        return 1 - float(self.points[0])

    def to_slay(self, group: TargetGroup) -> int:
        """How many harmful wounds are enough for the whole group."""
        least = int(np.flatnonzero(self.points[1:])[0]) + 1 if self.harms else 1
        return (group.models or 0) * -(-group.wounds // least)

    def saves(self, share: float) -> Saves:
        """What becomes of the ordinary wounds of which `share` are at stake."""
        return Saves(self.unsaved / share, 1 - self.unsaved if self.save.one_again else 0.0)


@dataclass(frozen=True)
class Line:
    """The target groups one after the other on the line of damage done."""

    groups: tuple[TargetGroup, ...]

    @cached_property
    def edges(self) -> tuple[int, ...]:
        """The damage at which each group is first attacked, and the damage that slays the last model."""
        sizes = ((group.models or 0) * group.wounds - group.lost for group in self.groups)
        return tuple(accumulate(sizes, initial=0))

    @property
    def last(self) -> int:
        """The last place: no model is left."""
        return self.edges[-1]

    @cached_property
    def falls(self) -> NDArray[np.int64]:
        """The damage at which each model falls, in order."""
        found: list[NDArray[np.int64]] = []
        for group, begin in zip(self.groups, self.edges, strict=False):
            found.append(begin - group.lost + group.wounds * np.arange(1, (group.models or 0) + 1))
        return np.concatenate(found)

    def slain(self, damage: Distribution) -> Distribution:
        """The distribution of models slain from that of the damage done."""
        return np.asarray(np.add.reduceat(damage, [0, *self.falls[self.falls < len(damage)]]))


def overkill_left_out(joint: Distribution, line: Line, blows: Sequence[Blow]) -> Distribution:
    """The same joint distribution as a Hand's, with no more wounds than slay everyone for certain or all but so.

    More than enough is as good as enough, since no wound is thrown at a unit that is gone.
    """
    needed = sum(blow.to_slay(group) for blow, group in zip(blows, line.groups, strict=True))
    needed += any(blow.save.one_again for blow in blows)
    share = at_stake(blows) or 1.0
    ordinary = _tries(needed, min(blow.unsaved * blow.harms for blow in blows) / share)
    piercing = _tries(needed, min(blow.harms for blow in blows))
    return _held(_held(joint, ordinary).T, piercing).T


def _tries(needed: int, chance: float) -> float:
    """So many tries succeed as often as needed, but for one time in 1 / _UNLIKELY.

    Chernoff's bound: n tries of mean m = n * chance fall to m - sqrt(2 * m * log(1 / e)) or below with chance e at
    most (Mitzenmacher and Upfal, Probability and Computing, theorem 4.5).
    """
    if chance <= 0.0:
        return float("inf")
    if chance >= 1.0:
        return needed
    twice = -2 * log(_UNLIKELY)
    return ceil(((sqrt(twice) + sqrt(twice + 4 * needed)) / 2) ** 2 / chance)


def _held(table: Distribution, most: float) -> Distribution:
    """The table with all rows past `most` counted as that one."""
    if len(table) <= most + 1:
        return table
    last = int(most)
    return np.concatenate((table[:last], table[last:].sum(axis=0, keepdims=True)))


def at_stake(blows: Sequence[Blow]) -> float:
    """The share of ordinary wounds that at least one of the target groups would fail to save."""
    return max(blow.unsaved for blow in blows)
