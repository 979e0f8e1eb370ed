"""A table of pairs as few products: the chance of n of one kind and p of another is a sum of functions of n times p."""

from __future__ import annotations

import numpy as np

from resolver.counts import Distribution

_ROUNDING = 5e-18  # of a pair's chance, from the transform that it comes from


def crossed(table: Distribution) -> tuple[Distribution, Distribution]:
    """Columns [n, k] and rows [k, p] whose product is the table, no entry further from it than its rounding.

    Gaussian elimination with complete pivoting (Golub and Van Loan, Matrix Computations, ch. 3), ended where only
    rounding is left: the chances change so smoothly that a few dozen steps do for hundreds of numbers.
    """
    rest = table.copy()
    columns: list[Distribution] = []
    rows: list[Distribution] = []
    while True:
        row, column = divmod(int(np.abs(rest).argmax()), rest.shape[1])
        pivot = rest[row, column]
        if columns and abs(pivot) <= _ROUNDING:
            return np.array(columns).T, np.array(rows)
        columns.append(rest[:, column] / pivot)
        rows.append(rest[row].copy())
        rest -= np.outer(columns[-1], rows[-1])
        rest[row] = 0.0
        rest[:, column] = 0.0
