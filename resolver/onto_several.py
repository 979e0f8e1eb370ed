"""Wounds onto several target groups, saved one at a time, exactly: a Markov chain walked wound by wound.

The state is an array (unsaved wounds so far, place). A place is the damage done so far, which says whose
model takes the next wound; at the last place no model is left, and nothing changes. Where a group has a
single re-roll of its saves there is a second run of places, for when that re-roll is spent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate

import numpy as np
from numpy.typing import NDArray

from resolver.attack import TargetGroup
from resolver.check import Check
from resolver.counts import Distribution
from resolver.windows import Leads, Waiting, Window, Work

State = Distribution


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


@dataclass(frozen=True)
class Line:
    """The target groups one after the other on the line of damage done, as far as `reach`."""

    groups: tuple[TargetGroup, ...]
    reach: int
    spare: bool  # a group has a single re-roll of its saves

    @cached_property
    def edges(self) -> tuple[int, ...]:
        """The damage at which each group is first attacked, and the damage that slays the last model."""
        sizes = ((group.models or 0) * group.wounds - group.lost for group in self.groups)
        return tuple(accumulate(sizes, initial=0))

    @property
    def last(self) -> int:
        """The last place: no model is left, or no damage reaches further."""
        return min(self.edges[-1], self.reach)

    @property
    def ends(self) -> bool:
        """Whether the last place is that of a unit without models."""
        return self.edges[-1] <= self.reach

    @cached_property
    def falls(self) -> NDArray[np.int64]:
        """The damage at which each model falls, in order."""
        found: list[NDArray[np.int64]] = []
        for group, begin in zip(self.groups, self.edges, strict=False):
            found.append(begin - group.lost + group.wounds * np.arange(1, (group.models or 0) + 1))
        return np.concatenate(found)

    def stretch(self, number: int) -> NDArray[np.int64]:
        """The places at which a model of the group takes the next wound."""
        return np.arange(min(self.edges[number], self.last), min(self.edges[number + 1], self.last))

    def slain(self, damage: Distribution) -> Distribution:
        """The distribution of models slain from that of the damage done."""
        return np.asarray(np.add.reduceat(damage, [0, *self.falls[self.falls < len(damage)]]))


def untouched(line: Line) -> State:
    """Nothing unsaved, nothing lost; shape (1, places)."""
    return np.eye(1, (line.last + 1) * (2 if line.spare else 1))


def walked(line: Line, state: State, joint: Distribution, blows: Sequence[Blow], work: Work) -> State:
    """The state after a weapon group with chance `joint`[n, p] of n ordinary and p piercing wounds.

    Of the ordinary wounds only those count that not every target group would save alike: the share `at_stake`.
    Ordinary wounds are walked first; whoever then faces p piercing ones joins the walk of these p from the
    end, so that each wound is walked once (Horner's scheme). Raises Refused beyond the limits of work.
    """
    ordinary, piercing = (int(np.flatnonzero(joint.sum(axis=axis))[-1]) for axis in (1, 0))
    rows = len(state) + ordinary + piercing
    if line.ends and not any(blow.points[0] for blow in blows):
        rows = min(rows, line.last + 1)
    shape = (piercing + 1, rows, state.shape[1])
    waiting = Waiting(shape, work)
    rules = _Rules(line, blows, work)
    window = Window(rules.begun(state), whole=line.spare)
    for count in range(ordinary + 1):
        waiting.join(window, joint[count, : piercing + 1])
        if count < ordinary:
            window = rules.ordinary(window)
    waiting.settle()
    for behind in range(piercing, 0, -1):
        rules.pierced(Window(waiting.cells[behind], whole=line.spare)).onto(waiting.cells[behind - 1], 1.0)
    return np.asarray(waiting.cells[0])


def at_stake(blows: Sequence[Blow]) -> float:
    """The share of ordinary wounds that at least one of the target groups would fail to save."""
    return max(blow.unsaved for blow in blows)


class _Rules:
    """What one wound of a weapon group does at each place: the chance to be saved, else where it leads."""

    def __init__(self, line: Line, blows: Sequence[Blow], work: Work) -> None:
        self.line = line
        self.places = line.last + 1
        self.work = work
        self.saved, self.lost, self.rescued, self.spent = _save_chances(line, blows)
        inside, beyond = _landings(line, blows, work)
        self.unsaved = Leads()
        self.pierces = Leads()
        for layer, table in enumerate((beyond, inside)):
            for step in np.flatnonzero(table.any(axis=1)).tolist():
                self._lead(step, table[step], layer)

    def _lead(self, step: int, shares: Distribution, layer: int) -> None:
        """One wound that takes `step` points; a spent re-roll stays spent (layer 1) within the group only."""
        if not self.line.spare:
            self.unsaved.add(step, shares * self.lost)
            self.pierces.add(step, shares)
            return
        nothing, across = np.zeros_like(shares), layer * self.places
        self.unsaved.add(step, np.concatenate((shares * self.lost, nothing)))
        self.unsaved.add(step + across, np.concatenate((shares * self.spent, nothing)))
        self.unsaved.add(step + across - self.places, np.concatenate((nothing, shares * (1 - self.saved))))
        self.pierces.add(step, np.concatenate((shares, nothing)))
        self.pierces.add(step - self.places, np.concatenate((nothing, shares)))

    def begun(self, state: State) -> State:
        """The state as a weapon group begins: every re-roll is in hand."""
        if not self.line.spare:
            return state
        begun = np.zeros_like(state)
        begun[:, : self.places] = state[:, : self.places] + state[:, self.places :]
        return begun

    def ordinary(self, window: Window) -> Window:
        """One wound that may be saved."""
        after = self._led(window, self.unsaved)
        cells = window.cells
        if not self.line.spare:
            after[:-1, : cells.shape[1]] += cells * self.saved[window.left : window.right]
            return Window(after, window.top, window.left)
        after[:-1] += cells * np.tile(self.saved, 2)
        after[:-1, self.places :] += cells[:, : self.places] * self.rescued
        return Window(after, window.top, whole=True)

    def pierced(self, window: Window) -> Window:
        """One wound that no save stops; where no model is left it does nothing."""
        after = self._led(window, self.pierces)
        last = self.line.last - window.left
        if self.line.ends and last < window.cells.shape[1]:
            after[:-1, last] += window.cells[:, last]
        return Window(after, window.top, window.left, self.line.spare)

    def _led(self, window: Window, leads: Leads) -> State:
        """Where an unsaved wound leads, one row further down."""
        self.work.add(window.cells.size * len(leads.steps))
        edge = len(self.saved) * (2 if self.line.spare else 1)
        after = np.zeros((len(window.cells) + 1, min(window.right + leads.furthest, edge) - window.left))
        leads.add_to(after[1:], window)
        return after


def _landings(line: Line, blows: Sequence[Blow], work: Work) -> tuple[State, State]:
    """How far one unsaved wound leads: chances of each step (row) from each place, within its group and beyond."""
    size = max(len(blow.points) for blow in blows), line.last + 1
    work.add(2 * size[0] * size[1])
    table, beyond = np.zeros(size), np.zeros(size)
    for number, blow in enumerate(blows):
        places = line.stretch(number)
        model = line.falls[np.searchsorted(line.falls, places, side="right")]
        stop = np.minimum(line.last, line.last if blow.spills else model)
        for points, chance in enumerate(blow.points):
            table[np.minimum(places + points, stop) - places, places] += chance
        leaving = places[line.edges[number + 1] - places < size[0]]
        for place in leaving.tolist():
            out = slice(line.edges[number + 1] - place, size[0])
            beyond[out, place], table[out, place] = table[out, place], 0.0
    return table, beyond


def _save_chances(line: Line, blows: Sequence[Blow]) -> tuple[Distribution, ...]:
    """At each place what a wound at stake does: be saved, fail, be saved by a single re-roll, or spend it in vain."""
    saved = np.ones(line.last + 1)
    lost, rescued, spent = np.zeros_like(saved), np.zeros_like(saved), np.zeros_like(saved)
    share = at_stake(blows)
    for number, blow in enumerate(blows):
        places = line.stretch(number)
        fails = blow.unsaved / share if share else 0.0  # without a wound at stake nothing is walked
        saved[places] = 1 - fails
        if blow.save.one_again:
            rescued[places], spent[places] = fails * (1 - blow.unsaved), fails * blow.unsaved
        else:
            lost[places] = fails
    return saved, lost, rescued, spent
