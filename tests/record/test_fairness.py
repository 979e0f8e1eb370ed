"""Fairness tests: published worked examples, real dice, published tables, and scipy."""

from __future__ import annotations

import math
from collections import Counter
from fractions import Fraction
from itertools import product
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from recording import FIGURES
from scipy import stats

from resolver.fairness import (
    chi_square,
    enough_for_faces,
    even_faces,
    face_counts,
    frequency,
    high_and_low,
    running_luck,
    runs,
    runs_at_most,
    runs_by_normal_law,
    serial,
    smallest_bias,
)
from resolver.statistics import Distribution, mid_p
from resolver.tails import chi_square_tail, noncentral_tail, threshold, upper_gamma

TOTALS_OF_TWO = [Fraction(6 - abs(7 - total), 36) for total in range(2, 13)]
THROWS_OF_TWELVE = 26306


def published(figure: str, name: str) -> Any:
    return FIGURES[figure]["expected"][name]["published"]


def decimal(figure: str, name: str) -> float:
    return float(FIGURES[figure]["expected"][name]["decimal"])


def bits(figure: str, name: str) -> list[int]:
    return [int(bit) for bit in FIGURES[figure]["inputs"][name]]


def binomial_twelve(share: Fraction) -> list[Fraction]:
    """Expected numbers of throws of twelve dice with 0 to 12 successes."""
    return [THROWS_OF_TWELVE * math.comb(12, k) * share**k * (1 - share) ** (12 - k) for k in range(13)]


def pooled(cells: list[Any]) -> list[Any]:
    return [*cells[:10], sum(cells[10:])]


# Knuth's dice


def test_two_dice_thrown_144_times_come_out_as_knuth_prints() -> None:
    observed = FIGURES["knuth_dice_144"]["inputs"]["observed"]
    expected = [144 * share for share in TOTALS_OF_TWO]
    assert expected == published("knuth_dice_144", "expected")
    found = chi_square(observed, expected)
    assert found.value == pytest.approx(float(Fraction(published("knuth_dice_144", "V"))), abs=1e-12)
    assert found.freedom == 10
    assert found.chance == pytest.approx(decimal("knuth_dice_144", "P_10_df"), rel=1e-12)


@pytest.mark.parametrize("number", [1, 2])
def test_knuths_other_runs_are_too_far_off_and_too_close(number: int) -> None:
    observed = FIGURES["knuth_dice_two_experiments"]["inputs"][f"experiment_{number}"]
    found = chi_square(observed, [144 * share for share in TOTALS_OF_TWO])
    value = Fraction(published("knuth_dice_two_experiments", f"V{number}"))
    assert found.value == pytest.approx(float(value))
    assert found.chance == pytest.approx(decimal("knuth_dice_two_experiments", f"P{number}_10_df"), rel=1e-10)


def test_the_loaded_die_of_knuths_exercise_fits_better() -> None:
    observed = FIGURES["knuth_dice_two_experiments"]["inputs"]["experiment_1"]
    shares = [Fraction(1, 6) if total == 7 else Fraction(1, 12) for total in range(2, 13)]
    found = chi_square(observed, [144 * share for share in shares])
    assert found.value == pytest.approx(float(Fraction(published("knuth_ex4_loaded", "V"))))
    assert found.chance == pytest.approx(decimal("knuth_ex4_loaded", "P_10_df"), rel=1e-10)


# Weldon's dice


def test_weldons_dice_are_not_fair() -> None:
    observed = published("weldon_table", "full_0_to_12")
    found = chi_square(observed, binomial_twelve(Fraction(1, 3)))
    assert f"{found.value:.4f}" == published("weldon_chi_square_exact", "V_13_cells")
    assert f"{found.chance:.3e}" == published("weldon_chi_square_exact", "P_12_df")


def test_pearsons_own_figures_have_the_tail_that_he_printed() -> None:
    figure = FIGURES["weldon_chi_square_pearson"]["expected"]
    assert f"{chi_square_tail(43.87241, 12):.6f}" == figure["P_12_df_of_43.87241"]["published"]
    assert f"{chi_square_tail(17.775755, 12):.4f}" == figure["P_12_df_of_17.775755"]["published"]


