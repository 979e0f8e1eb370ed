"""Tables of chances in two dimensions of which only a part is not nothing, and what is done with them."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from resolver.counts import Distribution
from resolver.generating import size_for
from resolver.several.part import Part
from resolver.several.work import A_CALL, Work

FAINT = 1e-18  # far below the rounding of a chance
_FEW = 40_000  # products so few that every one is made


class Patch(Part):
    """The part `cells` of a table that begins at row `top` and column `left`; all else is nothing."""

    def __init__(self, cells: Distribution, top: int = 0, left: int = 0) -> None:
        some = cells > FAINT
        rows, columns = np.logical_or.reduce(some, axis=1).nonzero()[0], np.logical_or.reduce(some, axis=0).nonzero()[0]
        if len(rows):
            first, left_out = int(rows[0]), int(columns[0])
            cells = cells[first : int(rows[-1]) + 1, left_out : int(columns[-1]) + 1]
            top, left = top + first, left + left_out
        else:
            cells = cells[:0, :0]
        super().__init__(cells, top, left)

    def plus(self, other: Patch, times: float = 1.0) -> Patch:
        """The sum with so many times the other."""
        if other and times != 1.0:
            scaled = copy(other)
            scaled.cells = times * other.cells
            return total([self, scaled])
        return total([self, other])

    def rows_summed(self) -> Distribution:
        """The sum of every row, from row 0 on; shape (bottom,)."""
        return np.concatenate((np.zeros(self.top), self.cells.sum(axis=1)))

    def columns(self) -> Distribution:
        """The sum of every column, from column 0 on; shape (right,)."""
        return np.concatenate((np.zeros(self.left), self.cells.sum(axis=0)))

    def between(self, first: int, last: int) -> Patch:
        """The columns from `first` to before `last`."""
        low, high = max(first, self.left), min(last, self.right)
        if low >= high:
            return NOTHING
        return Patch(self.cells[:, low - self.left : high - self.left], self.top, low)

    def row(self, number: int) -> Distribution:
        """One row, from column 0 on; shape (right,), at least one long."""
        if not self.top <= number < self.bottom:
            return np.zeros(1)
        return np.concatenate((np.zeros(self.left), self.cells[number - self.top]))

    def rows(self, shares: Distribution) -> Patch:
        """Every row times its share; rows past the shares are left out."""
        some = np.flatnonzero(shares > FAINT)
        if not len(some):
            return NOTHING
        first, last = max(self.top, int(some[0])), min(self.bottom, int(some[-1]) + 1)
        if first >= last:
            return NOTHING
        return Patch(self.cells[first - self.top : last - self.top] * shares[first:last, None], first, self.left)

    def added_onto(self, law: Distribution) -> None:
        """Add every entry to `law` at the sum of its row and column."""
        for row, cells in enumerate(self.cells, self.top + self.left):
            law[row : row + len(cells)] += cells[: max(0, len(law) - row)]

    def times(self, other: Patch, work: Work) -> Patch:
        """The matrix product: the columns of this are the rows of `other`."""
        low, high = max(self.left, other.top), min(self.right, other.bottom)
        if low >= high:
            return NOTHING
        mine = self.cells[:, low - self.left : high - self.left]
        theirs = other.cells[low - other.top : high - other.top]
        shape = len(mine), theirs.shape[1]
        work.add(shape[0] * shape[1] * (high - low) // 12 + mine.size + 3 * A_CALL, shape[0] * shape[1])
        return Patch(mine @ theirs, self.top, other.left)

    def skewed(self) -> Patch:
        """The same by the sum of row and column: [j, c] stands at [j + c, c]."""
        if not self:
            return self
        height, width = self.cells.shape
        found = np.zeros((width, height + width))
        found[:, :height] = self.cells.T
        flat = found.reshape(-1)[: width * (height + width - 1)]
        return Patch(flat.reshape(width, height + width - 1).T, self.top + self.left, self.left)

    def unskewed(self) -> Patch:
        """What `skewed` undoes: [j + c, c] stands at [j, c] again."""
        if not self:
            return self
        height, width = self.cells.shape
        found = np.zeros((width, height + width))
        found[:, :height] = self.cells[:, ::-1].T
        flat = found.reshape(-1)[: width * (height + width - 1)]
        turned = flat.reshape(width, height + width - 1).T[:, ::-1]
        return Patch(turned, self.top - self.right + 1, self.left)

    def summed(self, other: Patch, work: Work) -> Patch:
        """The distribution of the sum of two independent pairs of numbers (a convolution in two dimensions)."""
        if not self or not other:
            return NOTHING
        if min(self.cells.size, other.cells.size) == 1:
            return Patch(self.cells * other.cells, self.top + other.top, self.left + other.left)
        (height, width), (more, wider) = self.cells.shape, other.cells.shape
        shape = height + more - 1, width + wider - 1
        few = self.cells.size * other.cells.size <= _FEW
        found = (_added if few else _transformed)(self.cells, other.cells, shape, work)
        return Patch(found, self.top + other.top, self.left + other.left)


NOTHING = Patch(np.zeros((0, 0)))


def total(parts: Sequence[Patch]) -> Patch:
    """The sum of all."""
    some = [part for part in parts if part]
    if len(some) < 2:
        return some[0] if some else NOTHING
    top, left = min([part.top for part in some]), min([part.left for part in some])
    shape = max([part.bottom for part in some]) - top, max([part.right for part in some]) - left
    found = np.zeros(shape)
    for part in some:
        found[part.top - top : part.bottom - top, part.left - left : part.right - left] += part.cells
    return Patch(found, top, left)


def falling(law: Distribution, first: int, rows: int, columns: int) -> Patch:
    """The table [k, c] of law[k + c], from row `first` on; shape (rows, columns)."""
    padded = np.concatenate((law, np.zeros(first + rows + columns)))
    return Patch(sliding_window_view(padded[first:], columns)[:rows], first, 0)


def _added(one: Distribution, other: Distribution, shape: tuple[int, int], work: Work) -> Distribution:
    """The convolution of two small tables, as one of their rows laid end to end."""
    work.add(one.size * other.size + 3 * A_CALL)
    rows = [np.zeros((len(table), shape[1])) for table in (one, other)]
    for row, table in zip(rows, (one, other), strict=True):
        row[:, : table.shape[1]] = table
    return np.convolve(rows[0].ravel(), rows[1].ravel())[: shape[0] * shape[1]].reshape(shape)


def _transformed(one: Distribution, other: Distribution, shape: tuple[int, int], work: Work) -> Distribution:
    """The convolution of two large tables, by their transforms."""
    size = size_for(shape[0] - 1), size_for(shape[1] - 1)
    work.add(60 * size[0] * size[1] + 5 * A_CALL, size[0] * size[1])
    found = np.fft.irfft2(np.fft.rfft2(one, size) * np.fft.rfft2(other, size), size)[: shape[0], : shape[1]]
    return np.where(found > FAINT, found, 0.0)
