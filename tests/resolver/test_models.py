"""Wounds onto models at the size of real games, against a plain walk wound by wound."""

from dataclasses import replace
from math import comb

import numpy as np
import pytest
from small_attacks import STANDARD

from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup
from resolver.counts import amount_chances, compound, damage_chances
from resolver.exact import odds
from resolver.live import COUNTS
from resolver.models import Standing
from resolver.plan import Plan, plan

WEAPON = WeaponGroup(attacks=fixed(60), hit=3, strength=5, ap=1)
GROUP = TargetGroup(models=10, wounds=5, save=4)


def made(*groups: TargetGroup, weapons: tuple[WeaponGroup, ...]) -> Plan:
    return plan(Attack(weapons=weapons, target=Target(groups=groups, toughness=4)), STANDARD)


def walked(chances: np.ndarray, points: np.ndarray, state: np.ndarray, group: TargetGroup) -> np.ndarray:
    """The damage done after a random number of unsaved wounds, one wound after the other."""
    after = np.zeros_like(state)
    for chance in chances:
        after += chance * state
        state = one_wound(points, state, group)
    return after


def one_wound(points: np.ndarray, state: np.ndarray, group: TargetGroup) -> np.ndarray:
    found = np.zeros_like(state)
    last = len(state) - 1
    for done, here in enumerate(state):
        fall = (done + group.lost) // group.wounds * group.wounds + group.wounds - group.lost
        for taken, share in enumerate(points):
            found[last if done == last else min(done + taken, fall)] += here * share
    return found


@pytest.mark.parametrize(
    ("group", "damage"),
    [
        (GROUP, fixed(1)),
        (GROUP, fixed(2)),
        (GROUP, Amount(1, 3)),
        (replace(GROUP, lost=3), Amount(1, 6, 1)),
        (replace(GROUP, wounds=3, ignore=5), Amount(2, 3)),
        (replace(GROUP, wounds=7, halve=True, reduce=1, lost=1), Amount(1, 6, 3)),
    ],
)
def test_three_weapon_groups_leave_what_a_plain_walk_leaves(group, damage):
    weapons = tuple(replace(WEAPON, attacks=fixed(count), damage=damage) for count in (40, 5, 25))
    plan_made = made(group, weapons=weapons)
    state = np.eye(1, (group.models or 0) * group.wounds - group.lost + 1)[0]
    for weapon in plan_made.weapons:
        unsaved = odds(replace(plan_made, weapons=(weapon,))).unsaved
        state = walked(unsaved, damage_chances(weapon.damages[0]), state, group)
    assert np.abs(odds(plan_made).damage - state).max() < 1e-12


def test_a_hundred_dice_match_the_binomial_formula():
    # n! / (k! (n - k)!) p^k q^(n - k), the textbook formula; hit on 3+, wound on 3+, unsaved 1/2: p = 2/9.
    found = odds(made(replace(GROUP, models=None, wounds=1, save=3), weapons=(replace(WEAPON, attacks=fixed(100)),)))
    expected = [comb(100, k) * 2**k * 7 ** (100 - k) / 9**100 for k in range(101)]
    assert np.abs(found.unsaved - expected).max() < 1e-14


def test_a_thousand_dice_match_one_die_added_after_another():
    """Critical hits on 5+ score two extra hits, one failed wound is re-rolled, critical wounds pierce."""
    weapon = replace(WEAPON, attacks=fixed(1000), critical_hit=5, extra_hits=fixed(2), critical_wounds_pierce=True)
    weapon = replace(weapon, reroll_wound=Reroll.ONE_FAILED)
    found = odds(made(replace(GROUP, models=None, wounds=1, save=3), weapons=(weapon,)))
    hits = np.ones(1)
    for _ in range(1000):
        hits = np.convolve(hits, [1 / 3, 1 / 3, 0, 1 / 3])
    assert np.abs(found.hits - hits).max() < 1e-13
    # Wounds and unsaved wounds of a pool, with the re-roll still in hand or spent; a die wounds on 3+.
    for name, through in (("wounds", 2 / 3), ("unsaved", 1 / 6 + 1 / 2 * 1 / 2)):
        in_hand, spent, total = np.ones(1), np.zeros(1), np.zeros(len(hits))
        for count, chance in enumerate(hits):
            total[: count + 1] += chance * (in_hand + spent)
            kept = np.array([2 / 3 - through, through])
            once = np.convolve(spent, [1 - through, through]) + np.convolve(in_hand, [1 - through, through]) / 3
            in_hand, spent = np.convolve(in_hand, kept), once
        assert np.abs(getattr(found, name) - total).max() < 1e-13, name


def test_two_target_groups_match_one_at_the_size_of_real_games():
    weapons = (replace(WEAPON, damage=Amount(1, 3), critical_wounds_pierce=True),) * 2
    parts = made(replace(GROUP, models=4, lost=2), replace(GROUP, models=6), weapons=weapons)
    whole = made(replace(GROUP, lost=2), weapons=weapons)
    for name in ("attacks", "hits", "wounds", "damage", "slain"):
        one, other = getattr(odds(parts), name), getattr(odds(whole), name)
        assert np.abs(one - other).max() < 1e-12, name


def test_two_target_groups_match_one_when_damage_spills():
    weapons = (replace(WEAPON, attacks=fixed(30), damage=Amount(1, 6, 1), spills=True),) * 2
    parts = odds(made(replace(GROUP, models=4, lost=2), replace(GROUP, models=6), weapons=weapons))
    whole = odds(made(replace(GROUP, lost=2), weapons=weapons))
    assert np.abs(parts.damage - whole.damage).max() < 1e-12
    assert np.abs(parts.slain - whole.slain).max() < 1e-12


def test_damage_of_dice_is_the_sum_of_their_faces():
    # The 36 ordered outcomes of two dice, 2 to 12: Pascal's table, found in any textbook.
    ways = [0, 0, 1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1]
    assert amount_chances(Amount(2, 6)).tolist() == pytest.approx([way / 36 for way in ways])


def test_a_random_number_of_random_parts_adds_up():
    count, part = np.array([0.2, 0.5, 0.3]), np.array([0.0, 0.25, 0.75])
    twice = np.convolve(part, part)
    expected = 0.2 * np.eye(1, 5)[0] + 0.5 * np.pad(part, (0, 2)) + 0.3 * twice
    assert compound(count, part).tolist() == pytest.approx(expected.tolist(), abs=1e-15)


def test_standing_models_fall_in_order_and_the_rest_is_lost():
    standing = Standing((replace(GROUP, models=1, wounds=3, lost=1), replace(GROUP, models=2, wounds=2)))
    for points, left in ((1, ((1, 2), (2, 0))), (5, ((0, 0), (2, 0))), (5, ((0, 0), (1, 0)))):
        standing.take(points, spills=False)
        assert standing.left == left
    assert (standing.damage, standing.slain, standing.group) == (4, 2, 1)


def test_standing_models_pass_on_what_spills():
    standing = Standing((replace(GROUP, models=1, wounds=3, lost=1), replace(GROUP, models=2, wounds=2)))
    standing.take(5, spills=True)
    assert standing.left == ((0, 0), (1, 1))
    standing.take(99, spills=True)
    assert (standing.damage, standing.group) == (6, None)


def test_every_distribution_is_as_long_as_what_can_happen():
    found = odds(made(GROUP, weapons=(replace(WEAPON, attacks=fixed(3), damage=fixed(2)),)))
    assert [len(getattr(found, name)) for name in COUNTS] == [4, 4, 4, 4, 7, 2]
