"""Wounds onto several target groups, saved one at a time, exactly: a Markov chain walked wound by wound.

The state is an array (spent, unsaved, damage): 0 while the single re-roll of the group under attack is in
hand (1 once it is spent; there is no 1 where no group has one), unsaved wounds so far, and damage done so
far, which says whose model takes the next wound. At the last damage no model is left, and nothing changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from resolver.attack import TargetGroup
from resolver.check import Check
from resolver.counts import Distribution, capped, shifts

State = Distribution


@dataclass(frozen=True)
class Row:
    """The target groups one after the other on the line of damage done."""

    groups: tuple[TargetGroup, ...]

    @cached_property
    def edges(self) -> tuple[int, ...]:
        """The damage at which each group is first attacked, and the damage that slays the last model."""
        sizes = [(group.models or 0) * group.wounds - group.lost for group in self.groups]
        return (0, *np.cumsum(sizes).tolist())

    @property
    def end(self) -> int:
        """The damage at which no model is left."""
        return self.edges[-1]

    @cached_property
    def falls(self) -> tuple[int, ...]:
        """The damage at which each model falls, in order."""
        found: list[int] = []
        for group, begin in zip(self.groups, self.edges, strict=False):
            first = begin - group.lost + group.wounds
            found += range(first, first + (group.models or 0) * group.wounds, group.wounds)
        return tuple(found)

    def slain(self, damage: Distribution) -> Distribution:
        """The distribution of models slain from that of the damage done."""
        starts = [0, *(fall for fall in self.falls if fall < len(damage))]
        return np.asarray(np.add.reduceat(damage, starts))


@dataclass(frozen=True)
class Blow:
    """One wound of a weapon group on one target group: its save, and the chances of the points it takes."""

    save: Check
    points: Distribution
    spills: bool


def untouched(row: Row, saves: Sequence[Sequence[Check]]) -> State:
    """Nothing unsaved, nothing lost; two layers if a group has a single re-roll of its saves."""
    spare = any(save.one_again for group in saves for save in group)
    state = np.zeros((2 if spare else 1, 1, row.end + 1))
    state[0, 0, 0] = 1.0
    return state


def walked(row: Row, state: State, joint: Distribution, blows: Sequence[Blow]) -> State:
    """The state after a weapon group with chance `joint`[n, p] of n ordinary and p piercing wounds.

    Ordinary wounds are walked first; whoever then faces p piercing ones joins the walk of these p from the
    end, so that each wound is walked once (Horner's scheme).
    """
    first = state.copy()
    first[0] += first[1:].sum(axis=0)
    first[1:] = 0.0
    ordinary, piercing = joint.shape[0] - 1, joint.shape[1] - 1
    state = np.pad(first, ((0, 0), (0, ordinary + piercing), (0, 0)))
    waiting = joint[0, :, None, None, None] * state
    tests = _Tests.of(row, blows, len(state))
    for count in range(1, ordinary + 1):
        state = tests.ordinary(row, state, blows)
        waiting += joint[count, :, None, None, None] * state
    after = waiting[-1]
    for behind in waiting[-2::-1]:
        after = behind + tests.piercing(row, after, blows)
    return np.asarray(after)


@dataclass(frozen=True)
class _Tests:
    """Chances at each damage: to save, and with a re-roll in hand to save by it or to spend it in vain."""

    saved: Distribution
    unsaved: Distribution
    rescued: Distribution
    spent: Distribution

    @classmethod
    def of(cls, row: Row, blows: Sequence[Blow], layers: int) -> _Tests:
        saved = np.ones((layers, 1, row.end + 1))
        unsaved, rescued, spent = np.zeros_like(saved), np.zeros(row.end + 1), np.zeros(row.end + 1)
        for number, blow in enumerate(blows):
            here = slice(row.edges[number], row.edges[number + 1])
            good = float(blow.save.chance)
            saved[..., here], unsaved[..., here] = good, 1 - good
            if blow.save.one_again:
                unsaved[0, :, here] = 0.0
                rescued[here], spent[here] = (1 - good) * good, (1 - good) ** 2
        return cls(saved, unsaved, rescued, spent)

    def ordinary(self, row: Row, state: State, blows: Sequence[Blow]) -> State:
        """One wound that may be saved."""
        kept = state * self.saved
        through = state * self.unsaved
        if len(state) > 1:
            kept[1] += state[0] * self.rescued
            through[1] += state[0] * self.spent
        kept[:, 1:] += _struck(row, through, blows)[:, :-1]
        return np.asarray(kept)

    def piercing(self, row: Row, state: State, blows: Sequence[Blow]) -> State:
        """One wound that no save stops."""
        over = state[..., -1].copy()
        state[..., -1] = 0.0
        after = np.zeros_like(state)
        after[:, 1:] = _struck(row, state, blows)[:, :-1]
        after[..., -1] += over
        return after


def _struck(row: Row, state: State, blows: Sequence[Blow]) -> State:
    """The damage of one unsaved wound on whoever takes it; a re-roll is in hand anew where a group begins."""
    after = np.zeros_like(state)
    for number, (group, blow) in enumerate(zip(row.groups, blows, strict=True)):
        begin, end = row.edges[number], row.edges[number + 1]
        here = state[..., begin:end]
        if not here.any():
            continue
        inside, beyond = _spilled(here, blow.points) if blow.spills else _stopped(group, here, blow.points)
        after[..., begin:end] += inside
        beyond = capped_columns(beyond, row.end - end)
        after[0, :, end : end + beyond.shape[-1]] += beyond.sum(axis=0)
    return after


def _stopped(group: TargetGroup, here: State, points: Distribution) -> tuple[State, State]:
    """Damage that stops at a model's last wound: what stays in the group, what has slain its last model."""
    size = group.wounds
    layers, rows, _ = here.shape
    models = np.zeros((layers, rows, here.shape[2] + group.lost))
    models[..., group.lost :] = here
    each = np.zeros(size + 1)
    each[: len(points)] = capped(points, size)
    table = models.reshape(-1, size)
    stays = (table @ shifts(each[:-1])).reshape(models.shape)
    falls = (table @ np.cumsum(each[::-1])[:-1]).reshape(layers, rows, -1)
    stays[..., size::size] += falls[..., :-1]
    return stays[..., group.lost :], falls[..., -1:]


def _spilled(here: State, points: Distribution) -> tuple[State, State]:
    """Damage that goes on point by point: what stays in the group, and how far past it the rest goes."""
    length = here.shape[-1]
    moved = np.zeros((*here.shape[:2], length + len(points) - 1))
    for number, chance in enumerate(points):
        if chance:
            moved[..., number : number + length] += chance * here
    return moved[..., :length], moved[..., length:]


def capped_columns(beyond: State, most: int) -> State:
    """Damage past the last model counts as the last model's."""
    if beyond.shape[-1] <= most + 1:
        return beyond
    found = beyond[..., : most + 1].copy()
    found[..., most] = beyond[..., most:].sum(axis=-1)
    return found
