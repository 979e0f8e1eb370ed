"""One of several target groups under the unsaved wounds of one weapon group: when it is slain, where it stands.

A place is the damage done so far to the whole unit, so a group stands at the places from `begin` to before
`end`. Its models fall one after the other, a renewal process (Feller, An Introduction to Probability Theory,
vol. I, ch. XIII; see onto_one.py).
"""

from __future__ import annotations

import numpy as np

from resolver.attack import TargetGroup
from resolver.chain import moves, stepped
from resolver.counts import Distribution, capped
from resolver.onto_one import Block, falls_of, renewed, sums_of
from resolver.several.work import A_CALL, Work

_NOTHING = 1e-22  # far below the rounding of a chance
_NOW_AND_THEN = 8


class Stand:
    """The group from `begin` on, of which an unsaved wound takes `points` (entry 0 is nothing), never spilling."""

    def __init__(self, group: TargetGroup, begin: int, points: Distribution, work: Work) -> None:
        self.wounds, self.lost, self.models = group.wounds, group.lost, group.models or 0
        self.begin, self.end = begin, begin + self.models * self.wounds - self.lost
        self.points, self.work = capped(points, self.wounds), work
        self._moves = moves(self.points, self.wounds)

    def leaving(self, places: range, most: int) -> Distribution:
        """The chances that unsaved wound k slays the last model; shape (places, most + 1)."""
        falls = falls_of(sums_of(self.points, self.wounds, most), self.points)[: most + 1]
        self.work.add((len(places) + 20) * ((most + 1) * len(falls) // 2 + A_CALL), len(places) * (most + 1))
        found = np.zeros((len(places), most + 1))
        fresh, behind, slain = falls[:, self.wounds], 0, np.ones(1)
        for row in range(len(places) - 1, -1, -1):
            model, hurt = divmod(places[row] - self.begin + self.lost, self.wounds)
            needed = self.models - 1 - model
            if needed > behind:
                slain = np.convolve(slain, _power(fresh, needed - behind, most))[: most + 1]
                behind = needed
            law = np.convolve(falls[:, self.wounds - hurt], slain)[: most + 1]
            found[row, : len(law)] = law
        return found

    def resting(self, state: Distribution, wounds: Distribution) -> Distribution:
        """The chances of each place of the group after a number of unsaved wounds, in which some model is left."""
        block = Block(self.wounds, self.lost, self.models, self.end - self.begin)
        self.work.add(min(self.models, len(wounds)) * (len(wounds) * self.wounds // 2 + A_CALL))
        return renewed(block, state, wounds, self.points)[:-1]

    def spread(self, place: int, most: int) -> Distribution:
        """Row k: the chances of each place after k unsaved wounds from `place`; shape (most + 1, places)."""
        begun = np.zeros((1, self.end - self.begin))
        begun[0, place - self.begin] = 1.0
        table = self._laid(begun)
        self.work.add((most + 1) * (table.size * self._cost + A_CALL), (most + 1) * table.size)
        found = np.zeros((table.shape[0], most + 1, table.shape[2]))
        found[:, :1] = table
        for row in range(most):
            found[:, row + 1 : row + 2] = stepped(found[:, row : row + 1], self._moves)
        return self._raised(found)

    def walked(self, states: Distribution, faced: Distribution) -> Distribution:
        """The sum over c of the chance to face c unsaved wounds times `states` c wounds later, in which some stand.

        States are rows of the chances of each place; row i of the result goes with row i - c of the states, c
        from the first to the last that has a chance. Horner's scheme: each wound is walked once.
        """
        some = np.flatnonzero(faced)
        first, last = int(some[0]), int(some[-1])
        begun = self._laid(states)
        found = np.zeros((len(begun), begun.shape[1] + last - first, begun.shape[2]))
        low, high = span = _span(begun)
        for left in range(last, -1, -1):
            row = max(left - first, 0)
            if left >= first:
                found[:, row : row + begun.shape[1]] += faced[left] * begun
                low, high = min(low, span[0]), max(high, span[1])
            if left:
                if left % _NOW_AND_THEN == 0:
                    low, high = _span(found[:, row:])
                high = min(high + 1, found.shape[2])
                part = found[:, row:, low:high]
                self.work.add(part.size * self._cost + A_CALL, found.size)
                found[:, row:, low:high] = stepped(part, self._moves)
        return self._raised(found)

    @property
    def _cost(self) -> int:
        """Multiplications of a step, for each number of a table."""
        return self.wounds // 2 + 4

    def _laid(self, states: Distribution) -> Distribution:
        """States as a table [wounds lost by the model, state, models slain]."""
        table = np.zeros((len(states), self.models * self.wounds))
        table[:, self.lost :] = states
        return np.ascontiguousarray(table.reshape(len(states), self.models, self.wounds).transpose(2, 0, 1))

    def _raised(self, table: Distribution) -> Distribution:
        """What `_laid` undoes."""
        return table.transpose(1, 2, 0).reshape(table.shape[1], -1)[:, self.lost :]


def _power(law: Distribution, times: int, most: int) -> Distribution:
    """The distribution of the sum of so many alike, up to `most`."""
    found = np.ones(1)
    while times:
        if times % 2:
            found = np.convolve(found, law)[: most + 1]
        law = np.convolve(law, law)[: most + 1]
        times //= 2
    return found


def _span(table: Distribution) -> tuple[int, int]:
    """From where to where (exclusive) of the last axis there is something."""
    some = np.flatnonzero(table.max(axis=(0, 1)) > _NOTHING)
    return (int(some[0]), int(some[-1]) + 1) if len(some) else (0, 0)