def test_fishers_pooled_tests_of_weldons_dice_come_out_as_printed() -> None:
    observed = published("weldon_table", "pooled_0_to_10plus")
    fair = chi_square(observed, pooled(binomial_twelve(Fraction(1, 3))))
    assert f"{fair.value:.2f}" == published("weldon_chi_square_fisher", "V_p_one_third")
    share = Fraction(FIGURES["weldon_chi_square_fisher"]["expected"]["p_hat"]["exact"])
    fitted = chi_square(observed, pooled(binomial_twelve(share)), fitted=1)
    assert f"{fitted.value:.2f}" == published("weldon_chi_square_fisher", "V_p_fitted")
    assert (fair.freedom, fitted.freedom) == (10, 9)
    assert fitted.chance == pytest.approx(decimal("weldon_chi_square_fisher", "P_9_df"), rel=1e-9)


def test_a_machine_that_threw_weldons_dice_again_found_uneven_faces() -> None:
    counts = FIGURES["labby_2009"]["inputs"]["counts_from_memory"]
    faces = [face for face, count in enumerate(counts, 1) for _ in range(count)]
    found = even_faces(faces, 6)
    assert f"{found.value:.2f}" == published("labby_2009", "V_from_counts")
    assert found.chance == pytest.approx(decimal("labby_2009", "P_5_df"), rel=1e-10)


# Other worked examples


def test_the_example_of_scipys_manual_comes_out_as_printed() -> None:
    found = chi_square([16, 18, 16, 14, 12, 12], [Fraction(88, 6)] * 6)
    assert found.value == float(published("scipy_doc_chisquare", "V"))
    assert found.chance == pytest.approx(float(published("scipy_doc_chisquare", "P_5_df")), rel=1e-14)


@pytest.mark.parametrize(("sample", "name"), [("bits_10", "example_10_bits"), ("pi_100", "pi_100_bits")])
def test_the_frequency_examples_of_the_standard_come_out_as_printed(sample: str, name: str) -> None:
    found = frequency(bits("sp800_22_frequency", sample))
    assert f"{found.chance:.6f}" == published("sp800_22_frequency", name)


@pytest.mark.parametrize(("sample", "name"), [("bits_10", "example_10_bits"), ("pi_100", "pi_100_bits")])
def test_the_runs_examples_of_the_standard_come_out_as_printed(sample: str, name: str) -> None:
    found = runs_by_normal_law(bits("sp800_22_runs", sample))
    assert f"{found.chance:.6f}" == published("sp800_22_runs", name)


def test_the_serial_example_of_the_standard_comes_out_as_printed() -> None:
    first, second = serial(bits("sp800_22_serial", "bits"), 2, 3)
    assert f"{first.chance:.6f}" == published("sp800_22_serial", "P1")
    assert f"{second.chance:.6f}" == published("sp800_22_serial", "P2")
    assert first.value == pytest.approx(2.8 - 1.2)  # its psi-squared of 3 and of 2
    assert second.value == pytest.approx(2.8 - 2 * 1.2 + 0.4)


def test_runs_of_ten_and_ten_have_the_tabled_chance() -> None:
    figure = FIGURES["wald_wolfowitz_10_10"]["expected"]
    assert str(runs_at_most(6, 10, 10)) == figure["P_R_le_6"]["exact"]
    assert str(runs_at_most(5, 10, 10)) == figure["P_R_le_5"]["exact"]
    assert f"{float(runs_at_most(6, 10, 10)):.3f}" == figure["P_R_le_6"]["published"]
    chances = [runs_at_most(k, 10, 10) - runs_at_most(k - 1, 10, 10) for k in range(2, 21)]
    mean = sum(k * chance for k, chance in zip(range(2, 21), chances, strict=True))
    variance = sum((k - mean) ** 2 * chance for k, chance in zip(range(2, 21), chances, strict=True))
    assert (str(mean), str(variance)) == (figure["mean"]["published"], figure["variance"]["published"])


# The laws underneath


