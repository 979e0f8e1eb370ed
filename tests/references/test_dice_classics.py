"""Classic problems of dice, asked of whole attacks and of the dice of moving."""

from __future__ import annotations

from fractions import Fraction
from itertools import accumulate

import numpy as np
import pytest
from asked import STANDARD, pool, reckoned, sure_wounds, total
from figures import figure

from resolver.amount import Amount, fixed
from resolver.attack import TargetGroup, WeaponGroup
from resolver.movement import charge_needing, lowest_and_total, sum_of
from resolver.sealed import Stream
from resolver.statistics import at_least, mean, quantile, variance

SIX_SIDED = STANDARD.movement


def double_sixes(throws: int) -> np.ndarray:
    """Two dice that must both show a six: a hit on 6+ and a wound on 6+ (half the toughness)."""
    weapon = WeaponGroup(attacks=fixed(throws), hit=6, strength=3)
    return reckoned(weapon, TargetGroup(), toughness=6).wounds


def test_newton_and_pepys_one_six_in_six_dice_is_the_likeliest() -> None:
    known = figure("newton_pepys_1693")
    found = [at_least(pool(6 * sixes, 6), sixes) for sixes in (1, 2, 3)]
    for name, chance in zip(("P1", "P2", "P3"), found, strict=True):
        known.check(name, chance)
    assert found == sorted(found, reverse=True)


def test_de_mere_wins_with_one_die_in_four_and_loses_with_two_in_twenty_four() -> None:
    known = figure("de_mere")
    known.check("one_six_in_4", at_least(pool(4, 6), 1))
    known.check("double_six_in_24", at_least(double_sixes(24), 1))
    known.check("double_six_in_25", at_least(double_sixes(25), 1))


@pytest.mark.parametrize("throws", range(1, 7))
def test_huygens_odds_of_a_six_in_so_many_throws(throws: int) -> None:
    known = figure("huygens_prop10")
    chance = at_least(pool(throws, 6), 1)
    known.check(f"win_{throws}_throws", chance)
    known.check(f"odds_{throws}_throws", chance / (1 - chance))


def test_huygens_needs_twenty_five_throws_for_a_double_six() -> None:
    known = figure("huygens_prop11")
    for throws in (1, 2, 4):
        known.check(f"double_six_in_{throws}", at_least(double_sixes(throws), 1))
    first = next(n for n in range(1, 100) if at_least(double_sixes(n), 1) > 0.5)
    known.check("first_n_better_than_even", first)


def test_huygens_needs_ten_dice_for_two_sixes() -> None:
    known = figure("huygens_prop12")
    for dice in (9, 10):
        known.check(f"two_sixes_with_{dice}_dice", at_least(pool(dice, 6), 2))
    first = next(n for n in range(2, 100) if at_least(pool(n, 6), 2) > 0.5)
    known.check("first_n_better_than_even", first)


def test_the_totals_of_two_dice_are_the_charge_table() -> None:
    known = figure("two_dice_totals")
    two = total(Amount(2, 6))
    known.check_all("probabilities_2_to_12", two[2:])
    known.check_all("at_least_2_to_12", (at_least(two, k) for k in range(2, 13)))
    known.check("mean", mean(two))
    known.check("variance", variance(two))
    assert [charge_needing(SIX_SIDED, k).chance for k in range(2, 13)] == known.numbers("at_least_2_to_12")


def test_six_dice_fall_in_the_published_number_of_ways() -> None:
    known = figure("oeis_six_dice")
    expected = [float(count / 6**6) for count in known.numbers("counts_6_to_36")]
    assert total(Amount(6, 6))[6:] == pytest.approx(expected, abs=1e-12)
    ways = [chance * 6**6 for chance in sum_of(Amount(6, 6)).values()]
    assert ways == known.numbers("counts_6_to_36")
    known.check_all("counts_6_to_36", ways)
    known.check("total", sum(ways))


@pytest.mark.parametrize("dice", [1, 2, 3, 10])
def test_the_mean_and_variance_of_a_total_grow_with_the_number_of_dice(dice: int) -> None:
    known = figure("n_dice_moments")
    found = total(Amount(dice, 6))
    known.check(f"mean_{dice}", mean(found))
    known.check(f"variance_{dice}", variance(found))


