"""What must hold for every attack, whatever its numbers."""

from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from small_attacks import STANDARD, attacks, groups, weapons

from resolver.amount import fixed
from resolver.attack import Attack, Reroll, Target
from resolver.exact import Odds, better, dealt, odds
from resolver.live import roll
from resolver.onto_several import reckoned as reckoned_several
from resolver.plan import plan
from resolver.refused import Refused
from resolver.several.line import Line

COUNTS = ("attacks", "hits", "wounds", "unsaved", "damage", "slain")
MANY = settings(max_examples=35, suppress_health_check=list(HealthCheck))
ONE_TARGET = attacks(most_weapons=2, most_groups=1)


def reckoned(attack: Attack) -> Odds:
    try:
        made = plan(attack, STANDARD)
    except Refused:
        assume(False)
    return odds(made)


def with_weapons(attack: Attack, **said) -> Attack:
    return replace(attack, weapons=tuple(replace(weapon, **said) for weapon in attack.weapons))


def with_groups(attack: Attack, **said) -> Attack:
    changed = tuple(replace(group, **said) for group in attack.target.groups)
    return replace(attack, target=replace(attack.target, groups=changed))


def never_less(more: np.ndarray, less: np.ndarray) -> bool:
    """Whether the first distribution is at least as high as the second at every level (stochastic order)."""
    size = max(len(more), len(less))
    low, high = (np.cumsum(np.pad(found, (0, size - len(found)))) for found in (less, more))
    return bool((high <= low + 1e-12).all())


@MANY
@given(attack=attacks())
def test_chances_are_chances(attack):
    found = reckoned(attack)
    for name in COUNTS:
        entries = getattr(found, name)
        assert not np.signbit(entries).any()
        assert (entries <= 1).all()
        assert abs(entries.sum() - 1) < 1e-12
        assert found.mean[name] >= 0


@MANY
@given(attack=attacks())
def test_each_count_is_no_larger_than_the_one_before(attack):
    attack = with_weapons(attack, extra_hits=None)
    found = reckoned(attack)
    means = [found.mean[name] for name in ("attacks", "hits", "wounds", "unsaved")]
    assert means == sorted(means, reverse=True) or max(np.diff(means)) < 1e-9
    assert found.mean["slain"] <= found.mean["damage"] + max(group.lost for group in attack.target.groups) + 1e-9


@MANY
@given(attack=attacks())
def test_the_unit_is_wiped_out_exactly_when_every_model_is_slain(attack):
    found = reckoned(attack)
    models = attack.target.models
    if models is None:
        assert found.wipe is None
    else:
        assert found.wipe == (found.slain[models] if models < len(found.slain) else 0.0)


@MANY
@given(attack=ONE_TARGET, more=st.integers(1, 4))
def test_more_strength_is_never_worse_for_the_attacker(attack, more):
    # A piercing critical is excepted: re-rolling a failure may be worth more than an ordinary wound.
    attack = with_weapons(attack, critical_wounds_pierce=False)
    stronger = [replace(weapon, strength=(weapon.strength or 1) + more) for weapon in attack.weapons]
    weak, strong = reckoned(attack), reckoned(replace(attack, weapons=tuple(stronger)))
    assert never_less(strong.damage, weak.damage)
    assert never_less(strong.slain, weak.slain)


@MANY
@given(attack=ONE_TARGET)
def test_more_attacks_are_never_worse_for_the_attacker(attack):
    more = [replace(weapon, models=weapon.models + 1) for weapon in attack.weapons]
    few, many = reckoned(attack), reckoned(replace(attack, weapons=tuple(more)))
    for name in COUNTS:
        assert never_less(getattr(many, name), getattr(few, name))


@MANY
@given(attack=attacks(), save=st.integers(2, 5))
def test_a_better_save_is_never_worse_for_the_defender(attack, save):
    """But for a single re-roll in several groups: a save that cannot be made leaves it to a group that saves better."""
    attack = with_weapons(attack, spills=False)
    assume(len(attack.target.groups) == 1 or not any(g.reroll_save is Reroll.ONE_FAILED for g in attack.target.groups))
    good, bad = (reckoned(with_groups(attack, save=number)) for number in (save, save + 1))
    assert never_less(bad.damage, good.damage)
    assert never_less(bad.slain, good.slain)