@pytest.mark.parametrize("freedom", [1, 5, 10, 11])
def test_chi_square_has_the_percentage_points_of_knuths_table(freedom: int) -> None:
    table = FIGURES["knuth_chi_table"]["expected"][f"nu_{freedom}"]
    for share, value in zip((0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99), table["decimal"], strict=True):
        assert threshold(1 - share, freedom) == pytest.approx(float(value), rel=1e-10)
        assert chi_square_tail(float(value), freedom) == pytest.approx(1 - share, abs=1e-12)


@pytest.mark.parametrize("freedom", range(1, 12))
def test_chi_square_has_the_critical_values_that_tables_print(freedom: int) -> None:
    table = FIGURES["chi_square_critical"]["expected"][f"nu_{freedom}"]["published"]
    for level, value in zip((0.10, 0.05, 0.025, 0.01, 0.001), table, strict=True):
        # The printed value of 8 degrees at 0.001 is one unit of its last place too high.
        assert threshold(level, freedom) == pytest.approx(float(value), abs=0.0011)


@pytest.mark.parametrize("freedom", [1, 2, 5])
def test_chi_square_has_the_critical_values_of_a_finer_table(freedom: int) -> None:
    table = FIGURES["chi_square_critical_5dp"]["expected"][f"nu_{freedom}"]["published"]
    for level, value in zip((0.10, 0.05, 0.025, 0.01, 0.005), table, strict=False):
        assert f"{threshold(level, freedom):.5f}" == value


@given(st.floats(0, 400), st.integers(1, 300))
def test_the_tail_agrees_with_scipy(value: float, freedom: int) -> None:
    known = stats.chi2.sf(value, freedom)
    assert chi_square_tail(value, freedom) == pytest.approx(known, rel=1e-9, abs=1e-14)


@given(st.floats(0.1, 100), st.integers(1, 40), st.floats(0, 100))
def test_the_noncentral_tail_agrees_with_scipy(value: float, freedom: int, noncentrality: float) -> None:
    law = stats.ncx2(freedom, noncentrality) if noncentrality else stats.chi2(freedom)
    assert noncentral_tail(value, freedom, noncentrality) == pytest.approx(float(law.sf(value)), abs=1e-9)


def test_an_incomplete_gamma_function_needs_a_shape_above_zero() -> None:
    with pytest.raises(ValueError, match="above 0, got 0"):
        upper_gamma(0, 1)


# Against scipy and by counting


@given(st.lists(st.integers(1, 6), min_size=1, max_size=300))
def test_faces_are_tested_as_scipy_tests_them(faces: list[int]) -> None:
    found, known = even_faces(faces, 6), stats.chisquare(face_counts(faces, 6))
    assert found.value == pytest.approx(known.statistic)
    assert found.chance == pytest.approx(known.pvalue, rel=1e-9)


@pytest.mark.parametrize("dice", [6, 12])
def test_few_dice_reach_the_nominal_point_as_often_as_counting_says(dice: int) -> None:
    """Why the audit asks for five of each face: over all outcomes the nominal 5% is not 5%."""
    limit = float(FIGURES["exact_multinomial_small_dice"]["inputs"]["threshold"])
    reached = Fraction(0)
    for counts in _compositions(dice, 6):
        if chi_square(counts, [Fraction(dice, 6)] * 6).value >= limit:
            ways = math.factorial(dice) // math.prod(map(math.factorial, counts))
            reached += Fraction(ways, 6**dice)
    exact = FIGURES["exact_multinomial_small_dice"]["expected"][f"P_V_ge_11.0705_n{dice}"]["exact"]
    assert str(reached) == exact
    assert not enough_for_faces(dice, 6)


def _compositions(total: int, parts: int) -> list[tuple[int, ...]]:
    if parts == 1:
        return [(total,)]
    return [(k, *rest) for k in range(total + 1) for rest in _compositions(total - k, parts - 1)]


