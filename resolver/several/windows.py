"""The parts of a large state that are not nothing, and how wounds move them along.

A state has one table [unsaved wounds so far, place] for each run of places; see walking.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from resolver.counts import Distribution
from resolver.several.part import Part
from resolver.several.work import A_CALL, Work

_NOTHING = 1e-20  # far below the rounding of a chance
_TOGETHER = 16  # states added at once


class Move(NamedTuple):
    """From one run of places to another, so many places on: the share of each place that moves."""

    before: int
    after: int
    step: int
    shares: Distribution


class Wound:
    """What one wound does: the moves of those whom it leaves as they are, and of those who lose it unsaved."""

    def __init__(self, places: int, stays: Sequence[Move], unsaved: Sequence[Move]) -> None:
        self.places = places
        self.moves = [
            (down, move, int(some[0]), int(some[-1]) + 1)
            for down, moves in enumerate((stays, unsaved))
            for move in moves
            if len(some := np.flatnonzero(move.shares))
        ]
        self.furthest = max((move.step for _, move, _, _ in self.moves), default=0)

    def tables(self, runs: int) -> list[Distribution]:
        """Twice the share of each place (row) that moves to each other one, run after run: not unsaved, unsaved."""
        found = np.zeros((2, runs, self.places, runs, self.places))
        for down, move, first, last in self.moves:
            at = np.arange(first, last)
            found[down, move.before, at, move.after, at + move.step] += move.shares[first:last]
        return list(found.reshape(2, runs * self.places, runs * self.places))

    def strike(self, state: Runs, work: Work) -> Runs:
        """The state one wound later."""
        after: Runs = [NOWHERE] * len(state)
        for run in range(len(state)):
            come = [state[move.before] for _, move, _, _ in self.moves if move.after == run and state[move.before]]
            if come:
                top, left, bottom, right = _around(come)
                width = min(right + self.furthest, self.places) - left
                after[run] = Window(np.zeros((bottom + 1 - top, width)), top, left)
        for down, move, first, last in self.moves:
            before, there = state[move.before], after[move.after]
            low, high = max(first, before.left), min(last, before.right)
            if low < high:
                work.add(3 * len(before.cells) * (high - low) + A_CALL // 2)
                moving = before.cells[:, low - before.left : high - before.left] * move.shares[low:high]
                there.part(before.top + down, low + move.step, moving.shape)[...] += moving
        return after


class Window(Part):
    """A part that is moved along; its columns are places, and what is nothing around it is left out when told to."""

    def trimmed(self) -> Window:
        """The same without the nothing around it."""
        if not self:
            return self
        up, down = _span(self.cells.max(axis=1))
        first, last = _span(self.cells.max(axis=0))
        return Window(self.cells[up:down, first:last], self.top + up, self.left + first) if down else NOWHERE

    def part(self, top: int, left: int, shape: Sequence[int]) -> Distribution:
        """The cells, to be changed, of so many rows and places from there on."""
        row, place = top - self.top, left - self.left
        return self.cells[row : row + shape[0], place : place + shape[1]]

    def add(self, other: Window, share: float = 1.0) -> None:
        """Add a share of a smaller one."""
        cells = other.cells if share == 1.0 else share * other.cells
        self.part(other.top, other.left, other.cells.shape)[...] += cells


Runs = list[Window]

NOWHERE = Window(np.zeros((0, 0)))


class Waiting:
    """Sums of windows, each with its own shares: `cells` [sum, row, place] begin at row `top` and place `left`."""

    def __init__(self, sums: int, work: Work) -> None:
        self.cells, self.top, self.left = np.zeros((sums, 0, 0)), 0, 0
        self._joined: list[tuple[Window, Distribution]] = []
        self._work = work

    def join(self, window: Window, shares: Distribution) -> None:
        """Add a share of the window to each sum."""
        if window and shares.any():
            self._joined.append((window, shares))
            if len(self._joined) == _TOGETHER:
                self.settle()

    def settle(self) -> None:
        """Add those that were kept back, so that large products do the work of many small ones."""
        if not self._joined:
            return
        windows, shares = zip(*self._joined, strict=True)
        top, left, bottom, right = _around(windows)
        self._grow(top, left, bottom, right)
        self._work.add(len(windows) * ((bottom - top) * (right - left) * (len(self.cells) // 3 + 3) + A_CALL))
        if len(self.cells) == 1:
            sum_of_all = Window(self.cells[0], self.top, self.left)
            for window, (share,) in self._joined:
                sum_of_all.add(window, share)
        else:
            states = np.zeros((len(windows), bottom - top, right - left))
            for state, window in zip(states, windows, strict=True):
                Window(state, top, left).add(window)
            added = np.tensordot(np.array(shares), states, (0, 0))
            self.cells[:, top - self.top : bottom - self.top, left - self.left : right - self.left] += added
        self._joined.clear()

    def mixed(self, shares: Distribution) -> Runs:
        """For each row of `shares` [window, sum] the sum of the sums."""
        self._work.add(len(shares) * self.cells.size // 3, len(shares) * self.cells[0].size)
        return [Window(cells, self.top, self.left).trimmed() for cells in np.tensordot(shares, self.cells, 1)]

    def _grow(self, top: int, left: int, bottom: int, right: int) -> None:
        """Make room from there to there (exclusive)."""
        if self.cells.size:
            mine = Window(self.cells[0], self.top, self.left)
            top, left, bottom, right = _around((mine, Window(np.empty((bottom - top, right - left)), top, left)))
        sums, rows, width = self.cells.shape
        shape = (sums, bottom - top, right - left)
        self._work.add(0, 2 * sums * shape[1] * shape[2])
        cells = np.zeros(shape)
        if self.cells.size:
            row, place = self.top - top, self.left - left
            cells[:, row : row + rows, place : place + width] = self.cells
        self.cells, self.top, self.left = cells, top, left


def joined(windows: Sequence[Window]) -> Window:
    """The sum of windows."""
    some = [window for window in windows if window]
    if len(some) < 2:
        return some[0] if some else NOWHERE
    top, left, bottom, right = _around(some)
    found = Window(np.zeros((bottom - top, right - left)), top, left)
    for window in some:
        found.add(window)
    return found


def _around(windows: Sequence[Window]) -> tuple[int, int, int, int]:
    """Top, left, bottom and right of what holds all windows."""
    return (
        min(window.top for window in windows),
        min(window.left for window in windows),
        max(window.bottom for window in windows),
        max(window.right for window in windows),
    )


def _span(largest: Distribution) -> tuple[int, int]:
    """From where to where (exclusive) there is something."""
    found: list[int] = np.flatnonzero(largest > _NOTHING).tolist()
    return (found[0], found[-1] + 1) if found else (0, 0)
