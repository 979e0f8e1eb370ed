"""Wounds onto several target groups, saved one at a time, exactly: a Markov chain walked wound by wound.

The state is a table [unsaved wounds so far, place]. A place is the damage done so far, which says whose model
takes the next wound; at the last place no model is left, and nothing changes. Where a group may have a single
save of the step thrown again there is a second run of places, with its own table, for when that re-roll is spent.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from resolver.counts import Distribution
from resolver.several.line import Blow, Hand, Line, at_stake
from resolver.several.pairs import crossed
from resolver.several.patches import Patch
from resolver.several.windows import NOWHERE, Move, Runs, Waiting, Window, Wound, joined
from resolver.several.work import A_CALL, Work

FEW_PLACES, FEW_CELLS = 120, 400_000

_NOW_AND_THEN = 4  # wounds, after which it is looked where nobody stands any more
_TOGETHER = 16


def walked(line: Line, state: Patch, hand: Hand, blows: Sequence[Blow]) -> Patch:
    """The state [unsaved wounds, place] after a weapon group.

    Raises Refused beyond the limits of work.
    """
    rules = _Rules(line, blows, state.right - 1 + hand.most * max(len(blow.points) - 1 for blow in blows), hand.work)
    rows = state.bottom + hand.most
    if rules.width <= FEW_PLACES and (hand.most + 2) * rows * rules.width <= FEW_CELLS:
        return _walked_whole(rules, state, hand, rows)
    return _walked_far(rules, state, hand)


def _walked_whole(rules: _Rules, state: Patch, hand: Hand, rows: int) -> Patch:
    """The same with tables so small that one product with all moves is quicker than looking where anybody stands."""
    cells = np.zeros((hand.ordinary + 1, rows, rules.width))
    cells[0, state.top : state.bottom, state.left : state.right] = state.cells
    steps = hand.most + 1
    hand.work.add(steps * rows * rules.width**2 // 4 + A_CALL * steps, steps * rows * rules.width)
    stays, moves = rules.ordinary.tables(rules.runs)
    for count in range(hand.ordinary):
        np.matmul(cells[count], stays, out=cells[count + 1])
        cells[count + 1, 1:] += cells[count, :-1] @ moves
    waiting = np.tensordot(hand.joint, cells, (0, 0))
    if hand.piercing:
        stays, moves = rules.piercing.tables(rules.runs)
    after = waiting[-1]
    for behind in range(hand.piercing - 1, -1, -1):
        later = waiting[behind] + after @ stays
        later[1:] += after[:-1] @ moves
        after = later
    return Patch(after.reshape(rows, rules.runs, rules.places).sum(axis=1))


def _walked_far(rules: _Rules, state: Patch, hand: Hand) -> Patch:
    """The same of a state of which only the part is looked at where somebody stands.

    Ordinary wounds are walked first; whoever then faces p piercing ones joins the walk of these p from the
    end, so that each wound is walked once (Horner's scheme). How likely each p is behind n ordinary wounds is a
    sum of few products, so those who wait do so in few sums.
    """
    columns, rows = crossed(hand.joint)
    waiting = [Waiting(len(rows), hand.work) for _ in range(rules.runs)]
    runs = [Window(state.cells, state.top, state.left)] + [NOWHERE] * (rules.runs - 1)
    for count in range(hand.ordinary + 1):
        for wait, window in zip(waiting, runs, strict=True):
            wait.join(window, columns[count])
        if count < hand.ordinary:
            runs = _walk(runs, rules.ordinary, count, hand.work)
    for wait in waiting:
        wait.settle()
    after = joined(_pierced(rules, waiting, rows, hand.work))
    return Patch(after.cells, after.top, after.left)


def _pierced(rules: _Rules, waiting: Sequence[Waiting], shares: Distribution, work: Work) -> Runs:
    """The state after all piercing wounds: `shares` [sum, p] of those who wait face p of them."""
    after: Runs = [NOWHERE] * rules.runs
    for last in range(shares.shape[1], 0, -_TOGETHER):
        first = max(0, last - _TOGETHER)
        facing = [wait.mixed(shares[:, first:last].T) for wait in waiting]
        for behind in range(last - 1, first - 1, -1):
            after = _walk(after, rules.piercing, behind, work)
            after = [joined([run, come[behind - first]]) for run, come in zip(after, facing, strict=True)]
    return after


def _walk(runs: Runs, wound: Wound, count: int, work: Work) -> Runs:
    after = wound.strike(runs, work)
    return after if count % _NOW_AND_THEN else [window.trimmed() for window in after]


def steps_of(line: Line, state: Patch, hand: Hand, blows: Sequence[Blow]) -> int:
    """About how many multiplications that takes."""
    moves = max(len(blow.points) - 1 for blow in blows)
    places = min(line.last, state.right + hand.most * moves) + 1
    rows = len(state.cells) + hand.most
    if all(blow.harms == 1 for blow in blows):
        rows = min(rows, line.last + 1)
    return hand.most * rows * places * (int(np.count_nonzero(blows[0].points)) + 1)


class _Rules:
    """What one wound of a weapon group does at each place, ordinary or piercing, with no more than `reach` done."""

    def __init__(self, line: Line, blows: Sequence[Blow], reach: int, work: Work) -> None:
        last = min(line.last, reach)
        spare = any(blow.save.one_again for blow in blows)
        self.runs, self.places = 2 if spare else 1, last + 1
        saved, lost, rescued, spent = _save_chances(line, blows, last)
        landings = list(enumerate(_landings(line, blows, last, work)))
        stays = [Move(0, 0, 0, saved)]
        unsaved = [Move(0, 0, step, shares * lost) for step, shares in landings]
        if spare:
            stays += [Move(0, 1, 0, rescued), Move(1, 1, 0, saved)]
            unsaved += [Move(0, 1, step, shares * spent) for step, shares in landings]
            unsaved += [Move(1, 1, step, shares * (1 - saved)) for step, shares in landings]
        self.ordinary = Wound(self.places, stays, unsaved)
        self._line, self._landings = line, landings

    @cached_property
    def piercing(self) -> Wound:
        """What no save stops; where no model is left it does nothing."""
        slain = np.zeros(self.places)
        slain[self._line.last :] = 1.0
        return Wound(
            self.places,
            [Move(run, run, 0, slain) for run in range(self.runs)],
            [Move(run, run, step, shares) for run in range(self.runs) for step, shares in self._landings],
        )

    @property
    def width(self) -> int:
        """Of a state: a second run of places is for those who have spent a single re-roll."""
        return self.places * self.runs


def _landings(line: Line, blows: Sequence[Blow], last: int, work: Work) -> Distribution:
    """How far one unsaved wound leads: the chances of each step (row) from each place."""
    most, places = max(len(blow.points) for blow in blows), np.arange(last)
    work.add(4 * most * (last + 1))
    number = np.searchsorted(line.edges[1:], places, side="right")
    chances = np.zeros((most, len(blows)))
    for group, blow in enumerate(blows):
        chances[: len(blow.points), group] = blow.points
    stop = last if blows[0].spills else line.falls[np.searchsorted(line.falls, places, side="right")]
    points = np.arange(most)[:, None]
    steps = np.minimum(places + points, np.minimum(stop, last)) - places
    landing, shape = (steps * (last + 1) + places).ravel(), (most, last + 1)
    table = np.bincount(landing, chances[:, number].ravel(), shape[0] * shape[1])
    return np.asarray(table, dtype=np.float64).reshape(shape)


def _save_chances(line: Line, blows: Sequence[Blow], last: int) -> tuple[Distribution, ...]:
    """At each place what a wound at stake does: be saved, fail, be saved by a single re-roll, or spend it in vain."""
    saved = np.ones(last + 1)
    lost, rescued, spent = np.zeros_like(saved), np.zeros_like(saved), np.zeros_like(saved)
    share = at_stake(blows)
    for number, blow in enumerate(blows):
        places = _stretch(line, number, last)
        fails = blow.unsaved / share if share else 0.0  # without a wound at stake nothing is walked
        saved[places] = 1 - fails
        if blow.save.one_again:
            rescued[places], spent[places] = fails * (1 - blow.unsaved), fails * blow.unsaved
        else:
            lost[places] = fails
    return saved, lost, rescued, spent


def _stretch(line: Line, number: int, last: int) -> NDArray[np.int64]:
    """The places up to `last` at which a model of the group takes the next wound."""
    return np.arange(min(line.edges[number], last), min(line.edges[number + 1], last))
