"""Generating functions of the checks at roots of unity: how many things leave each step, exactly.

A check's function is the mean over its faces of the product of the functions of what they feed, and a pool of
n dice is its n-th power (Harris, The Theory of Branching Processes, 1963, ch. I; Feller, An Introduction to
Probability Theory, vol. I, ch. XI and XII). Values at all roots of unity give the chances back by one inverse
Fourier transform (Cooley and Tukey 1965).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from resolver.check import Check, Feeds
from resolver.refused import Refused

MOST_PAIRS = 500_000  # numbers of two kinds of wounds at once

Values = NDArray[np.complex128]
Distribution = NDArray[np.float64]

_NOISE = 5e-16  # rounding of a transform of chances
_ROUNDING = 2e-16  # of a power, for each of its factors
_MANY = 5000  # multiplications that one operation of numpy is worth
_FAINT = 1e-18  # the same of a transform in two dimensions


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


def noise(found: Distribution) -> Distribution:
    """The rounding of powers and transforms along the last axis, shape (..., 1); anything smaller is nothing."""
    return np.asarray(np.maximum(_NOISE, _ROUNDING * found.shape[-1] * found.max(axis=-1, keepdims=True)))


def chances(values: Values, size: int, most: int) -> Distribution:
    """The distributions (..., most + 1) whose generating functions have `values` at the roots of unity."""
    found: Distribution = np.fft.irfft(values, size)[..., : most + 1]
    found[found <= noise(found)] = 0.0
    found /= np.add.reduce(found, axis=-1, keepdims=True)
    return found


def composed(checks: Sequence[Check], start: Feeds, ends: Values, cuts: Sequence[int]) -> Values:
    """The generating function of what is outstanding after each of `cuts` checks (in rising order).

    `ends` (len(cuts), points) is the value of one outstanding thing; so is the result.
    """
    names = {name for feeds in (start, *(row for check in checks for row, _ in check.shares)) for name in feeds}
    return _composed(checks, start, dict.fromkeys(names, ends), ends, cuts)


def joint(checks: Sequence[Check], start: Feeds, kept: Mapping[str, float], most: int) -> Distribution:
    """The joint distribution of two kinds of things left after all checks, each thing kept with its chance.

    No more than `most` can be left. The shape is that of the largest numbers that have a chance; only the numbers
    that have one are transformed, counted modulo the width of their range. Raises Refused beyond MOST_PAIRS.
    """
    alone = [{**dict.fromkeys(kept, 0.0), name: share} for name, share in kept.items()]
    rows, columns = (_range(thinned(checks, start, each, most)) for each in alone)
    height, width = size_for(len(rows)), size_for(len(columns))
    if height * width > MOST_PAIRS:
        pairs = height * width
        what = f"{pairs:,} pairs of ordinary and piercing wounds are possible"
        raise Refused("target groups", f"{what}; the limit is {MOST_PAIRS:,}")
    axes = np.exp(-2j * np.pi * np.arange(height) / height)[:, None], roots(width)[None, :]
    values = {name: 1 - share + share * axis for (name, share), axis in zip(kept.items(), axes, strict=True)}
    grid = np.empty((height, width // 2 + 1), dtype=np.complex128)
    found = _composed(checks, start, values, grid, [len(checks)] * height)
    table = np.zeros((rows[-1] + 1, columns[-1] + 1))
    table[rows[0] :, columns[0] :] = np.fft.irfft2(found, (height, width))[np.ix_(rows % height, columns % width)]
    table *= table > _FAINT
    return np.asarray(table / table.sum())


def thinned(checks: Sequence[Check], start: Feeds, kept: Mapping[str, float], most: int) -> Distribution:
    """The distribution of how many things, at most `most`, are left after all checks, each kept with its chance."""
    size = size_for(most)
    circle = roots(size)[None, :]
    values = {name: 1 - share + share * circle for name, share in kept.items()}
    return np.asarray(chances(_composed(checks, start, values, circle, [len(checks)]), size, most)[0])


def _range(law: Distribution) -> NDArray[np.int64]:
    """The numbers from the first to the last that have a chance beyond rounding."""
    some = np.flatnonzero(law > 2 * noise(law))
    return np.arange(some[0], some[-1] + 1)


def _composed(
    checks: Sequence[Check], start: Feeds, values: Mapping[str, Values], ends: Values, cuts: Sequence[int]
) -> Values:
    """Give each check, the last first, the value of one of its dice; rows counted before it keep `ends`."""
    if not checks:
        found = np.asarray(_product(start, values))
        return found if found.shape == ends.shape else np.broadcast_to(found, ends.shape)
    *earlier, check = checks
    rows = bisect_right(cuts, len(earlier))
    later = {name: value[rows:] for name, value in values.items()} if rows else values
    whole = _mean(check.shares, later)
    if not check.one_again:
        values = {**values, check.name: _below(ends, whole, rows)}
        return _composed(earlier, start, values, ends, cuts)
    failed = _product(check.feeds(min(check.one_again)), later)
    kept = whole - len(check.one_again) / check.sides * failed
    never, once = (
        _composed(earlier, start, {**values, check.name: _below(ends, value, rows)}, ends, cuts)
        for value in (kept, whole)
    )
    return _once_again(never, once, whole / failed, rows)


def _below(ends: Values, value: Values, rows: int) -> Values:
    """The first `rows` of the one above the other."""
    if not rows:
        return value
    whole = ends.copy()
    whole[rows:] = value
    return whole


def _once_again(never: Values, once: Values, ratio: Values, rows: int) -> Values:
    """A single re-roll of the whole pool.

    With S the part of a die's function G that is not re-rolled and F what a failing die feeds, a pool of n is
    S**n + (G**n - S**n) * G / F; `never` and `once` are those of S and G, `ratio` is G / F.
    """
    return np.concatenate((never[:rows], never[rows:] + ratio * (once[rows:] - never[rows:])))


def _mean(shares: Sequence[tuple[Feeds, float]], values: Mapping[str, Values]) -> Values:
    total: Values | float | None = None
    for feeds, share in shares:
        part = share * _product(feeds, values) if feeds else share
        total = part if total is None else total + part
    return np.asarray(total)


def _product(feeds: Feeds, values: Mapping[str, Values]) -> Values | float:
    found: Values | float | None = None
    for name, count in feeds.items():
        if count:
            power = values[name] if count == 1 else _power(values[name], count)
            found = power if found is None else found * power
    return 1.0 if found is None else found


def _power(values: Values, count: int) -> Values:
    """Many values at once are quicker squared again and again than each raised by its logarithm."""
    if np.size(values) * count < _MANY:
        return np.asarray(values**count)
    found: Values | None = None
    while count:
        if count & 1:
            found = values if found is None else found * values
        count >>= 1
        values = values * values if count else values
    assert found is not None
    return found
