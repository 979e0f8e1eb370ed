"""Arithmetic on distributions: dice, sums, caps. Entry k of an array is the chance of exactly k."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache, reduce
from math import comb

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from resolver.amount import Amount
from resolver.generating import size_for
from resolver.plan import Damage

Distribution = NDArray[np.float64]

MOST_POINTS = 100_000  # of damage that spills in one attack

_MANY_PRODUCTS = 2_000_000
_FAINT = 1e-18  # far below the rounding of a chance


@lru_cache(maxsize=256)
def amount_chances(amount: Amount) -> Distribution:
    """The distribution of a rolled amount, shape (amount.high + 1,)."""
    die = np.full(max(amount.sides, 1), 1 / max(amount.sides, 1))
    total = reduce(np.convolve, [die] * amount.dice, np.ones(1))
    found = np.zeros(amount.high + 1)
    found[amount.low :] = total
    found.setflags(write=False)
    return found


def damage_chances(damage: Damage) -> Distribution:
    """The distribution of the points that one unsaved wound takes, ignored points left out (sums to 1)."""
    rolled = amount_chances(damage.amount)
    if not damage.halve and not damage.reduce and damage.ignore is None:
        return rolled
    found = np.zeros(damage.lessened(len(rolled) - 1) + 1)
    for points, chance in enumerate(rolled):
        if chance:
            found[damage.lessened(points)] += chance
    if damage.ignore is None:
        return found
    return np.asarray(found @ _thinning(len(found), 1 - float(damage.ignore.chance)))


@lru_cache(maxsize=64)
def _thinning(size: int, kept: float) -> Distribution:
    """Row n: the binomial distribution of how many of n points stay, each with chance `kept`; shape (size, size)."""
    return np.array([
        [comb(n, k) * kept**k * (1 - kept) ** (n - k) if k <= n else 0.0 for k in range(size)] for n in range(size)
    ])  # fmt: skip


def certain(number: int) -> Distribution:
    """The distribution of what is always `number`."""
    found = np.zeros(number + 1)
    found[number] = 1.0
    return found


def added(parts: Sequence[Distribution]) -> Distribution:
    """The distribution of the sum of independent parts, added in pairs; large ones by their transforms."""
    while len(parts) > 1:
        parts = [_sum(*parts[first : first + 2]) for first in range(0, len(parts), 2)]
    return parts[0]


def _sum(one: Distribution, *other: Distribution) -> Distribution:
    if not other:
        return one
    if len(one) * len(other[0]) <= _MANY_PRODUCTS:
        return np.convolve(one, other[0])
    length = len(one) + len(other[0]) - 1
    size = size_for(length - 1)
    found: Distribution = np.fft.irfft(np.fft.rfft(one, size) * np.fft.rfft(other[0], size), size)[:length]
    found[found <= _FAINT] = 0.0
    return np.asarray(found / found.sum())


def ended(chances: Distribution) -> Distribution:
    """The same distribution without the zeros at its end."""
    return chances if chances[-1] else chances[: int(np.flatnonzero(chances)[-1]) + 1]


def rounded_off(chances: Distribution) -> Distribution:
    """The same distribution with no chance beyond 1, as a sum of many may have by rounding."""
    return np.minimum(chances, 1.0)


def capped(chances: Distribution, most: int) -> Distribution:
    """The same distribution with everything above `most` counted as `most`."""
    if len(chances) <= most + 1:
        return chances
    found = chances[: most + 1].copy()
    found[most] = chances[most:].sum()
    return found


def shifts(chances: Distribution) -> Distribution:
    """The matrix that adds a number of points, past the edge being dropped; shape (n, n)."""
    size = len(chances)
    padded = np.concatenate((np.zeros(size - 1), chances))
    return np.asarray(sliding_window_view(padded, size)[::-1])


def compound(count: Distribution, each: Distribution) -> Distribution:
    """The distribution of a sum of a random number of alike parts, as long as the largest sum needs.

    The generating function of the count at that of the part (Feller, vol. I, ch. XII): its lowest power that has a
    chance, times a polynomial evaluated in blocks of powers (Paterson and Stockmeyer 1973).
    """
    some = np.flatnonzero(count)
    first, last = int(some[0]), int(some[-1])
    largest = last * (len(each) - 1)
    size = size_for(largest)
    part = np.fft.rfft(each, size)
    block = int(np.sqrt(last - first + 1)) + 1
    powers = np.empty((block, len(part)), dtype=complex)
    powers[0] = 1
    for row in range(1, block):
        powers[row] = powers[row - 1] * part
    padded = np.zeros(block * -(-(last - first + 1) // block))
    padded[: last - first + 1] = count[first : last + 1]
    total = np.zeros(len(part), dtype=complex)
    step = powers[-1] * part
    for row in padded.reshape(-1, block)[::-1]:
        total = total * step + row @ powers
    found = np.fft.irfft(total * part**first, size)[: largest + 1]
    found[found <= 5e-16] = 0.0
    return np.asarray(found / found.sum())