@pytest.mark.parametrize(("ones", "zeros"), [(1, 1), (1, 4), (3, 4), (5, 5)])
def test_runs_are_as_likely_as_counting_says(ones: int, zeros: int) -> None:
    rows = [row for row in product((0, 1), repeat=ones + zeros) if sum(row) == ones]
    counted = Counter(int(runs(row).value) for row in rows)
    for most in range(1, ones + zeros + 1):
        exact = Fraction(sum(counted[k] for k in range(most + 1)), len(rows))
        assert runs_at_most(most, ones, zeros) == exact


@pytest.mark.parametrize("row", [[1] * 5, [0] * 3])
def test_bits_that_are_all_alike_leave_the_runs_test_nothing_to_say(row: list[int]) -> None:
    assert runs(row).chance == 1


def test_alternating_and_clustered_bits_are_both_odd() -> None:
    assert runs([0, 1] * 20).chance < 1e-6
    assert runs([0] * 20 + [1] * 20).chance < 1e-6
    assert runs([0, 1] * 1000).chance < 1e-6


def test_the_exact_and_the_normal_runs_test_agree_for_many_bits() -> None:
    """The exact chance is a little larger: it counts the whole of the value seen."""
    row = [int(bit) for bit in FIGURES["sp800_22_runs"]["inputs"]["pi_100"]] * 4
    exact, normal = runs(row), runs_by_normal_law(row)
    assert exact.value == normal.value
    assert normal.chance < exact.chance < normal.chance + 0.06


def test_pairs_of_faces_are_counted_in_a_circle() -> None:
    """Psi-squared of pairs, by its definition, for a sequence short enough to count by hand."""
    symbols = [0, 1, 2, 0, 1, 2]
    first, second = serial(symbols, 3, 2)
    pairs, singles = 9 / 6 * (4 + 4 + 4) - 6, 3 / 6 * (4 + 4 + 4) - 6
    assert first.value == pytest.approx(pairs - singles)
    assert second.value == pytest.approx(pairs - 2 * singles)
    assert (first.freedom, second.freedom) == (6, 4)


def test_the_serial_test_has_the_law_it_claims() -> None:
    """Over many seeded sequences of fair faces the chances are spread evenly (from numpy's generator)."""
    generator = np.random.default_rng(20261125)
    chances = [serial(list(generator.integers(0, 6, 400)), 6, 2)[0].chance for _ in range(300)]
    assert stats.kstest(chances, "uniform").pvalue > 0.01


def test_high_and_low_leave_out_the_middle() -> None:
    assert high_and_low([1, 3, 4, 6], 6) == [0, 0, 1, 1]
    assert high_and_low([1, 2, 3, 2], 3) == [0, 1]


@pytest.mark.parametrize(
    ("observed", "expected"),
    [([1], [1]), ([1, 2], [1]), ([1, 2], [0, 3])],
    ids=["one cell", "uneven", "zero"],
)
def test_counts_that_cannot_be_tested_are_refused(observed: list[int], expected: list[float]) -> None:
    with pytest.raises(ValueError, match="go together"):
        chi_square(observed, expected)


# What a number of dice could show


@pytest.mark.parametrize(("dice", "sides"), [(120, 6), (600, 6), (6000, 6), (200, 3), (2000, 20)])
def test_the_bias_that_dice_can_show_is_shown_with_the_stated_power(dice: int, sides: int) -> None:
    bias = smallest_bias(dice, sides)
    assert bias is not None
    shares = np.full(sides, (1 - (1 / sides + bias)) / (sides - 1))
    shares[0] = 1 / sides + bias
    noncentrality = dice * np.sum((shares - 1 / sides) ** 2) * sides
    power = stats.ncx2.sf(stats.chi2.isf(0.05, sides - 1), sides - 1, noncentrality)
    assert power == pytest.approx(0.8, abs=1e-6)


def test_biased_dice_are_caught_as_often_as_promised() -> None:
    """A thousand seeded samples (numpy's generator) of a die biased by just that much: about 80% caught."""
    dice, generator = 300, np.random.default_rng(1900)
    bias = smallest_bias(dice, 6)
    assert bias is not None
    shares = np.full(6, (5 / 6 - bias) / 5)
    shares[5] = 1 / 6 + bias
    samples = generator.multinomial(dice, shares, size=1000)
    caught = sum(chi_square(list(map(int, row)), [Fraction(50)] * 6).chance < 0.05 for row in samples)
    assert caught / 1000 == pytest.approx(0.8, abs=0.04)


