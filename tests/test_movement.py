"""The dice of moving: charge, advance and reach, checked against every way the dice can fall."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import product
from math import prod

import pytest
from hypothesis import given
from hypothesis import strategies as st

from resolver.amount import Amount, fixed
from resolver.movement import (
    ChargeReroll,
    _ways,
    advance,
    at_least,
    at_least_so_many,
    charge,
    charge_needing,
    charge_totals,
    mean,
    needed,
    none_of,
    reach,
    sum_of,
)
from resolver.refused import Refused
from resolver.ruleset import Movement

SIX = Amount(1, 6)
TWO = Amount(2, 6)
USUAL = Movement(advance=SIX, charge=TWO, charge_within=12, engaged_within=1, coherency=2)
SHORT = Movement(advance=fixed(3), charge=Amount(1, 6, 3), charge_within=8, engaged_within=1, coherency=3)


def share(good: int, of: int = 36) -> Fraction:
    return Fraction(good, of)


def best_single_reroll(dice: Amount, needs: int) -> Fraction:
    """By brute force: after each failed throw, the best choice of any one die to throw again."""
    faces = range(1, dice.sides + 1)
    chance = Fraction()
    for throw in product(faces, repeat=dice.dice):
        total = sum(throw) + dice.plus
        if total >= needs:
            chance += 1
        else:
            choices = [sum(total - die + face >= needs for face in faces) for die in throw]
            chance += Fraction(max(choices), dice.sides)
    return chance / dice.sides**dice.dice


# Common practice, no source: the two readings of a charge, and the edge of its longest distance.
def test_a_nine_inch_charge_by_name_needs_a_nine_and_succeeds_ten_times_in_thirty_six() -> None:
    assert charge_needing(USUAL, 9).chance == share(10)


def test_a_six_inch_charge_by_name_succeeds_twenty_six_times_in_thirty_six() -> None:
    assert charge_needing(USUAL, 6).chance == share(26)


def test_nine_inches_on_the_tape_need_only_an_eight() -> None:
    odds = charge(USUAL, 9)
    assert (odds.needs, odds.chance) == (8, share(15))


@pytest.mark.parametrize(
    ("distance", "needs"),
    [(0.5, 2), (1, 2), (2, 2), (3, 2), (3.1, 3), (6, 5), (6.5, 6), (9, 8), (9.1, 9), (11, 10), (12, 11)],
)
def test_a_measured_distance_needs_what_is_left_rounded_up_and_never_less_than_the_lowest_roll(
    distance: float, needs: int
) -> None:
    assert charge(USUAL, distance).needs == needs


def test_a_distance_is_read_as_written_and_not_as_a_binary_fraction() -> None:
    for tenths in range(11, 121):
        expected = max(2, -((10 - tenths) // 10))
        assert needed(USUAL, tenths / 10) == expected


def test_the_edge_of_twelve_inches_may_charge_and_beyond_it_none_may() -> None:
    assert charge(USUAL, 12).chance == share(3)
    beyond = charge(USUAL, 12.01)
    assert (beyond.needs, beyond.chance) == (None, 0)
    assert 'beyond 12"' in beyond.reasons[0]


def test_a_re_roll_does_not_help_a_charge_that_cannot_be_declared() -> None:
    assert charge(USUAL, 13, modifier=3, reroll=ChargeReroll.WHOLE).chance == 0


@pytest.mark.parametrize("modifier", range(-3, 4))
@pytest.mark.parametrize("needs", range(2, 13))
def test_a_modifier_is_added_to_the_roll(needs: int, modifier: int) -> None:
    good = sum(a + b + modifier >= needs for a, b in product(range(1, 7), repeat=2))
    assert charge_needing(USUAL, needs, modifier=modifier).chance == share(good)


@pytest.mark.parametrize("needs", range(2, 13))
def test_a_whole_re_roll_fails_only_when_both_throws_fail(needs: int) -> None:
    once = charge_needing(USUAL, needs).chance
    again = charge_needing(USUAL, needs, reroll=ChargeReroll.WHOLE).chance
    assert again == 1 - (1 - once) ** 2


@pytest.mark.parametrize("needs", range(2, 13))
def test_throwing_the_lower_die_again_is_the_best_that_one_die_can_do(needs: int) -> None:
    again = charge_needing(USUAL, needs, reroll=ChargeReroll.ONE).chance
    assert again == best_single_reroll(TWO, needs)


@given(st.integers(1, 3), st.integers(2, 6), st.integers(0, 3), st.integers(1, 21))
def test_throwing_the_lowest_die_again_is_best_with_any_dice(dice: int, sides: int, plus: int, needs: int) -> None:
    amount = Amount(dice, sides, plus)
    assert at_least(charge_totals(amount, needs, reroll=ChargeReroll.ONE), needs) == best_single_reroll(amount, needs)


@given(
    st.integers(1, 3),
    st.integers(2, 8),
    st.integers(-2, 4),
    st.integers(1, 24),
    st.sampled_from([None, *ChargeReroll]),
)
def test_totals_always_add_up_to_one_and_their_upper_part_is_the_chance(
    dice: int, sides: int, modifier: int, needs: int, reroll: ChargeReroll | None
) -> None:
    movement = Movement(advance=SIX, charge=Amount(dice, sides), charge_within=12, engaged_within=1, coherency=2)
    odds = charge_needing(movement, needs, modifier=modifier, reroll=reroll)
    assert sum(odds.totals.values()) == 1
    assert sum(share for total, share in odds.totals.items() if total >= needs) == odds.chance


@given(st.integers(0, 300), st.integers(1, 300), st.sampled_from([None, *ChargeReroll]))
def test_a_longer_charge_is_never_likelier(tenths: int, more: int, reroll: ChargeReroll | None) -> None:
    near = charge(USUAL, tenths / 10, reroll=reroll)
    far = charge(USUAL, (tenths + more) / 10, reroll=reroll)
    assert far.chance <= near.chance


@pytest.mark.parametrize("distance", [2, 4.5, 9, 12])
def test_a_re_roll_never_hurts_a_charge(distance: float) -> None:
    plain, one, whole = (
        charge(USUAL, distance, reroll=reroll).chance for reroll in (None, ChargeReroll.ONE, ChargeReroll.WHOLE)
    )
    assert plain <= min(one, whole)


def test_every_answer_states_the_tape_the_number_and_the_re_roll() -> None:
    reasons = charge(USUAL, 9, modifier=1, reroll=ChargeReroll.ONE).reasons
    assert '9" measured' in reasons[0]
    assert "8 or more" in reasons[0]
    assert reasons[1] == "2d6 +1"
    assert "lowest die" in reasons[2]


def test_a_number_beyond_the_dice_is_said_to_be_beyond_them() -> None:
    odds = charge_needing(USUAL, 13)
    assert odds.chance == 0
    assert odds.reasons[-1] == "2d6 reaches 12 at most"


@pytest.mark.parametrize(
    ("needs", "said"),
    [
        (2, 'up to 3"'),
        (9, 'more than 9" and up to 10"'),
        (11, 'more than 11" and up to 12"'),
        (12, 'which no tape of up to 12" asks for'),
    ],
)
def test_a_number_on_the_dice_is_told_with_the_tape_that_asks_for_it(needs: int, said: str) -> None:
    assert charge_needing(USUAL, needs).reasons[0].endswith(said)


@given(st.integers(2, 11), st.integers(0, 120))
def test_the_tape_told_is_the_tape_that_needs_the_number(needs: int, tenths: int) -> None:
    reason = charge_needing(USUAL, needs).reasons[0]
    assert f'up to {needs + 1}"' in reason
    asks = needed(USUAL, tenths / 10) == needs
    assert asks == ((needs if needs > 2 else -1) < tenths / 10 <= needs + 1)


def test_other_dice_charge_by_data_alone() -> None:
    assert charge(SHORT, 6).needs == 5
    assert charge(SHORT, 6).chance == share(5, 6)
    assert charge(SHORT, 2).needs == 2
    assert charge(SHORT, 2, modifier=-3).chance == share(5, 6)
    assert charge(SHORT, 4, modifier=-1).chance == 1
    assert charge(SHORT, 8.5).needs is None


@pytest.mark.parametrize("distance", [-1, float("nan"), float("inf"), 1001])
def test_a_distance_that_cannot_be_is_refused(distance: float) -> None:
    with pytest.raises(Refused, match="distance lies between"):
        charge(USUAL, distance)


def test_a_modifier_or_number_that_cannot_be_is_refused() -> None:
    with pytest.raises(Refused, match="modifier to charge"):
        charge(USUAL, 9, modifier=11)
    with pytest.raises(Refused, match="charge number"):
        charge_needing(USUAL, 0)


def test_from_fifteen_inches_a_move_of_six_leaves_a_charge_of_nine() -> None:
    odds = reach(USUAL, 15, 6)
    assert (odds.needs, odds.chance) == (8, share(15))
    assert 'stands 9" away' in odds.reasons[0]


def test_one_is_safe_beyond_the_move_and_the_longest_charge_edge_not_included() -> None:
    assert reach(USUAL, 18, 6).chance == share(3)
    assert reach(USUAL, 18.1, 6).chance == 0
    assert reach(USUAL, 18.1, 6).safe_from == 18


def test_the_charge_is_certain_up_to_the_move_the_engagement_and_the_lowest_roll() -> None:
    odds = reach(USUAL, 9, 6)
    assert (odds.certain_to, odds.chance) == (9, 1)
    assert reach(USUAL, 9.1, 6).chance < 1


def test_a_normal_move_ends_just_outside_engagement_and_charges_from_there() -> None:
    odds = reach(USUAL, 4, 6)
    assert odds.chance == 1
    assert "does not end closer" in odds.reasons[0]


def test_units_that_are_engaged_already_have_nothing_to_reach() -> None:
    with pytest.raises(Refused, match="engaged already"):
        reach(USUAL, 1, 6)


def test_a_re_roll_makes_a_unit_reach_more_often_but_not_farther() -> None:
    plain = reach(USUAL, 15, 6)
    again = reach(USUAL, 15, 6, reroll=ChargeReroll.WHOLE)
    assert again.chance == 1 - (1 - plain.chance) ** 2
    assert again.safe_from == plain.safe_from


def test_a_penalty_leaves_no_distance_certain() -> None:
    assert reach(USUAL, 2, 6, modifier=-1).certain_to is None


@given(st.sampled_from([USUAL, SHORT]), st.integers(11, 400), st.integers(0, 300), st.integers(-10, 10))
def test_reach_keeps_its_two_promises_at_every_distance(
    movement: Movement, tenths: int, move_tenths: int, modifier: int
) -> None:
    odds = reach(movement, tenths / 10, move_tenths / 10, modifier=modifier)
    assert (odds.chance == 1) == (odds.certain_to is not None and odds.distance <= odds.certain_to)
    assert (odds.chance == 0) == (odds.distance > odds.safe_from)


def test_where_a_penalty_shortens_the_highest_roll_one_is_safe_sooner() -> None:
    assert reach(USUAL, 15, 6, modifier=-3).safe_from == 6 + 1 + 9
    assert reach(USUAL, 16.1, 6, modifier=-3).chance == 0


# Common practice, no source.
def test_a_move_of_six_and_an_advance_roll_of_two_make_eight() -> None:
    assert advance(USUAL, 6).totals[8] == share(1, 6)


def test_an_advance_adds_the_dice_to_the_move() -> None:
    odds = advance(USUAL, 6)
    assert list(odds.totals) == [7, 8, 9, 10, 11, 12]
    assert odds.mean == Fraction(19, 2)


def test_an_advance_re_roll_is_used_below_the_mean_which_is_the_best_for_the_mean() -> None:
    dice = sum_of(SIX)
    best = max(sum(mean(dice) if face <= worst else Fraction(face) for face in range(1, 7)) / 6 for worst in range(7))
    again = advance(USUAL, 6, reroll=True)
    assert again.mean - 6 == best == Fraction(17, 4)
    assert mean({int(total): chance for total, chance in again.totals.items()}) == again.mean


def test_a_fixed_advance_has_one_outcome() -> None:
    assert advance(SHORT, 6.5).totals == {9.5: 1}


@pytest.mark.parametrize("faces", [range(1, 7), range(3, 5), range(2, 3), range(4, 4)])
@pytest.mark.parametrize("dice", range(5))
def test_the_ways_to_a_total_are_counted_as_they_can_be_listed(dice: int, faces: range) -> None:
    assert _ways(dice, faces) == Counter(map(sum, product(faces, repeat=dice)))


def test_a_hundred_dice_of_a_hundred_faces_add_up() -> None:
    totals = sum_of(Amount(100, 100))
    assert sum(totals.values()) == 1
    assert mean(totals) == 5050


@given(st.lists(st.fractions(0, 1, max_denominator=12), max_size=5))
def test_so_many_of_several_things_are_counted_as_they_can_be_listed(chances: list[Fraction]) -> None:
    for least in range(1, len(chances) + 1):
        expected = Fraction()
        for way in product((True, False), repeat=len(chances)):
            if sum(way) >= least:
                expected += prod(c if happens else 1 - c for c, happens in zip(chances, way, strict=True))
        assert at_least_so_many(chances, least) == expected
    assert none_of(chances) + (at_least_so_many(chances, 1) if chances else 0) == 1


def test_at_least_one_of_three_charges_is_one_less_the_chance_that_all_fail() -> None:
    nine = charge(USUAL, 9).chance
    assert at_least_so_many([nine, nine, nine], 1) == 1 - share(21) ** 3
    assert at_least_so_many([], 1) == 0
    assert at_least_so_many([nine, Fraction(1)], 1) == 1


def test_the_largest_charge_dice_that_a_ruleset_may_have_are_summed_exactly() -> None:
    totals = charge_totals(Amount(10, 20), 150, 0, ChargeReroll.ONE)
    assert sum(totals.values()) == 1
    assert max(totals) == 200