@pytest.mark.parametrize("dice", [2, 3, 4])
def test_the_lowest_die_of_a_charge_is_as_low_as_it_should_be(dice: int) -> None:
    known = figure("dice_max_min")
    lowest = sum(low * chance for low, _, chance in lowest_and_total(Amount(dice, 6)))
    known.check(f"E_min_{dice}", lowest)
    known.check(f"E_max_{dice}", 7 - lowest)


def test_the_best_three_of_four_dice_are_what_the_lowest_leaves() -> None:
    best = sum((all_four - low) * chance for low, all_four, chance in lowest_and_total(Amount(4, 6)))
    figure("dice_max_min").check("E_best_3_of_4", best)


def test_sixes_come_twice_in_twelve_dice_and_the_first_after_six() -> None:
    known = figure("expected_sixes_and_waits")
    twelve = pool(12, 6)
    known.check("mean_sixes_12_dice", mean(twelve))
    known.check("variance_sixes_12_dice", variance(twelve))
    for dice in (2, 3):
        known.check(f"at_least_one_given_face_{dice}_dice", at_least(pool(dice, 6), 1))
    none = [float(pool(dice, 6)[0]) if dice else 1.0 for dice in range(300)]
    known.check("mean_throws_to_first_six", sum(none))
    second = sum((2 * dice + 1) * chance for dice, chance in enumerate(none))
    known.check("variance_throws_to_first_six", second - sum(none) ** 2)


def test_six_dice_show_all_six_faces_as_often_as_they_should() -> None:
    known = figure("coupon_collector_die")
    one_of_each = 1.0
    for faces in range(6, 2, -1):
        one_of_each *= float(pool(faces, faces, faces)[1])
    known.check("all_faces_in_6", one_of_each * float(pool(2, 4)[1]))


def test_a_running_total_visits_a_number_as_often_as_renewal_theory_says() -> None:
    known = figure("sum_hits_n_renewal")
    target = TargetGroup(models=1, wounds=100)
    visits = np.zeros(60)
    for throws in range(1, 60):
        found = sure_wounds(throws, Amount(1, 6), target).damage[:60]
        visits[: len(found)] += found
    known.check("u6", visits[6])
    known.check("u7", visits[7])
    for n in range(1, 7):
        assert visits[n] == pytest.approx(Fraction(1, 6) * Fraction(7, 6) ** (n - 1), abs=1e-12)
    assert visits[50] == pytest.approx(float(known.number("limit")), abs=1e-5)


def test_a_die_has_twenty_one_pips() -> None:
    known = figure("standard_die_pips")
    known.check("pips", 6 * Fraction(Amount(1, 6).mean))
    known.check("opposite_sum", 2 * Fraction(Amount(1, 6).mean))


def test_quantiles_of_two_dice_are_read_off_the_running_sum() -> None:
    two = total(Amount(2, 6))
    running = list(accumulate(figure("two_dice_totals").numbers("probabilities_2_to_12")))
    for share in (Fraction(1, 4), Fraction(1, 2), Fraction(9, 10)):
        expected = next(k for k, reached in enumerate(running, 2) if reached >= share)
        assert quantile(two, float(share)) == expected


def faces_of_all_bytes(sides: int) -> list[int]:
    """The faces that the 256 bytes, each once, are turned into; some bytes give none."""
    stream = Stream(b"any key", 1)
    stream._bytes = iter(range(256))
    faces = []
    try:
        while True:
            faces.append(stream.face(sides))
    except StopIteration:
        return faces


def test_a_byte_becomes_each_face_equally_often_by_simple_discard() -> None:
    faces = faces_of_all_bytes(6)
    figure("sp800_90a_simple_discard").check("byte_acceptance_252", Fraction(len(faces), 256))
    assert {faces.count(face) for face in range(1, 7)} == {42}


def test_without_discard_four_faces_would_be_favoured() -> None:
    known = figure("modulo_bias_byte")
    plain = [byte % 6 + 1 for byte in range(256)]
    known.check_all("counts_of_256", (plain.count(face) for face in range(1, 7)))
    faces = faces_of_all_bytes(6)
    assert [faces.count(face) for face in range(1, 7)] != [plain.count(face) for face in range(1, 7)]
