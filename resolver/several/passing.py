"""Wounds onto several target groups, saved one at a time, exactly: group after group, not wound by wound.

While one group stands, which of its wounds go unsaved does not depend on what they do. So all that it passes on
to the next group is how many unsaved wounds slew it and how many ordinary ones had been thrown by then; what is
left is dealt again, at the saves of the next group.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from resolver.counts import Distribution
from resolver.several.dealing import Tables
from resolver.several.line import Blow, Hand, Line, Saves, at_stake
from resolver.several.patches import NOTHING, Patch, falling, total
from resolver.several.standing import Stand


class Sink(Protocol):
    """What is kept of how a weapon group's wounds end."""

    def rest(self, stand: Stand, wounds: Patch, staying: Distribution) -> None:
        """`wounds` [unsaved before, unsaved since] from the first model on; each number since stays so likely."""

    def within(self, stand: Stand, states: Patch, wounds: Distribution, staying: Distribution) -> None:
        """`states` in the middle of a group that goes on to face unsaved `wounds`; [state, number] stays so likely."""

    def slay(self, unsaved: Distribution) -> None:
        """The chances of each number of unsaved wounds with which the last model falls."""


class Ends:
    """The distributions of unsaved wounds and of damage, each for itself."""

    def __init__(self, state: Patch, hand: Hand, line: Line) -> None:
        self.unsaved, self.damage = np.zeros(state.bottom + hand.most), np.zeros(line.last + 1)

    def rest(self, stand: Stand, wounds: Patch, staying: Distribution) -> None:
        kept = Patch(wounds.cells * staying[wounds.left : wounds.right], wounds.top, wounds.left)
        kept.added_onto(self.unsaved)
        self.damage[stand.begin : stand.end] += stand.resting(np.ones(1), wounds.columns())

    def within(self, stand: Stand, states: Patch, wounds: Distribution, staying: Distribution) -> None:
        stand.work.add(states.cells.size * len(wounds) // 4)
        Patch((states.cells @ staying) * wounds, states.top).added_onto(self.unsaved)
        at = np.concatenate((np.zeros(states.left - stand.begin), states.cells.sum(axis=0)))
        self.damage[stand.begin : stand.end] += stand.resting(at, wounds)

    def slay(self, unsaved: Distribution) -> None:
        self.unsaved[: len(unsaved)] += unsaved[: len(self.unsaved)]
        self.damage[-1] += unsaved.sum()


class Onward:
    """The state [unsaved wounds, place] after the weapon group, for the next one."""

    def __init__(self, line: Line) -> None:
        self.state, self.line = NOTHING, line

    def rest(self, stand: Stand, wounds: Patch, staying: Distribution) -> None:
        spread = Patch(stand.spread(stand.begin, wounds.right - 1), 0, stand.begin)
        self.state = self.state.plus(wounds.skewed().times(spread, stand.work))

    def within(self, stand: Stand, states: Patch, wounds: Distribution, staying: Distribution) -> None:
        begun = np.zeros((len(states.cells), stand.end - stand.begin))
        begun[:, states.left - stand.begin : states.right - stand.begin] = states.cells
        least = int(np.flatnonzero(wounds)[0])
        self.state = self.state.plus(Patch(stand.walked(begun, wounds), states.top + least, stand.begin))

    def slay(self, unsaved: Distribution) -> None:
        self.state = self.state.plus(Patch(unsaved[:, None], 0, self.line.last))


def passed(line: Line, state: Patch, hand: Hand, blows: Sequence[Blow], sink: Sink) -> None:
    """Deal the wounds of one weapon group, which do not spill, to the line in that state; tell the sink the end.

    Of the ordinary wounds only those are in the hand that not every target group would save alike: the share
    `at_stake`. Raises Refused beyond the limits of work.
    """
    share = at_stake(blows) or 1.0
    come, tables = _Come(), Tables(hand)
    for group, blow, begin in zip(line.groups, blows, line.edges, strict=False):
        turn = _Turn(Stand(group, begin, blow.points, hand.work), tables, blow.saves(share), sink)
        come = turn.pass_on(state, come, last=turn.stand.end == line.last)
    sink.slay(_column(state, line.last))


@dataclass(frozen=True)
class _Come:
    """Those who come to a group while some wounds are left.

    `after` [unsaved, t]: with t ordinary wounds gone. `dealt` [unsaved so far, unsaved to come], less `void`: what
    was dealt at the saves of the group before.
    """

    after: Patch = NOTHING
    dealt: Patch = NOTHING
    void: Patch = NOTHING


class _Turn:
    """One target group's turn to take wounds."""

    def __init__(self, stand: Stand, tables: Tables, saves: Saves, sink: Sink) -> None:
        self.stand, self.tables, self.saves, self.sink = stand, tables, saves, sink
        self.hand = tables.hand

    def pass_on(self, state: Patch, come: _Come, last: bool) -> _Come:
        """Everyone who stands here, from before or just come, faces what is left; some go on to the next group."""
        after = come.after.plus(Patch(_column(state, self.stand.begin)[:, None]))
        middle = state.between(self.stand.begin + 1, self.stand.end)
        if not (after or come.dealt or middle):
            return _Come()
        first = 0 if middle else after.left if after else self.hand.ordinary
        fresh, spent = self.tables.faced(self.saves, first)
        dealt = total([come.dealt, after.times(fresh, self.hand.work)]).plus(come.void, -1.0)
        leaving = [self._begun(after, dealt, last), self._hurt(middle, fresh.row(0), last)]
        gone = total([go[0] for go in leaving]).between(0, self.hand.ordinary + 1)
        return _Come(gone, total([go[1] for go in leaving]), gone.times(spent, self.hand.work))

    def _begun(self, after: Patch, dealt: Patch, last: bool) -> tuple[Patch, Patch]:
        """Those who come to the first model: [unsaved, ordinary gone] and [unsaved, to come] of those who go on."""
        if not dealt:
            return NOTHING, NOTHING
        law = self.stand.leaving(range(self.stand.begin, self.stand.begin + 1), dealt.right - 1)[0]
        self.sink.rest(self.stand, dealt, 1 - np.cumsum(law))
        if last:
            self.sink.slay(_slain(dealt, law))
            return NOTHING, NOTHING
        gone = NOTHING
        if after:  # who has only piercing wounds to come waits for no ordinary one
            gone = after.summed(self.tables.waited(self.saves, _last(law)).rows(law), self.hand.work)
        return gone, dealt.skewed().times(_less(law, dealt), self.hand.work).unskewed()

    def _hurt(self, states: Patch, wounds: Distribution, last: bool) -> tuple[Patch, Patch]:
        """The same of those who are in the middle of the group."""
        if not states:
            return NOTHING, NOTHING
        laws = self.stand.leaving(range(states.left, states.right), len(wounds) - 1)
        self.sink.within(self.stand, states, wounds, 1 - np.cumsum(laws, axis=1))
        slaying = states.times(Patch(laws, states.left), self.hand.work)
        if last:
            reached = slaying.cells * np.cumsum(wounds[::-1])[::-1][slaying.left : slaying.right]
            self.sink.slay(_totals(Patch(reached, slaying.top, slaying.left)))
            return NOTHING, NOTHING
        if not slaying:
            return NOTHING, NOTHING
        turned = slaying.skewed()
        left = falling(wounds, turned.left, turned.right - turned.left, len(wounds))
        gone = turned.times(self.tables.waited(self.saves, turned.right - 1), self.hand.work)
        return gone, turned.times(left, self.hand.work)


def _last(law: Distribution) -> int:
    """The largest number that has a chance."""
    some = np.flatnonzero(law)
    return int(some[-1]) if len(some) else 0


def _column(state: Patch, place: int) -> Distribution:
    """The chances of each number of unsaved wounds at one place."""
    found = np.zeros(state.bottom)
    if state.left <= place < state.right:
        found[state.top :] = state.cells[:, place - state.left]
    return found


def _less(law: Distribution, dealt: Patch) -> Patch:
    """[c, what is left]: the chance that wound c - left is the one, for the numbers dealt."""
    backwards = np.concatenate((law[: dealt.right][::-1], np.zeros(dealt.right)))
    return Patch(sliding_window_view(backwards, dealt.right)[: dealt.cells.shape[1]][::-1], dealt.left)


def _slain(dealt: Patch, law: Distribution) -> Distribution:
    """How many go unsaved, from first to last, where enough do to slay the last model."""
    enough = np.cumsum(dealt.cells[:, ::-1], axis=1)[:, ::-1]
    whole = np.concatenate((np.repeat(enough[:, :1], dealt.left, axis=1), enough), axis=1)
    return _totals(Patch(whole * law[: dealt.right], dealt.top))


def _totals(pairs: Patch) -> Distribution:
    found = np.zeros(pairs.bottom + pairs.right)
    pairs.added_onto(found)
    return found
