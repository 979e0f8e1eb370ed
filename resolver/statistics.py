"""What a distribution says: mean, spread, most likely, at least k, quantiles, and the percentile of a result.

A distribution is a one-dimensional numpy array; entry k is the chance of exactly k, for k = 0, 1, 2, ...
"""

from __future__ import annotations

from math import sqrt

import numpy as np
from numpy.typing import NDArray

Distribution = NDArray[np.float64]

_ALIKE = 1e-12  # two chances that differ by less than this share of the larger are equally likely


def mean(chances: Distribution) -> float:
    """The expected value, in units of k."""
    return float(chances @ np.arange(len(chances)))


def variance(chances: Distribution) -> float:
    """The expected squared distance from the mean, in units of k squared."""
    return float(chances @ (np.arange(len(chances)) - mean(chances)) ** 2)


def deviation(chances: Distribution) -> float:
    """The standard deviation, in units of k."""
    return sqrt(variance(chances))


def most_likely(chances: Distribution) -> tuple[int, ...]:
    """Every k that is as likely as the likeliest (a pool of 5 on 4+ has two), smallest first."""
    peak = float(chances.max())
    return tuple(int(k) for k in np.flatnonzero(chances >= peak * (1 - _ALIKE)))


def at_least(chances: Distribution, k: int) -> float:
    """The chance of k or more; 0 beyond the end."""
    return float(chances[max(k, 0) :].sum())


def below(chances: Distribution, k: int) -> float:
    """The chance of less than k: what keeps `at_least` from being certain, exactly 0 if nothing does."""
    return float(chances[: max(k, 0)].sum())


def quantile(chances: Distribution, share: float) -> int:
    """The smallest k whose chance of k or less reaches `share`, 0 < share <= 1."""
    if not 0 < share <= 1:
        raise ValueError(f"a share lies above 0 and up to 1, got {share}")
    reached = np.cumsum(chances) >= share - _ALIKE
    return int(reached.argmax()) if reached.any() else len(chances) - 1


def middle(chances: Distribution, share: float) -> tuple[int, int]:
    """The lowest and highest k left when at most (1 - share) / 2 is cut off at each end, 0 < share < 1."""
    if not 0 < share < 1:
        raise ValueError(f"a share lies between 0 and 1, got {share}")
    tail = (1 - share) / 2
    low = quantile(chances, tail)
    if below(chances, low + 1) <= tail + _ALIKE:
        low += 1
    return low, quantile(chances, 1 - tail)


def mid_p(chances: Distribution, k: int) -> float:
    """The mid-p percentile of the result k: the chance of less than k and half the chance of exactly k.

    Over all results it averages exactly 1/2, so it is fair as a measure of luck. Source: H. O. Lancaster,
    'Significance tests in discrete distributions', J. Amer. Statist. Assoc. 56 (1961) 223-234.
    """
    if not 0 <= k < len(chances):
        raise ValueError(f"a result lies between 0 and {len(chances) - 1}, got {k}")
    return below(chances, k) + float(chances[k]) / 2