@MANY
@given(attack=attacks(), ignore=st.integers(2, 6))
def test_an_ignore_roll_is_never_worse_for_the_defender(attack, ignore):
    attack = with_weapons(with_groups(attack, ignore=None), spills=False)
    never, often = reckoned(attack), reckoned(with_groups(attack, ignore=ignore))
    assert never_less(never.damage, often.damage)


@MANY
@given(attack=ONE_TARGET)
def test_spilling_damage_never_slays_fewer(attack):
    stops, spills = (reckoned(with_weapons(attack, spills=spilling)) for spilling in (False, True))
    assert never_less(spills.slain, stops.slain)
    assert never_less(spills.damage, stops.damage)


@MANY
@given(weapon=weapons(), attack=attacks(), counts=st.permutations([1, 2, 4]))
def test_the_order_of_alike_weapon_groups_does_not_matter(weapon, attack, counts):
    alike = [replace(weapon, attacks=fixed(count), critical_wounds_pierce=False) for count in (1, 2, 4)]
    shuffled = [replace(weapon, attacks=fixed(count), critical_wounds_pierce=False) for count in counts]
    target = with_groups(attack, reroll_save=None).target
    one, other = (reckoned(Attack(weapons=tuple(order), target=target, distance=18.0)) for order in (alike, shuffled))
    for name in COUNTS:
        assert np.abs(getattr(one, name) - getattr(other, name)).max() < 1e-12


@MANY
@given(weapon=weapons(), group=groups(st.integers(1, 4)), first=st.integers(1, 3))
def test_a_unit_divided_into_two_alike_groups_loses_the_same(weapon, group, first):
    """One target group is reckoned by renewal, several wound by wound: two ways to the same losses."""
    group = replace(group, reroll_save=None if group.reroll_save is Reroll.ONE_FAILED else group.reroll_save)
    unit = (replace(group, models=first), replace(group, lost=0))
    whole = replace(group, models=first + (group.models or 0))
    divided, together = (
        reckoned(Attack(weapons=(weapon,) * 2, target=Target(groups=parts, toughness=4), distance=6.0))
        for parts in (unit, (whole,))
    )
    size = min(len(divided.damage), len(together.damage))
    assert np.abs(divided.damage[:size] - together.damage[:size]).max() < 1e-12
    assert abs((divided.wipe or 0) - (together.wipe or 0)) < 1e-12
    assert abs(divided.mean["slain"] - together.mean["slain"]) < 1e-12


@MANY
@given(attack=ONE_TARGET, other=ONE_TARGET)
def test_one_attack_is_better_or_the_other_or_both_slay_alike(attack, other):
    a, b = reckoned(attack), reckoned(other)
    size = min(len(a.slain), len(b.slain))
    alike = float(a.slain[:size] @ b.slain[:size])
    assert abs(better(a, b) + better(b, a) + alike - 1) < 1e-12


@MANY
@given(attack=attacks(most_weapons=3), times=st.sampled_from([1, 5, 20]), seed=st.integers(0, 2**32))
def test_whatever_is_rolled_was_possible(attack, times, seed):
    more = tuple(replace(weapon, models=weapon.models * times) for weapon in attack.weapons)
    attack = replace(attack, weapons=more)
    try:
        made = plan(attack, STANDARD)
        found = odds(made)
    except Refused:
        assume(False)
    random = Random(seed)
    rolled = roll(made, lambda throw: [random.randint(1, throw.sides) for _ in range(throw.count)])
    for name, total in rolled.totals.items():
        assert getattr(found, name)[total] > 0, name
        assert abs(getattr(found, name).sum() - 1) < 1e-12, name


@MANY
@given(attack=attacks(most_weapons=3), times=st.sampled_from([1, 1, 7]))
def test_group_after_group_is_the_same_as_wound_by_wound(attack, times):
    """Two ways to several target groups: wounds that are few are walked, many are dealt group by group."""
    assume(len(attack.target.groups) > 1)
    larger = [replace(weapon, models=weapon.models * times, spills=False) for weapon in attack.weapons]
    made = plan(replace(attack, weapons=tuple(larger)), STANDARD)
    line = Line(made.target.groups)
    walked, passed = reckoned_several(line, dealt(made), few=10**9), reckoned_several(line, dealt(made), few=0)
    for one, other in zip(walked, passed, strict=True):
        assert np.pad(one, (0, max(0, len(other) - len(one)))) == pytest.approx(
            np.pad(other, (0, max(0, len(one) - len(other)))), abs=1e-13
        )
