"""Are these dice fair? Chi-square, runs and serial tests, what they could have shown, and running luck.

Every test answers with a tail chance: how often fair dice would look at least as odd. Faces run from 1 to
`sides`, bits are 0 and 1; nothing is drawn here.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

import numpy as np

from resolver.statistics import Distribution, mid_p
from resolver.tails import chi_square_tail, noncentral_tail, threshold

LEVEL = 0.05  # the odds of a false alarm that `smallest_bias` allows
POWER = 0.8  # and the chance of seeing a bias that it asks for
SCORES = 1000
EXACT_RUNS = 400
LEAST_EXPECTED = 5  # below this many expected in a cell the chi-square law is too rough (common practice)


@dataclass(frozen=True)
class Finding:
    """A statistic, its degrees of freedom (0 if it has none), and the chance that fair dice reach it."""

    value: float
    freedom: int
    chance: float


def chi_square(observed: Sequence[int], expected: Sequence[float | Fraction], fitted: int = 0) -> Finding:
    """Pearson's test of counts against expected counts, with `fitted` parameters taken from the data.

    Raises ValueError unless there are at least two cells, equally many of both, all expected above 0.
    Source: K. Pearson, Phil. Mag. (5) 50 (1900) 157-175; D. E. Knuth, TAOCP vol. 2, sec. 3.3.1.
    """
    if len(observed) != len(expected) or len(observed) < 2 or min(expected) <= 0:
        raise ValueError("counts and expectations go together, two or more of them, all expected above 0")
    cells = [(Fraction(o), Fraction(e)) for o, e in zip(observed, expected, strict=True)]
    value = float(sum((o - e) ** 2 / e for o, e in cells))
    freedom = len(observed) - 1 - fitted
    return Finding(value, freedom, chi_square_tail(value, freedom))


def even_faces(faces: Sequence[int], sides: int) -> Finding:
    """Chi-square of the faces against equal shares; enough dice if `enough_for_faces` says so."""
    return chi_square(face_counts(faces, sides), [Fraction(len(faces), sides)] * sides)


def face_counts(faces: Sequence[int], sides: int) -> list[int]:
    """How often each face from 1 to `sides` came up."""
    counted = Counter(faces)
    return [counted[face] for face in range(1, sides + 1)]


def enough_for_faces(dice: int, sides: int) -> bool:
    """Whether each face is expected at least LEAST_EXPECTED times."""
    return dice >= LEAST_EXPECTED * sides


def frequency(bits: Sequence[int]) -> Finding:
    """As many ones as zeros? Value: how far the sum of +1 and -1 is from 0, over the root of n.

    Source: NIST SP 800-22 Rev. 1a, section 2.1.
    """
    value = abs(2 * sum(bits) - len(bits)) / math.sqrt(len(bits))
    return Finding(value, 0, math.erfc(value / math.sqrt(2)))


def runs(bits: Sequence[int]) -> Finding:
    """Too many or too few changes, given how many ones there are? Value: the number of runs.

    The chance is exact (the smaller tail, doubled) up to EXACT_RUNS bits, beyond that by the normal law. It
    is 1 for bits that are all alike, of which the test can say nothing.
    """
    if len(bits) > EXACT_RUNS:
        return runs_by_normal_law(bits)
    ones, count = sum(bits), count_runs(bits)
    zeros = len(bits) - ones
    if not ones or not zeros:
        return Finding(count, 0, 1.0)
    low, high = runs_at_most(count, ones, zeros), 1 - runs_at_most(count - 1, ones, zeros)
    return Finding(count, 0, min(1.0, 2 * float(min(low, high))))


def count_runs(bits: Sequence[int]) -> int:
    """How many stretches of equal bits there are."""
    return (len(bits) > 0) + sum(a != b for a, b in pairwise(bits))


def runs_by_normal_law(bits: Sequence[int]) -> Finding:
    """The runs test for many bits; its chance is 0 for bits that are all alike.

    Source: NIST SP 800-22 Rev. 1a, section 2.3.
    """
    n = len(bits)
    share, value = sum(bits) / n, count_runs(bits)
    both = share * (1 - share)
    if not both:
        return Finding(value, 0, 0.0)
    return Finding(value, 0, math.erfc(abs(value - 2 * n * both) / (2 * math.sqrt(2 * n) * both)))


def runs_at_most(count: int, ones: int, zeros: int) -> Fraction:
    """The exact chance of `count` runs or fewer when `ones` and `zeros` stand in random order.

    Source: A. Wald & J. Wolfowitz, Ann. Math. Statist. 11 (1940) 147-162.
    """
    ways = sum(_ways(k, ones, zeros) for k in range(2, count + 1))
    return Fraction(ways, math.comb(ones + zeros, ones))


def _ways(count: int, ones: int, zeros: int) -> int:
    half, odd = divmod(count, 2)
    if not odd:
        return 2 * math.comb(ones - 1, half - 1) * math.comb(zeros - 1, half - 1)
    more = math.comb(ones - 1, half) * math.comb(zeros - 1, half - 1)
    return more + math.comb(ones - 1, half - 1) * math.comb(zeros - 1, half)


def serial(symbols: Sequence[int], kinds: int, length: int) -> tuple[Finding, Finding]:
    """Does each stretch of `length` symbols come equally often? First and second difference of psi-squared.

    Symbols run from 0 to kinds - 1 and are read in a circle. `length` is 2 or more; the second difference has
    no freedom, and so no meaning, below length 2.
    Source: NIST SP 800-22 Rev. 1a, section 2.11, there for two kinds; I. J. Good (1953) for any number.
    """
    psi = [_psi_squared(symbols, kinds, length - back) for back in range(3)]
    first, second = psi[0] - psi[1], psi[0] - 2 * psi[1] + psi[2]
    freedom = kinds**length - kinds ** (length - 1)
    freedom2 = kinds**length - 2 * kinds ** (length - 1) + (kinds ** (length - 2) if length > 1 else 0)
    return (
        Finding(first, freedom, chi_square_tail(first, freedom)),
        Finding(second, freedom2, chi_square_tail(second, freedom2)),
    )


def _psi_squared(symbols: Sequence[int], kinds: int, length: int) -> float:
    if length <= 0:
        return 0.0
    n = len(symbols)
    circle = [*symbols, *symbols[: length - 1]]
    counted = Counter(tuple(circle[i : i + length]) for i in range(n))
    squares = sum(count * count for count in counted.values())
    return float(kinds**length * squares) / n - n


def high_and_low(faces: Sequence[int], sides: int) -> list[int]:
    """Each face as a bit, 1 in the upper half; the middle face of an odd die is in neither and left out."""
    return [int(2 * face > sides + 1) for face in faces if 2 * face != sides + 1]


def smallest_bias(dice: int, sides: int, level: float = LEVEL, power: float = POWER) -> float | None:
    """How much likelier than 1/sides one face must be before this many dice would probably show it.

    "Probably" is a chance of `power`, at a false alarm rate of `level`; the other faces share the loss. None
    if even a die that always shows one face would pass too easily. Source: the chi-square statistic of a
    biased die is noncentral, with dice * sides * sum((p - 1/sides)^2) (P. B. Patnaik, Biometrika 36 (1949)
    202-232).
    """
    noncentrality = _noncentrality(sides - 1, level, power)
    bias = math.sqrt(noncentrality * (sides - 1) / dice) / sides if dice else math.inf
    return bias if bias <= 1 - 1 / sides else None


def _noncentrality(freedom: int, level: float, power: float) -> float:
    """The noncentrality at which the chi-square test of this level has this power, by bisection."""
    critical = threshold(level, freedom)
    low, high = 0.0, 1.0
    while noncentral_tail(critical, freedom, high) < power:
        high *= 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if noncentral_tail(critical, freedom, middle) < power else (low, middle)
    return high


def running_luck(results: Sequence[tuple[Distribution, int]]) -> float:
    """The percentile of many results together, each the result k of an attack with that distribution.

    Each result scores its mid-p percentile in thousandths; the answer is the mid-p percentile of the summed
    score in its exact distribution. One result keeps its own percentile; none at all gives 1/2.
    """
    if len(results) == 1:
        return mid_p(*results[0])
    law, total = np.ones(1), 0
    for chances, k in results:
        scores = [round(SCORES * mid_p(chances, j)) for j in range(len(chances))]
        law, total = _shifted(law, scores, chances), total + scores[k]
    return mid_p(law, total)


def _shifted(law: Distribution, scores: Sequence[int], chances: Distribution) -> Distribution:
    """The law of a sum after one more independent score."""
    wider = np.zeros(len(law) + SCORES)
    for score in set(scores):
        share = sum(float(chances[j]) for j, other in enumerate(scores) if other == score)
        wider[score : score + len(law)] += share * law
    return wider
