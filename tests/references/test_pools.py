"""Pools of dice against binomial tables, worked examples and scipy.stats, each asked of a whole attack."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from asked import STANDARD, pool, reckoned
from figures import figure
from scipy import stats

from resolver.amount import fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup
from resolver.exact import odds
from resolver.plan import plan
from resolver.statistics import at_least, below, mean, variance

CHANCE = {"1/6": 6, "1/3": 5, "1/2": 4, "2/3": 3, "5/6": 2}  # of a six-sided die: the number it needs
WELDON_THROWS = 26306


def test_twelve_dice_on_five_or_six_are_fellers_weldon_table() -> None:
    figure("feller_weldon_binomial").check_all("b_k_12_one_third", pool(12, 5))


def test_the_ends_of_that_table_are_those_that_r_prints() -> None:
    known = figure("r_dbinom_weldon")
    twelve = pool(12, 5)
    known.check("dbinom_0", twelve[0])
    known.check("dbinom_12", twelve[12])
    known.check("expected_0", WELDON_THROWS * twelve[0], WELDON_THROWS)
    known.check("expected_12", WELDON_THROWS * twelve[12], WELDON_THROWS)


def test_fishers_expected_counts_are_that_table_times_the_throws() -> None:
    figure("fisher_weldon_expected").check_all("expected", WELDON_THROWS * pool(12, 5), WELDON_THROWS)


def test_exactly_one_six_in_four_throws() -> None:
    figure("gs_four_rolls_one_six").check("b_4_one_sixth_1", pool(4, 6)[1])


@pytest.mark.parametrize("chance", CHANCE)
@pytest.mark.parametrize("dice", [5, 10])
def test_the_cumulative_table_for_every_number_a_six_sided_die_can_need(dice: int, chance: str) -> None:
    running = np.cumsum(pool(dice, CHANCE[chance]))
    figure(f"binomial_cdf_n{dice}").check_all(f"cdf_p={chance}", running)


def test_dice_of_five_and_ten_faces_give_scipys_worked_examples() -> None:
    known = figure("scipy_doc_binomial")
    known.check("pmf_3_7_0.4", pool(7, 4, sides=5)[3])
    known.check("binomtest_3_15_0.1_greater", at_least(pool(15, 10, sides=10), 3))


def test_exact_limits_lie_where_the_tails_of_a_twenty_sided_die_cross_five_per_cent() -> None:
    """4 of 20: a chance under the lower limit gives 4 or more too rarely, one over the upper 4 or fewer."""
    known = figure("nist_clopper_pearson_4_20")
    low, high = float(known.number("lower")), float(known.number("upper"))
    for number in range(3, 21):
        chance = (21 - number) / 20
        twenty = pool(20, number, sides=20)
        assert (at_least(twenty, 4) > 0.05) == (chance > low)
        assert (below(twenty, 5) > 0.05) == (chance < high)


def test_hits_wounds_and_unsaved_wounds_are_thinned_pools() -> None:
    known = figure("binomial_thinning")
    weapon = WeaponGroup(attacks=fixed(10), hit=3, strength=4)
    found = reckoned(weapon, TargetGroup(save=5), toughness=4)
    known.check("mean", mean(found.wounds))
    known.check("variance", variance(found.wounds))
    known.check("P_0", found.wounds[0])
    known.check("P_at_least_5", at_least(found.wounds, 5))
    known.check("three_stage_mean", mean(found.unsaved))
    known.check("three_stage_P_0", found.unsaved[0])


def test_the_wait_for_a_third_success_is_negative_binomial() -> None:
    known = figure("negative_binomial")
    reached = [at_least(pool(dice, 5), 3) if dice >= 3 else 0.0 for dice in range(200)]
    known.check_all("pmf_0_to_4", (reached[dice] - reached[dice - 1] for dice in range(3, 8)))
    waits = [(dice - 3, reached[dice] - reached[dice - 1]) for dice in range(3, 200)]
    average = sum(failures * chance for failures, chance in waits)
    known.check("mean", average)
    known.check("variance", sum(failures**2 * chance for failures, chance in waits) - average**2, 197**2)


@pytest.mark.parametrize("dice", [1, 2, 3, 17, 60, 250, 1000])
@pytest.mark.parametrize("number", [2, 3, 4, 5, 6])
def test_a_pool_of_any_size_is_scipys_binomial_distribution(dice: int, number: int) -> None:
    expected = stats.binom.pmf(np.arange(dice + 1), dice, (7 - number) / 6)
    assert pool(dice, number) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("sides", range(3, 21))
def test_a_die_of_any_size_is_scipys_binomial_distribution(sides: int) -> None:
    for number in range(2, sides + 1):
        expected = stats.binom.pmf(np.arange(13), 12, (sides + 1 - number) / sides)
        assert pool(12, number, sides) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("reroll", "chance"),
    [
        (Reroll.ONES, Fraction(1, 2) + Fraction(1, 6) * Fraction(1, 2)),
        (Reroll.FAILED, 1 - Fraction(1, 2) ** 2),
        (Reroll.NON_CRITICAL, Fraction(1, 6) + Fraction(5, 6) * Fraction(1, 2)),
    ],
)
def test_a_pool_thrown_again_is_binomial_with_the_chance_of_one_die(reroll: Reroll, chance: Fraction) -> None:
    weapon = WeaponGroup(attacks=fixed(30), hit=4, strength=4, reroll_hit=reroll)
    found = reckoned(weapon, TargetGroup(), toughness=4)
    assert found.hits == pytest.approx(stats.binom.pmf(np.arange(31), 30, float(chance)), abs=1e-12)


def test_one_failed_die_thrown_again_adds_one_trial_unless_all_succeeded() -> None:
    weapon = WeaponGroup(attacks=fixed(9), hit=4, strength=4, reroll_hit=Reroll.ONE_FAILED)
    found = reckoned(weapon, TargetGroup(), toughness=4).hits
    plain = stats.binom.pmf(np.arange(10), 9, 0.5)
    expected = plain / 2
    expected[1:] += plain[:-1] / 2
    expected[9] += plain[9] / 2
    assert found == pytest.approx(expected, abs=1e-12)


def test_pools_of_two_weapon_groups_add_up_to_one_convolution() -> None:
    target = reckoned(WeaponGroup(attacks=fixed(4), hit=3, strength=4), TargetGroup(), toughness=4)
    other = reckoned(WeaponGroup(attacks=fixed(7), hit=5, strength=4), TargetGroup(), toughness=4)
    both = _together(4, 3, 7, 5)
    assert both == pytest.approx(np.convolve(target.hits, other.hits), abs=1e-12)
    assert both == pytest.approx(
        np.convolve(
            stats.binom.pmf(np.arange(5), 4, 2 / 3),
            stats.binom.pmf(np.arange(8), 7, 1 / 3),
        ),
        abs=1e-12,
    )


def _together(first: int, hit: int, second: int, other_hit: int) -> np.ndarray:
    weapons = (
        WeaponGroup(attacks=fixed(first), hit=hit, strength=4),
        WeaponGroup(attacks=fixed(second), hit=other_hit, strength=4),
    )
    attack = Attack(weapons=weapons, target=Target(toughness=4, groups=(TargetGroup(),)))
    return odds(plan(attack, STANDARD)).hits
