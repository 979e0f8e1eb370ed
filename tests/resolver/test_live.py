"""The live roll: which handfuls are asked for in which order, what the faces do, and what is not thrown."""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from small_attacks import STANDARD

from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup
from resolver.live import Rolled, Throw, roll
from resolver.plan import Plan, plan
from resolver.refused import Refused

WEAPON = WeaponGroup(attacks=fixed(4), hit=4, strength=4)
GROUP = TargetGroup(models=3, wounds=2, save=4)


class Script:
    """Handfuls of faces written down beforehand; remembers what was asked."""

    def __init__(self, *handfuls: Sequence[int]) -> None:
        self.handfuls = list(handfuls)
        self.asked: list[Throw] = []

    def __call__(self, throw: Throw) -> Sequence[int]:
        self.asked.append(throw)
        return self.handfuls.pop(0)

    @property
    def steps(self) -> list[tuple[str, int, bool]]:
        return [(throw.step, throw.count, throw.again) for throw in self.asked]


def made(*groups: TargetGroup, weapons: Sequence[WeaponGroup] = (), **said) -> Plan:
    target = Target(groups=groups or (GROUP,), toughness=4)
    return plan(Attack(weapons=tuple(weapons) or (replace(WEAPON, **said),), target=target), STANDARD)


def rolled(script: Script, *groups: TargetGroup, **said) -> Rolled:
    found = roll(made(*groups, **said), script)
    assert not script.handfuls
    return found


def test_handfuls_are_asked_for_step_by_step():
    script = Script([4, 4, 1, 6], [4, 4, 1], [3, 3], [2], [5, 1], [1], [4])
    found = rolled(script, replace(GROUP, ignore=5), damage=Amount(1, 3))
    assert script.steps == [
        ("hit", 4, False),
        ("wound", 3, False),
        ("save", 2, False),
        ("damage", 1, False),
        ("ignore", 2, False),
        ("damage", 1, False),
        ("ignore", 1, False),
    ]
    assert found.totals == {"attacks": 4, "hits": 3, "wounds": 2, "unsaved": 2, "damage": 2, "slain": 1}


def test_a_whole_attack_with_every_kind_of_die():
    script = Script(
        [2, 1],  # attacks of two models
        [6, 1, 4],  # hit: critical, failed, plain
        [3],  # the failed one again: fails for good
        [2],  # extra hits
        [6, 4, 1, 5],  # wound: a piercing one, two plain, one failed
        [4, 2],  # saves of the plain ones
        [3],  # damage of the unsaved plain one
        [1, 6, 2],  # ignored: one of three points
        [1],  # damage of the piercing one
        [6],  # ignored
    )
    weapon = {
        "attacks": Amount(1, 3),
        "models": 2,
        "reroll_hit": Reroll.ONES,
        "extra_hits": Amount(1, 3),
        "critical_wounds_pierce": True,
        "damage": Amount(1, 3),
    }
    found = rolled(script, replace(GROUP, ignore=5), **weapon)
    assert found.totals == {"attacks": 3, "hits": 4, "wounds": 3, "unsaved": 2, "damage": 2, "slain": 1}
    assert found.left == ((2, 0),)
    assert found.weapons[0].faces == {
        "attacks": [[2], [1]],
        "hit": [[6], [1, 3], [4]],
        "extra": [[2]],
        "wound": [[6], [4], [1], [5]],
        "save": [[4], [2]],
        "damage": [[3], [1]],
        "ignore": [[1], [6], [2], [6]],
    }
    assert script.steps[2] == ("hit", 1, True)


def test_a_pierced_wound_is_never_saved():
    script = Script([4, 4], [6, 6])
    found = rolled(script, attacks=fixed(2), critical_wounds_pierce=True)
    assert found.totals["unsaved"] == 2
    assert found.weapons[0].faces["save"] == []


def test_ordinary_wounds_take_their_damage_before_piercing_ones():
    script = Script([4, 4], [6, 4], [1], [3], [1])
    rolled(script, replace(GROUP, wounds=4), attacks=fixed(2), critical_wounds_pierce=True, damage=Amount(1, 3))
    assert [throw.step for throw in script.asked] == ["hit", "wound", "save", "damage", "damage"]


def test_a_save_that_cannot_be_made_draws_no_dice():
    script = Script([4], [4])
    found = rolled(script, attacks=fixed(1), ap=3)
    assert found.totals["unsaved"] == 1


def test_each_die_is_kept_with_the_check_it_was_thrown_for():
    script = Script([4, 4], [4, 4], [1], [1], [2], [6])
    groups = TargetGroup(models=1, save=3, ignore=5), TargetGroup(models=1, save=5, ignore=6)
    found = rolled(script, *groups, attacks=fixed(2))
    assert [check.text for check in found.weapons[0].checks["save"]] == ["3+", "5+"]
    assert [check.text for check in found.weapons[0].checks["ignore"]] == ["5+", "6+"]


def test_automatic_hits_draw_no_hit_dice():
    script = Script([4, 1], [4])
    found = rolled(script, attacks=fixed(2), hit=None)
    assert found.totals["hits"] == 2
    assert script.asked[0].step == "wound"


def test_only_the_first_failed_die_is_thrown_again():
    script = Script([1, 2, 4], [5], [1, 1])
    found = rolled(script, attacks=fixed(3), reroll_hit=Reroll.ONE_FAILED)
    assert found.weapons[0].faces["hit"] == [[1, 5], [2], [4]]


def test_the_second_result_stands_even_if_worse():
    script = Script([4], [1])
    found = rolled(script, attacks=fixed(1), reroll_hit=Reroll.NON_CRITICAL)
    assert found.totals["hits"] == 0


