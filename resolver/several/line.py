"""Several target groups one after the other, and what one wound of a weapon group does to each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from resolver.attack import TargetGroup
from resolver.check import Check
from resolver.counts import Distribution
from resolver.several.work import Work


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

    @property
    def unsaved(self) -> float:
        """The chance not to be saved, a single re-roll left out."""
        return 1 - float(self.save.chance)

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


def at_stake(blows: Sequence[Blow]) -> float:
    """The share of ordinary wounds that at least one of the target groups would fail to save."""
    return max(blow.unsaved for blow in blows)
