"""Wounds onto several target groups, saved one at a time, exactly: a Markov chain walked wound by wound.

The state is an array (unsaved wounds so far, place). A place is the damage done so far, which says whose
model takes the next wound; at the last place no model is left, and nothing changes. Where a group may
have a single save of the step thrown again there is a second run of places, for when that re-roll is spent.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from resolver.counts import Distribution
from resolver.several.line import Blow, Hand, Line, at_stake
from resolver.several.patches import Patch
from resolver.several.windows import Leads, State, Waiting, Window
from resolver.several.work import A_CALL, Work

FEW_PLACES, FEW_CELLS = 120, 400_000


def walked(line: Line, state: Patch, hand: Hand, blows: Sequence[Blow]) -> Patch:
    """The state [unsaved wounds, place] after a weapon group.

    Ordinary wounds are walked first; whoever then faces p piercing ones joins the walk of these p from the
    end, so that each wound is walked once (Horner's scheme). Raises Refused beyond the limits of work.
    """
    rules = _Rules(line, blows, state.right - 1 + hand.most * max(len(blow.points) - 1 for blow in blows), hand.work)
    ordinary, piercing = hand.ordinary, hand.piercing
    rows = state.bottom + ordinary + piercing
    if rules.width <= FEW_PLACES and (hand.most + 2) * rows * rules.width <= FEW_CELLS:
        return _walked_whole(rules, state, hand, rows)
    waiting = Waiting((piercing + 1, rows, rules.width), hand.work)
    window = Window(state.cells, state.top, state.left).within(rules.width, rules.spare)
    for count in range(ordinary + 1):
        waiting.join(window, hand.joint[count])
        if count < ordinary:
            window = rules.ordinary(window)
    waiting.settle()
    for behind in range(piercing, 0, -1):
        rules.pierced(Window(waiting.cells[behind], whole=rules.spare)).onto(waiting.cells[behind - 1], 1.0)
    return Patch(rules.ended(waiting.cells[0]))


def _walked_whole(rules: _Rules, state: Patch, hand: Hand, rows: int) -> Patch:
    """The same with tables so small that one product with all moves is quicker than looking where anybody stands."""
    cells = np.zeros((hand.ordinary + 1, rows, rules.width))
    cells[0, state.top : state.bottom, state.left : state.right] = state.cells
    steps = hand.most + 1
    hand.work.add(2 * steps * rows * rules.width**2 + A_CALL * steps, steps * rows * rules.width)
    stays, moves = rules.tables
    for count in range(hand.ordinary):
        np.matmul(cells[count], stays, out=cells[count + 1])
        cells[count + 1, 1:] += cells[count, :-1] @ moves
    waiting = np.tensordot(hand.joint, cells, (0, 0))
    stays, moves = rules.piercing_tables if hand.piercing else (stays, moves)
    after = waiting[-1]
    for behind in range(hand.piercing - 1, -1, -1):
        later = waiting[behind] + after @ stays
        later[1:] += after[:-1] @ moves
        after = later
    return Patch(rules.ended(after))


def steps_of(line: Line, state: Patch, hand: Hand, blows: Sequence[Blow]) -> int:
    """About how many multiplications that takes."""
    moves = max(len(blow.points) - 1 for blow in blows)
    places = min(line.last, state.right + hand.most * moves) + 1
    rows = len(state.cells) + hand.most
    return hand.most * rows * places * (int(np.count_nonzero(blows[0].points)) + 1) * (hand.piercing + 1)


class _Rules:
    """What one wound of a weapon group does at each place: the chance to be saved, else where it leads."""

    def __init__(self, line: Line, blows: Sequence[Blow], reach: int, work: Work) -> None:
        self.last, self.work = min(line.last, reach), work
        self.ends = line.last <= reach
        self.spare = any(blow.save.one_again for blow in blows)
        self.places = self.last + 1
        self.saved, self.lost, self.rescued, self.spent = _save_chances(line, blows, self.last)
        self.unsaved, self.pierces = Leads(self.width), Leads(self.width)
        for step, shares in enumerate(_landings(line, blows, self.last, work)):
            if shares.any():
                self._lead(step, shares)

    def _lead(self, step: int, shares: Distribution) -> None:
        """One wound that takes `step` points; a spent re-roll stays spent: the second run of places."""
        if not self.spare:
            self.unsaved.add(step, shares * self.lost)
            self.pierces.add(step, shares)
            return
        nothing = np.zeros_like(shares)
        self.unsaved.add(step, np.concatenate((shares * self.lost, shares * (1 - self.saved))))
        self.unsaved.add(step + self.places, np.concatenate((shares * self.spent, nothing)))
        self.pierces.add(step, np.concatenate((shares, shares)))

    @property
    def width(self) -> int:
        """Of a state: a second run of places is for those who have spent a single re-roll."""
        return self.places * (2 if self.spare else 1)

    def ended(self, state: State) -> State:
        """The state after the weapon group, whether a single re-roll was spent or not."""
        return state[:, : self.places] + state[:, self.places :] if self.spare else state

    @property
    def _all_slain(self) -> range:
        """The places at which no model is left, in each run."""
        return range(self.last, self.width, self.places) if self.ends else range(0)

    @property
    def tables(self) -> tuple[State, State]:
        """From each place to each other, by an ordinary wound that is saved and by one that is not."""
        saved = np.diag(np.tile(self.saved, 2) if self.spare else self.saved)
        if self.spare:
            saved[: self.places, self.places :] += np.diag(self.rescued)
        return saved, self.unsaved.table

    @property
    def piercing_tables(self) -> tuple[State, State]:
        """The same by a piercing wound; where no model is left it does nothing."""
        nothing = np.zeros((self.width, self.width))
        for end in self._all_slain:
            nothing[end, end] = 1.0
        return nothing, self.pierces.table

    def ordinary(self, window: Window) -> Window:
        """One wound that may be saved."""
        after = self._led(window, self.unsaved)
        cells = window.cells
        if not self.spare:
            after[:-1, : cells.shape[1]] += cells * self.saved[window.left : window.right]
            return Window(after, window.top, window.left)
        after[:-1] += cells * np.tile(self.saved, 2)
        after[:-1, self.places :] += cells[:, : self.places] * self.rescued
        return Window(after, window.top, whole=True)

    def pierced(self, window: Window) -> Window:
        """One wound that no save stops; where no model is left it does nothing."""
        after = self._led(window, self.pierces)
        for end in self._all_slain:
            if end < window.right:
                after[:-1, end - window.left] += window.cells[:, end - window.left]
        return Window(after, window.top, window.left, self.spare)

    def _led(self, window: Window, leads: Leads) -> State:
        """Where an unsaved wound leads, one row further down."""
        self.work.add(2 * window.cells.size * len(leads.steps) + A_CALL // 2 * (len(leads.steps) + 2))
        after = np.zeros((len(window.cells) + 1, min(window.right + leads.furthest, self.width) - window.left))
        leads.add_to(after[1:], window)
        return after


def _landings(line: Line, blows: Sequence[Blow], last: int, work: Work) -> State:
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
