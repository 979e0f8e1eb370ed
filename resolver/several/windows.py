"""The part of a large state that is not nothing, and how wounds move it along.

A state is an array (unsaved wounds so far, place); see walking.py.
"""

from __future__ import annotations

import numpy as np

from resolver.counts import Distribution
from resolver.several.work import Work

State = Distribution

_NOTHING = 1e-22  # far below the rounding of a chance
_TOGETHER = 16  # states added at once
_HELD = 1_500_000  # numbers of states held beside those that wait
_SMALL = 4000  # numbers too few to be worth looking through


def _span(largest: Distribution) -> tuple[int, int]:
    """From where to where (exclusive) there is something."""
    found: list[int] = np.flatnonzero(largest > _NOTHING).tolist() or [0]
    return found[0], found[-1] + 1


class Window:
    """The part of a state that is not nothing: `cells`, beginning at row `top` and place `left`."""

    def __init__(self, cells: State, top: int = 0, left: int = 0, whole: bool = False) -> None:
        self.cells, self.top, self.left = cells, top, left
        if cells.size > _SMALL:
            up, down = _span(cells.max(axis=1))
            first, last = (0, cells.shape[1]) if whole else _span(cells.max(axis=0))
            self.cells, self.top, self.left = cells[up:down, first:last], top + up, left + first

    @property
    def right(self) -> int:
        """The place past the last one."""
        return self.left + int(self.cells.shape[1])

    def within(self, width: int, whole: bool) -> Window:
        """The same as part of a state of so many places, or as all of it."""
        if not whole:
            return self
        found = np.zeros((len(self.cells), width))
        found[:, self.left : self.right] = self.cells
        return Window(found, self.top, whole=True)

    def onto(self, state: State, share: float) -> None:
        """Add `share` of the window to a whole state."""
        cells = self.cells[: len(state) - self.top]  # a row past the most that can be unsaved holds nothing
        state[self.top : self.top + len(cells), self.left : self.right] += share * cells


class Waiting:
    """States that wait for p more wounds, for every p: `cells` has shape (most p + 1, rows, places)."""

    def __init__(self, shape: tuple[int, int, int], work: Work) -> None:
        size = shape[1] * shape[2]
        self._some = max(1, _HELD // size)  # states that may be held beside the cells
        together = min(_TOGETHER, self._some)
        work.add(4 * shape[0] * size, (shape[0] + together + min(shape[0], self._some)) * size)
        self.cells = np.zeros(shape)
        self._work = work
        self._states, self._shares, self._kept = np.zeros((together, *shape[1:])), np.zeros((shape[0], together)), 0

    def join(self, window: Window, shares: Distribution) -> None:
        """Let a share of the window wait for each number of wounds."""
        if len(shares) == 1:
            self._work.add(3 * window.cells.size)
            window.onto(self.cells[0], float(shares[0]))
        elif shares.any():
            self._states[self._kept] = 0.0
            self._shares[:, self._kept] = shares
            window.onto(self._states[self._kept], 1.0)
            self._kept += 1
            if self._kept == len(self._states):
                self.settle()

    def settle(self) -> None:
        """Add those that were kept back, so that large products do the work of many small ones."""
        self._work.add(self._kept * self.cells.size // 4)
        kept = self._states[: self._kept].reshape(self._kept, self.cells[0].size)
        cells, shares = self.cells.reshape(len(self.cells), -1), self._shares[:, : self._kept]
        for first in range(0, len(cells), self._some):
            cells[first : first + self._some] += shares[first : first + self._some] @ kept
        self._kept = 0


class Leads:
    """Moves along the line of so many places: for each number of places, the share of each place that moves so far."""

    def __init__(self, places: int) -> None:
        self.places = places
        self.steps: dict[int, Distribution] = {}

    @property
    def furthest(self) -> int:
        """The largest number of places moved."""
        return max(self.steps)

    def add(self, step: int, shares: Distribution) -> None:
        """So many places further for a share of each place; nothing to add is not kept."""
        if shares.any():
            self.steps[step] = self.steps.get(step, 0.0) + shares

    def add_to(self, after: State, window: Window) -> None:
        """Add every move of the window's cells to `after`, whose first place is the window's."""
        for step, shares in self.steps.items():
            low, high = max(0, -step), min(window.cells.shape[1], after.shape[1] - step)
            if high <= low:
                continue
            moving = window.cells[:, low:high] * shares[window.left + low : window.left + high]
            after[:, low + step : high + step] += moving

    @property
    def table(self) -> Distribution:
        """The share of each place (row) that moves to each other one; one product with it is all moves at once."""
        table = np.zeros((self.places, self.places))
        for step, shares in self.steps.items():
            table += np.diag(shares[max(0, -step) : self.places - max(0, step)], step)
        return table