def test_extra_hits_roll_to_wound_but_an_outright_wound_does_not():
    script = Script([6], [4], [1, 1])
    found = rolled(script, attacks=fixed(1), critical_hits_wound=True, extra_hits=fixed(1))
    assert found.totals == {"attacks": 1, "hits": 2, "wounds": 2, "unsaved": 2, "damage": 2, "slain": 1}


def test_no_damage_is_rolled_once_the_unit_is_gone():
    script = Script([4, 4, 4], [4, 4, 4], [1, 1, 1], [3])
    found = rolled(script, replace(GROUP, models=1), attacks=fixed(3), damage=Amount(1, 3))
    assert found.totals["unsaved"] == 3
    assert found.totals["damage"] == 2
    assert found.left == ((0, 0),)


# Common practice, no source.
def test_one_point_of_damage_on_a_two_wound_model_slays_nobody():
    found = rolled(Script([4], [4], [1]), attacks=fixed(1))
    assert (found.totals["damage"], found.totals["slain"]) == (1, 0)
    assert found.left == ((3, 1),)


def test_damage_past_the_last_wound_is_lost_unless_it_spills():
    assert rolled(Script([4], [4], [1]), attacks=fixed(1), damage=fixed(5)).totals["damage"] == 2
    spilled = rolled(Script([4], [4], [1]), attacks=fixed(1), damage=fixed(5), spills=True)
    assert (spilled.totals["damage"], spilled.totals["slain"], spilled.left) == (5, 2, ((1, 1),))


def test_damage_is_halved_rounding_up_then_reduced_but_never_below_one():
    group = replace(GROUP, wounds=9, halve=True, reduce=1)
    assert rolled(Script([4], [4], [1]), group, attacks=fixed(1), damage=fixed(5)).totals["damage"] == 2
    assert rolled(Script([4], [4], [1]), group, attacks=fixed(1), damage=fixed(2)).totals["damage"] == 1


def test_several_groups_are_saved_wound_by_wound_with_the_save_of_the_model_that_takes_it():
    script = Script([4, 4, 4], [4, 4, 4], [3], [3], [5])
    first, second = replace(GROUP, models=1, wounds=1), replace(GROUP, models=2, save=3)
    found = rolled(script, first, second, attacks=fixed(3))
    assert script.steps[2:] == [("save", 1, False)] * 3
    assert found.weapons[0].faces["save"] == [[3], [3], [5]]
    assert found.totals["unsaved"] == 1
    assert found.left == ((0, 0), (2, 0))


def test_with_several_groups_wounds_past_the_last_model_are_neither_saved_nor_counted():
    script = Script([4, 4, 4], [4, 4, 4], [1], [1])
    one = TargetGroup(models=1, save=4)
    found = rolled(script, one, one, attacks=fixed(3))
    assert found.totals == {"attacks": 3, "hits": 3, "wounds": 3, "unsaved": 2, "damage": 2, "slain": 2}


def test_one_die_of_the_save_step_is_thrown_again_for_each_weapon_group_whichever_target_group_it_is():
    group = TargetGroup(models=2, save=4, reroll_save=Reroll.ONE_FAILED)
    weapon = replace(WEAPON, attacks=fixed(2), hit=None)
    script = Script([4, 4], [1], [5], [1], [4, 4], [2], [2], [1])
    attack = made(group, group, weapons=[weapon, weapon])
    found = roll(attack, script)
    assert found.weapons[0].faces["save"] == [[1, 5], [1]]
    assert found.weapons[1].faces["save"] == [[2, 2], [1]]
    assert found.left == ((0, 0), (1, 0))


def test_the_second_weapon_group_meets_what_the_first_left():
    weapons = [replace(WEAPON, attacks=fixed(1), damage=fixed(3)), replace(WEAPON, attacks=fixed(1))]
    script = Script([4], [4], [1], [4], [4], [1])
    found = roll(made(replace(GROUP, lost=1), weapons=weapons), script)
    assert found.left == ((2, 1),)
    assert [throw.weapon for throw in script.asked] == [0, 0, 0, 1, 1, 1]


def test_a_large_enough_target_never_runs_out():
    found = rolled(Script([4] * 4, [4] * 4, [1] * 4), TargetGroup(save=4))
    assert (found.totals["slain"], found.left) == (4, ((None, 0),))


@pytest.mark.parametrize(
    ("handful", "words"),
    [([4, 4, 4], "needs 4 dice, got 3"), ([4, 4, 4, 7], "1 to 6, got 7"), ([0, 4, 4, 4], "1 to 6, got 0")],
)
def test_faces_that_no_die_shows_are_refused(handful, words):
    with pytest.raises(Refused, match=words):
        roll(made(), Script(handful))


def test_more_dice_to_ignore_damage_than_a_roll_holds_are_refused():
    many = WeaponGroup(attacks=fixed(1000), hit=2, strength=4, damage=fixed(100))
    endless = TargetGroup(wounds=1, save=6, ignore=5)
    roll(made(endless, weapons=[many]), lambda throw: [1] * throw.count)
    more = replace(many, extra_hits=fixed(1))
    with pytest.raises(Refused, match="up to 200,000 dice might be thrown to ignore damage; the limit is 100,000"):
        roll(made(endless, weapons=[more]), lambda throw: [1] * throw.count)


def test_a_source_that_stops_is_not_held_up():
    def empty(throw: Throw) -> Sequence[int]:
        raise LookupError(throw.step)

    with pytest.raises(LookupError, match="hit"):
        roll(made(), empty)


def test_a_throw_names_the_number_that_counts():
    script = Script([1, 1, 1, 1])
    rolled(script)
    assert script.asked[0].check is not None
    assert script.asked[0].check.text == "4+"
