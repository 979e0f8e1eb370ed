"""What results say of the dice that made them: mid-p percentiles, published data, tests of fit."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from math import comb, isclose

import numpy as np
import pytest
from asked import pool, total
from figures import figure
from scipy import stats

from resolver.amount import Amount
from resolver.movement import sum_of
from resolver.statistics import at_least, below, mean, mid_p, quantile, variance


def chi_square(observed: Sequence[int], expected: Sequence[float]) -> float:
    """Pearson's statistic."""
    return sum((seen - awaited) ** 2 / awaited for seen, awaited in zip(observed, expected, strict=True))


def counted(counts: Sequence[int]) -> np.ndarray:
    return np.array(counts, dtype=np.float64) / sum(counts)


def test_luck_averages_one_half_and_spreads_as_berry_and_armitage_say() -> None:
    known = figure("mid_p_identities")
    twelve = pool(12, 6)
    luck = [mid_p(twelve, sixes) for sixes in range(13)]
    average = sum(share * chance for share, chance in zip(luck, twelve, strict=True))
    known.check("mean", average)
    spread = sum((share - average) ** 2 * chance for share, chance in zip(luck, twelve, strict=True))
    known.check("variance", spread)
    assert spread == pytest.approx((1 - sum(twelve**3)) / 12, abs=1e-12)


def test_four_sixes_in_twelve_dice_have_the_known_percentile() -> None:
    known = figure("mid_p_identities")
    twelve = pool(12, 6)
    known.check("P_ge_4", at_least(twelve, 4))
    known.check("P_eq_4", twelve[4])
    known.check("luck_percentile_4", mid_p(twelve, 4))
    known.check("mid_p_upper_4", 1 - mid_p(twelve, 4))


def test_the_percentile_is_the_middle_of_the_randomised_transform() -> None:
    known = figure("randomised_pit")
    twelve = pool(12, 6)
    known.check("interval_low", below(twelve, 4))
    known.check("interval_high", below(twelve, 5))
    assert mid_p(twelve, 4) == pytest.approx((below(twelve, 4) + below(twelve, 5)) / 2, abs=1e-15)


def test_the_share_of_fives_and_sixes_that_weldon_saw() -> None:
    known = figure("weldon_table")
    seen = known.exact["full_0_to_12"]
    known.check("throws", sum(seen))
    known.check("proportion", mean(counted(seen)) / 12)
    assert sum(k * count for k, count in enumerate(seen)) == known.number("successes")


def test_weldons_dice_against_a_fair_pool_as_published() -> None:
    known = figure("weldon_chi_square_exact")
    seen = figure("weldon_table").exact["full_0_to_12"]
    found = chi_square(seen, sum(seen) * pool(12, 5))
    assert found == pytest.approx(float(known.number("V_13_cells")), rel=1e-9)
    assert f"{found:.4f}" == known.printed["V_13_cells"]
    assert stats.chi2.sf(found, 12) == pytest.approx(float(known.number("P_12_df")), rel=1e-8)


def test_weldons_dice_with_expectations_rounded_as_pearson_rounded_them() -> None:
    known = figure("weldon_chi_square_pearson")
    seen = figure("weldon_table").exact["full_0_to_12"]
    rounded = known.given["rounded"]  # 1216.497 up and 1254.51 down, as he printed them; twelve of twelve: 0
    assert sum(seen) * pool(12, 5) == pytest.approx(np.array([*rounded, 0]), abs=0.52)
    known.check("V_with_rounded_expectations", chi_square(seen[:12], rounded), times=100)


def test_weldons_dice_pooled_at_ten_or_more_as_fisher_did() -> None:
    known = figure("weldon_chi_square_fisher")
    seen = figure("weldon_table").exact["pooled_0_to_10plus"]
    twelve = pool(12, 5)
    expected = [*twelve[:10], at_least(twelve, 10)]
    found = chi_square(seen, [sum(seen) * chance for chance in expected])
    known.check("V_p_one_third", found, times=1000)
    assert stats.chi2.sf(found, 10) == pytest.approx(float(known.number("P_10_df")), rel=1e-8)


def test_weldons_smaller_runs_average_as_published() -> None:
    known = figure("weldon_4096_throws")
    seen = known.given["four_five_six"]
    known.check("four_five_six_total", sum(seen))
    known.check("mean_four_five_six", mean(counted(seen)))
    known.check("sixes_total", sum(known.given["sixes"]))
    assert mean(pool(12, 4)) < mean(counted(seen)), "the dice favoured high faces, as Weldon found"


