"""Facts of the trade that must hold: common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import pytest
from asked import STANDARD, reckoned, sure_wounds

from resolver.amount import fixed
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.exact import Odds, odds
from resolver.movement import advance, charge_needing
from resolver.plan import Plan, plan

GROUP = TargetGroup(models=5, wounds=2, save=3)


def planned(weapon: WeaponGroup, group: TargetGroup = GROUP, toughness: int = 4, at: float | None = None) -> Plan:
    target = Target(toughness=toughness, groups=(group,))
    return plan(Attack(weapons=(weapon,), target=target, distance=at), STANDARD)


def weapon(**clauses: object) -> WeaponGroup:
    return replace(WeaponGroup(attacks=fixed(10), hit=4, strength=5), **clauses)  # type: ignore[arg-type]


def attacks_at(weapon: WeaponGroup, distance: float) -> Odds:
    return odds(planned(weapon, at=distance))


# Common practice, no source.
def test_ten_dice_on_four_then_three_then_a_three_plus_save_at_ap_one_save_on_four() -> None:
    (needs,) = planned(weapon(ap=1)).needs
    assert (needs.hit, needs.wound, needs.save) == ("4+", "3+", ("4+",))


# Common practice, no source.
def test_strength_three_against_toughness_four_wounds_on_five() -> None:
    (needs,) = planned(weapon(strength=3)).needs
    assert needs.wound == "5+"


# Common practice, no source.
def test_a_four_plus_save_at_ap_one_saves_on_five() -> None:
    (needs,) = planned(weapon(ap=1), replace(GROUP, save=4)).needs
    assert needs.save == ("5+",)


# Common practice, no source.
def test_a_nine_inch_charge_succeeds_ten_and_a_six_inch_charge_twenty_six_times_in_thirty_six() -> None:
    assert charge_needing(STANDARD.movement, 9).chance * 36 == 10
    assert charge_needing(STANDARD.movement, 6).chance * 36 == 26


# Common practice, no source.
@pytest.mark.parametrize(("distance", "shots"), [(14, 20), (15, 20), (15.5, 10)])
def test_half_of_thirty_inches_is_fifteen_and_doubles_the_shots(distance: float, shots: int) -> None:
    found = attacks_at(weapon(range=30, half_double=True), distance)
    assert found.mean["attacks"] == pytest.approx(shots)


# Common practice, no source.
def test_a_model_with_three_and_one_attacks_and_one_with_two_and_one_make_seven_dice() -> None:
    leader = weapon(attacks=fixed(3), range=24, half_plus=fixed(1))
    other = weapon(attacks=fixed(2), range=24, half_plus=fixed(1))
    attack = Attack(weapons=(leader, other), target=Target(toughness=4, groups=(GROUP,)), distance=12)
    assert odds(plan(attack, STANDARD)).mean["attacks"] == pytest.approx(7)


# Common practice, no source.
def test_one_point_of_damage_on_a_two_wound_model_slays_nobody() -> None:
    found = sure_wounds(1, fixed(1), replace(GROUP, save=None))
    assert found.mean["slain"] == pytest.approx(0, abs=1e-12)
    assert found.mean["damage"] == pytest.approx(1)


# Common practice, no source.
def test_move_six_and_an_advance_roll_of_two_make_eight_inches() -> None:
    assert advance(STANDARD.movement, 6).totals[6 + 2] * 6 == 1


# Common practice, no source.
def test_a_natural_one_fails_and_a_natural_six_hits_whatever_the_modifiers() -> None:
    easy = reckoned(weapon(attacks=fixed(1), hit=2, to_hit=1), GROUP, toughness=4)
    hard = reckoned(weapon(attacks=fixed(1), hit=6, to_hit=-1), GROUP, toughness=4)
    assert easy.mean["hits"] == pytest.approx(5 / 6)
    assert hard.mean["hits"] == pytest.approx(1 / 6)


# Common practice, no source.
def test_modifiers_to_hit_are_held_within_one() -> None:
    assert planned(weapon(to_hit=-3)).needs[0].hit == "5+"


# Common practice, no source.
def test_a_save_is_never_better_than_two_plus_and_cover_helps_against_shooting() -> None:
    assert planned(weapon(ap=1), replace(GROUP, save=3, cover=True)).needs[0].save == ("3+",)
    assert planned(weapon(), replace(GROUP, save=2, cover=True)).needs[0].save == ("2+",)


# Common practice, no source.
def test_a_fixed_save_is_not_worn_down_by_ap() -> None:
    assert planned(weapon(ap=4), replace(GROUP, fixed_save=4)).needs[0].save == ("4+",)


# Common practice, no source.
def test_a_save_that_cannot_be_made_is_one_past_the_highest_face() -> None:
    assert planned(weapon(ap=4)).needs[0].save == ("7+",)