def test_more_dice_show_a_smaller_bias_and_a_handful_shows_none() -> None:
    assert smallest_bias(0, 6) is None
    assert smallest_bias(2, 6) is None
    small, large = smallest_bias(1200, 6), smallest_bias(120, 6)
    assert small is not None
    assert large is not None
    assert large == pytest.approx(small * math.sqrt(10))


# Luck


def pool(dice: int, share: float) -> Distribution:
    """So many dice, each a success with this chance."""
    return np.array([math.comb(dice, k) * share**k * (1 - share) ** (dice - k) for k in range(dice + 1)])


def test_the_mid_p_percentile_of_four_sixes_is_the_published_one() -> None:
    figure, ends = FIGURES["mid_p_identities"]["expected"], FIGURES["randomised_pit"]["expected"]
    luck = running_luck([(pool(12, 1 / 6), 4)])
    assert luck == pytest.approx(float(figure["luck_percentile_4"]["decimal"]), abs=1e-14)
    low, high = float(ends["interval_low"]["decimal"]), float(ends["interval_high"]["decimal"])
    assert luck == pytest.approx((low + high) / 2, abs=1e-14)


@given(st.lists(st.integers(0, 50), min_size=1, max_size=8).filter(any))
def test_luck_averages_one_half_with_the_published_variance(weights: list[int]) -> None:
    """The identities of mid-p: mean 1/2, variance a twelfth of one minus the sum of cubes."""
    chances = np.array(weights) / sum(weights)
    lucks = np.array([running_luck([(chances, k)]) for k in range(len(chances))])
    assert chances @ lucks == pytest.approx(0.5)
    assert chances @ (lucks - 0.5) ** 2 == pytest.approx((1 - np.sum(chances**3)) / 12, abs=1e-12)


@pytest.mark.parametrize("shares", [(1 / 2, 1 / 2), (1 / 3, 1 / 6, 1 / 2), (1 / 6, 1 / 6, 1 / 6, 1 / 6)])
def test_running_luck_is_the_exact_percentile_over_all_outcomes(shares: tuple[float, ...]) -> None:
    pools = [pool(4, share) for share in shares]
    sums: dict[int, float] = {}
    outcomes = list(product(range(5), repeat=len(shares)))
    for outcome in outcomes:
        total = _score(pools, outcome)
        chance = math.prod(float(law[k]) for law, k in zip(pools, outcome, strict=True))
        sums[total] = sums.get(total, 0.0) + chance
    for outcome in outcomes:
        total = _score(pools, outcome)
        exact = sum(chance for other, chance in sums.items() if other < total) + sums[total] / 2
        assert running_luck(list(zip(pools, outcome, strict=True))) == pytest.approx(exact, abs=1e-12)


def _score(pools: list[Distribution], outcome: tuple[int, ...]) -> int:
    return sum(round(1000 * mid_p(law, k)) for law, k in zip(pools, outcome, strict=True))


def test_luck_of_one_direction_adds_up_and_of_both_cancels_out() -> None:
    good, bad = (pool(10, 1 / 2), 6), (pool(10, 1 / 2), 4)
    assert running_luck([good]) < 0.8
    assert running_luck([good] * 20) > 0.99
    assert running_luck([good, bad] * 10) == pytest.approx(0.5)


def test_without_any_result_there_is_no_luck() -> None:
    assert running_luck([]) == 0.5
    assert running_luck([(np.array([0.0, 1.0]), 1)] * 3) == 0.5


def test_a_long_night_of_large_attacks_is_still_a_percentile() -> None:
    """Sums of many percentiles are nearly normal: the law of large sums, from scipy."""
    results = [(pool(60, 1 / 3), 22)] * 40
    one = running_luck([results[0]])
    spread = math.sqrt(40 * (1 - float(np.sum(pool(60, 1 / 3) ** 3))) / 12)
    assert running_luck(results) == pytest.approx(stats.norm.cdf(40 * (one - 0.5) / spread), abs=0.003)