def test_labbys_machine_threw_fives_and_sixes_near_one_third() -> None:
    known = figure("labby_2009")
    counts = known.given["counts_from_memory"]
    known.check("counts_sum", sum(counts))
    shares = [Fraction(share) for share in known.given["shares"]]
    known.check("P_5_or_6", shares[4] + shares[5])
    expected = [float(sum(counts) * chance) for chance in sum_of(Amount(1, 6)).values()]
    found = chi_square(counts, expected)
    known.check("V_from_counts", found, times=100)
    assert stats.chi2.sf(found, 5) == pytest.approx(float(known.number("P_5_df")), rel=1e-8)
    deviation = (12 * float(shares[4] + shares[5]) - mean(pool(12, 5))) / (variance(pool(12, 5)) / 26306) ** 0.5
    assert 1 < deviation < 2, "one to two standard errors above a fair pool: not worth a remark"


def test_the_chi_square_used_here_is_that_of_scipys_worked_example() -> None:
    known = figure("scipy_doc_chisquare")
    seen = [16, 18, 16, 14, 12, 12]
    found = chi_square(seen, [float(sum(seen) * chance) for chance in sum_of(Amount(1, 6)).values()])
    known.check("V", found)
    assert stats.chi2.sf(found, 5) == pytest.approx(float(known.number("P_5_df")), rel=1e-12)


def two_dice_fit(seen: Sequence[int]) -> float:
    return chi_square(seen, [float(144 * chance) for chance in sum_of(Amount(2, 6)).values()])


def test_knuths_throws_of_two_dice_fit_as_he_says() -> None:
    known = figure("knuth_dice_144")
    known.check_all("expected", 144 * total(Amount(2, 6))[2:], times=144)
    known.check("V", two_dice_fit(known.given["observed"]), times=10)


@pytest.mark.parametrize("number", [1, 2])
def test_knuths_other_experiments_are_too_far_off_and_too_close(number: int) -> None:
    known = figure("knuth_dice_two_experiments")
    found = two_dice_fit(known.given[f"experiment_{number}"])
    known.check(f"V{number}", found, times=100)
    known.check(f"P{number}_10_df", stats.chi2.sf(found, 10))


def test_knuths_loaded_die_explains_the_first_experiment() -> None:
    """One fair die and one that shows only 1 or 6: half d6+1, half d6+6."""
    known = figure("knuth_ex4_loaded")
    totals = dict.fromkeys(range(2, 13), Fraction())
    for plus in (1, 6):
        for sum_, chance in sum_of(Amount(1, 6, plus)).items():
            totals[sum_] += chance / 2
    seen = figure("knuth_dice_two_experiments").given["experiment_1"]
    known.check("V", chi_square(seen, [float(144 * chance) for chance in totals.values()]), times=10)


def test_runs_of_two_kinds_have_the_tabulated_tail() -> None:
    """With r runs, the kinds fall into two, or into (r+1)/2 and (r-1)/2 pieces."""
    known = figure("wald_wolfowitz_10_10")
    ways = [0, 0]
    for runs in range(2, 21):
        more, fewer = (runs + 1) // 2, runs // 2
        ways.append(2 * comb(9, more - 1) * comb(9, fewer - 1))
    runs = counted(ways)
    known.check("mean", mean(runs))
    known.check("variance", variance(runs), times=20)
    known.check("P_R_le_6", below(runs, 7))
    known.check("P_R_le_5", below(runs, 6))
    assert quantile(runs, 0.0185) == 6


@cache
def face_counts(dice: int, faces: int) -> tuple[tuple[tuple[int, ...], float], ...]:
    """Every split of the dice over the faces with its chance, face by face: each step is a pool."""
    if faces == 1:
        return (((dice,), 1.0),)
    found = []
    step = {2: (4, 6)}.get(faces, (faces, faces))
    here = pool(dice, *step) if dice else np.ones(1)
    for count, chance in enumerate(here):
        found += [((count, *rest), float(chance) * more) for rest, more in face_counts(dice - count, faces - 1)]
    return tuple(found)


@pytest.mark.parametrize("dice", [6, 12])
def test_few_dice_reach_the_five_per_cent_point_as_often_as_they_really_do(dice: int) -> None:
    known = figure("exact_multinomial_small_dice")
    point = float(known.given["threshold"])
    expected = [dice / 6] * 6
    reached = sum(chance for split, chance in face_counts(dice, 6) if chi_square(split, expected) >= point)
    known.check(f"P_V_ge_{known.given['threshold']}_n{dice}", reached)


def test_every_split_of_few_dice_is_counted_once() -> None:
    splits = [split for split, _ in face_counts(6, 6)]
    assert len(splits) == len(set(splits)) == comb(11, 5)
    assert isclose(sum(chance for _, chance in face_counts(6, 6)), 1, abs_tol=1e-12)
