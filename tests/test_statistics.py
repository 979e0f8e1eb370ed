"""What a distribution says, against direct counting with fractions and against scipy."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats

from resolver.statistics import (
    at_least,
    below,
    deviation,
    mean,
    mid_p,
    middle,
    most_likely,
    quantile,
    variance,
)

Counts = list[int]
counts = st.lists(st.integers(0, 50), min_size=1, max_size=12).filter(any)


def chances(numbers: Counts) -> NDArray[np.float64]:
    return np.array(numbers, dtype=np.float64) / sum(numbers)


def share(numbers: Counts, low: int, high: int) -> Fraction:
    """The exact share of results from low up to, not including, high."""
    return Fraction(sum(numbers[low:high]), sum(numbers))


def pool(dice: int, chance: float) -> NDArray[np.float64]:
    return stats.binom.pmf(np.arange(dice + 1), dice, chance)


@given(counts)
def test_mean_and_variance_are_those_of_the_counted_results(numbers: Counts) -> None:
    results = [k for k, count in enumerate(numbers) for _ in range(count)]
    assert mean(chances(numbers)) == pytest.approx(float(np.mean(results)), abs=1e-12)
    assert variance(chances(numbers)) == pytest.approx(float(np.var(results)), abs=1e-11)
    assert deviation(chances(numbers)) == pytest.approx(float(np.std(results)), abs=1e-6)


@given(counts, st.integers(-1, 14))
def test_at_least_k_and_below_k_share_out_everything(numbers: Counts, k: int) -> None:
    assert at_least(chances(numbers), k) == pytest.approx(float(share(numbers, max(k, 0), 12)), abs=1e-12)
    assert below(chances(numbers), k) == pytest.approx(float(share(numbers, 0, max(k, 0))), abs=1e-12)


def test_nothing_below_zero_is_exactly_nothing() -> None:
    assert below(pool(100, 0.5), 0) == 0.0


@given(counts, st.integers(1, 20))
def test_a_quantile_is_the_smallest_result_that_reaches_the_share(numbers: Counts, twentieths: int) -> None:
    wanted = Fraction(twentieths, 20)
    k = quantile(chances(numbers), float(wanted))
    assert share(numbers, 0, k + 1) >= wanted
    assert k == 0 or share(numbers, 0, k) < wanted


@pytest.mark.parametrize("dice", [1, 7, 40])
@pytest.mark.parametrize("wanted", [0.05, 0.25, 0.5, 0.75, 0.95])
def test_quantiles_of_a_pool_are_those_of_scipy(dice: int, wanted: float) -> None:
    assert quantile(pool(dice, 1 / 3), wanted) == stats.binom.ppf(wanted, dice, 1 / 3)


@given(counts, st.sampled_from([0.5, 0.8, 0.9]))
def test_the_middle_cuts_no_more_than_half_of_the_rest_at_each_end(numbers: Counts, wanted: float) -> None:
    low, high = middle(chances(numbers), wanted)
    tail = (1 - Fraction(str(wanted))) / 2
    assert share(numbers, 0, low) <= tail
    assert share(numbers, high + 1, 12) <= tail
    assert share(numbers, 0, low + 1) > tail
    assert share(numbers, high, 12) > tail


@given(counts)
def test_the_most_likely_results_are_all_those_at_the_peak(numbers: Counts) -> None:
    peak = max(numbers)
    assert most_likely(chances(numbers)) == tuple(k for k, count in enumerate(numbers) if count == peak)


def test_an_odd_pool_on_even_odds_has_two_most_likely_results() -> None:
    assert most_likely(pool(5, 0.5)) == (2, 3)


@given(counts)
def test_the_mid_p_percentile_averages_one_half(numbers: Counts) -> None:
    dist = chances(numbers)
    assert sum(p * mid_p(dist, k) for k, p in enumerate(dist)) == pytest.approx(0.5, abs=1e-12)


def test_a_result_that_cannot_be_has_no_percentile() -> None:
    with pytest.raises(ValueError, match="between 0 and 4"):
        mid_p(pool(4, 0.5), 5)


@pytest.mark.parametrize("wanted", [0, -0.1, 1.1])
def test_a_share_that_cannot_be_has_no_quantile(wanted: float) -> None:
    with pytest.raises(ValueError, match="share"):
        quantile(pool(4, 0.5), wanted)


@pytest.mark.parametrize("wanted", [0, 1])
def test_the_middle_is_neither_nothing_nor_everything(wanted: float) -> None:
    with pytest.raises(ValueError, match="share"):
        middle(pool(4, 0.5), wanted)
