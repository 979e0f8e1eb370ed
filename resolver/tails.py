"""Tail chances of the chi-square law, central and noncentral, by their classical expansions."""

from __future__ import annotations

import math

_SMALL = 1e-16
_MOST_TERMS = 10_000


def chi_square_tail(value: float, freedom: int) -> float:
    """The chance that chi-square with `freedom` (1 or more) degrees of freedom reaches `value`."""
    return upper_gamma(freedom / 2, value / 2)


def upper_gamma(a: float, x: float) -> float:
    """The regularized upper incomplete gamma function Q(a, x), a > 0.

    Source: Abramowitz & Stegun, Handbook of Mathematical Functions (1964), 6.5.29 (series) and 6.5.31
    (continued fraction, evaluated by W. J. Lentz's method).
    """
    if a <= 0:
        raise ValueError(f"the shape of an incomplete gamma function lies above 0, got {a}")
    if x <= 0:
        return 1.0
    front = math.exp(a * math.log(x) - x - math.lgamma(a))
    return 1 - front * _series(a, x) if x < a + 1 else front * _fraction(a, x)


def _series(a: float, x: float) -> float:
    term = total = 1 / a
    for n in range(1, _MOST_TERMS):
        term *= x / (a + n)
        total += term
        if term < total * _SMALL:
            break
    return total


def _fraction(a: float, x: float) -> float:
    b = x + 1 - a
    c = 1 / 1e-300
    d = 1 / b
    h = d
    for n in range(1, _MOST_TERMS):
        an = -n * (n - a)
        b += 2
        d = 1 / (an * d + b)
        c = b + an / c
        h *= d * c
        if abs(d * c - 1) < _SMALL * 10:
            break
    return h


def threshold(chance: float, freedom: int) -> float:
    """The value that chi-square reaches with this chance (0 < chance < 1), by bisection."""
    low, high = 0.0, 1.0
    while chi_square_tail(high, freedom) > chance:
        high *= 2
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if chi_square_tail(middle, freedom) > chance else (low, middle)
    return high


def noncentral_tail(value: float, freedom: int, noncentrality: float) -> float:
    """The chance that noncentral chi-square reaches `value`: central tails weighted by a Poisson law.

    Source: P. B. Patnaik, Biometrika 36 (1949) 202-232.
    """
    half = noncentrality / 2
    if half == 0:
        return chi_square_tail(value, freedom)
    middle = int(half)
    reach = int(10 * math.sqrt(half)) + 30
    total = 0.0
    for j in range(max(0, middle - reach), middle + reach):
        weight = math.exp(j * math.log(half) - half - math.lgamma(j + 1))
        total += weight * chi_square_tail(value, freedom + 2 * j)
    return min(total, 1.0)
