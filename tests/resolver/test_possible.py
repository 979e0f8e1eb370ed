"""What can come about at all is just what has a chance in exact fractions."""

from hypothesis import given
from reference import reference
from small_attacks import RULESETS, STANDARD, attacks
from test_reference import SLOW, small_enough

from resolver.amount import Amount, fixed
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.plan import plan
from resolver.possible import possible
from resolver.ruleset import Ruleset

COUNTS = ("hits", "wounds", "unsaved", "damage", "slain")


def agrees(attack: Attack, rules: Ruleset) -> None:
    if small_enough(attack, rules) is None:
        return
    exact = reference(attack, rules)
    for count in COUNTS:
        found = possible(plan(attack, rules), count)
        if count == "unsaved" and len(attack.target.groups) > 1:
            assert found is None
        else:
            assert found == {k for k, chance in exact[count].items() if chance}, count


@SLOW
@given(attack=attacks(most_weapons=3, most_groups=1))
def test_on_one_target_group_just_what_has_a_chance_is_possible(attack):
    agrees(attack, STANDARD)


@SLOW
@given(attack=attacks(most_weapons=2, most_groups=3))
def test_on_several_target_groups_just_what_has_a_chance_is_possible(attack):
    agrees(attack, STANDARD)


@SLOW
@given(attack=attacks(most_weapons=2, most_groups=1))
def test_in_other_games_just_what_has_a_chance_is_possible(attack):
    for rules in RULESETS.values():
        agrees(attack, rules)


def attack(number: int, damage: int, wounds: int, models: int | None, hit: int | None = 4) -> Attack:
    weapon = WeaponGroup(attacks=fixed(number), hit=hit, strength=5, damage=fixed(damage))
    return Attack(weapons=(weapon,), target=Target(toughness=4, groups=(TargetGroup(models=models, wounds=wounds),)))


def test_what_a_float_cannot_hold_is_possible_all_the_same():
    assert possible(plan(attack(1000, 1, 1, None), STANDARD), "hits") == set(range(1001))


def test_two_damage_on_three_wounds_never_slays_as_many_as_the_points_would():
    """Each model needs two wounds: 2, and then 1 of 2."""
    found = plan(attack(10, 2, 3, 6), STANDARD)
    assert possible(found, "slain") == {0, 1, 2, 3, 4, 5}
    assert possible(found, "damage") == {0, 2, 3, 5, 6, 8, 9, 11, 12, 14, 15}


def test_hits_that_need_no_die_are_certain():
    assert possible(plan(attack(7, 1, 1, 5, hit=None), STANDARD), "hits") == {7}


def test_a_walk_too_long_is_told_as_not_known():
    weapon = WeaponGroup(attacks=fixed(1000), hit=4, strength=5, damage=Amount(1, 100))
    target = Target(toughness=4, groups=(TargetGroup(models=200, wounds=100),))
    assert possible(plan(Attack(weapons=(weapon,), target=target), STANDARD), "slain") is None
