"""Generating functions of the checks at roots of unity: how many things leave each step, exactly.

A check's function is the mean over its faces of the product of the functions of what they feed, and a pool of
n dice is its n-th power (Harris, The Theory of Branching Processes, 1963, ch. I; Feller, An Introduction to
Probability Theory, vol. I, ch. XI and XII). Values at all roots of unity give the chances back by one inverse
Fourier transform (Cooley and Tukey 1965).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from resolver.check import Check, Feeds

Values = NDArray[np.complex128]
Distribution = NDArray[np.float64]

_NOISE = 5e-16  # rounding of a transform of chances; anything smaller is nothing


@lru_cache(maxsize=128)
def size_for(largest: int) -> int:
    """The smallest odd number above `largest` with no prime factor over 7; odd, so that -1 is no root."""
    size = largest + 1 | 1
    while not _smooth(size):
        size += 2
    return size


def _smooth(size: int) -> bool:
    for prime in (3, 5, 7):
        while size % prime == 0:
            size //= prime
    return size == 1


@lru_cache(maxsize=32)
def roots(size: int) -> Values:
    """The first half of the size-th roots of unity, shape (size // 2 + 1,); the rest are conjugates."""
    circle: Values = np.exp(-2j * np.pi * np.arange(size // 2 + 1) / size)
    circle.setflags(write=False)
    return circle


def chances(values: Values, size: int) -> Distribution:
    """The distributions (..., size) whose generating functions have `values` at the roots of unity."""
    found: Distribution = np.fft.irfft(values, size)
    found[found < _NOISE] = 0.0
    found /= found.sum(axis=-1, keepdims=True)
    return found


def composed(checks: Sequence[Check], start: Feeds, ends: Values, cuts: Sequence[int]) -> Values:
    """The generating function of what is outstanding after each of `cuts` checks (in rising order).

    `ends` (len(cuts), points) is the value of one outstanding thing; so is the result. A single re-roll works
    on the whole pool: with S the part of a die's function G that is not re-rolled and F what a failing die
    feeds, a pool of n is S**n + (G**n - S**n) * G / F.
    """
    return _composed(checks, start, dict.fromkeys(_names(checks, start), ends), ends, cuts)


def joint(checks: Sequence[Check], start: Feeds, ends: Mapping[str, int], most: int) -> Distribution:
    """The joint distribution of two kinds of things left after all checks, shape (most + 1, most + 1).

    `ends` says along which axis, 0 or 1, each thing is counted.
    """
    size = size_for(most)
    whole = np.exp(-2j * np.pi * np.arange(size) / size)
    grid = np.meshgrid(whole, roots(size), indexing="ij")
    flat = [axis.reshape(1, -1) for axis in grid]
    values = {name: flat[axis] for name, axis in ends.items()}
    found = _composed(checks, start, values, flat[0], [len(checks)])
    table = np.fft.irfft2(found.reshape(grid[0].shape), (size, size))[: most + 1, : most + 1]
    table[table < _NOISE] = 0.0
    return np.asarray(table / table.sum())


def _names(checks: Sequence[Check], start: Feeds) -> set[str]:
    return {name for feeds in (start, *(row for check in checks for row in check.rows)) for name in feeds}


def _composed(
    checks: Sequence[Check], start: Feeds, values: Mapping[str, Values], ends: Values, cuts: Sequence[int]
) -> Values:
    if not checks:
        return np.asarray(_product(start, values))
    *earlier, check = checks
    waiting = sum(1 for cut in cuts if cut <= len(earlier))  # rows counted before this check is made
    later = {name: value[waiting:] for name, value in values.items()}
    whole = ends.copy()
    whole[waiting:] = _mean(check.shares(), later)
    if not check.one_again:
        return _composed(earlier, start, {**values, check.name: whole}, ends, cuts)
    return _once_again(check, whole, waiting, earlier, start, values, ends, cuts)


def _once_again(
    check: Check,
    whole: Values,
    waiting: int,
    earlier: Sequence[Check],
    start: Feeds,
    values: Mapping[str, Values],
    ends: Values,
    cuts: Sequence[int],
) -> Values:
    later = {name: value[waiting:] for name, value in values.items()}
    failed = _product(check.feeds(min(check.one_again)), later)
    kept = whole.copy()
    kept[waiting:] -= len(check.one_again) / check.sides * failed
    ratio = np.ones_like(ends)
    ratio[waiting:] = whole[waiting:] / failed
    never = _composed(earlier, start, {**values, check.name: kept}, ends, cuts)
    once = _composed(earlier, start, {**values, check.name: whole}, ends, cuts)
    return never + ratio * (once - never)


def _mean(shares: Sequence[tuple[Feeds, float]], values: Mapping[str, Values]) -> Values | complex:
    total: Values | complex = 0j
    for feeds, share in shares:
        total = total + share * _product(feeds, values)
    return total


def _product(feeds: Feeds, values: Mapping[str, Values]) -> Values | float:
    found: Values | float = 1.0
    for name, count in feeds.items():
        if count:
            found = found * (values[name] ** count if count > 1 else values[name])
    return found
