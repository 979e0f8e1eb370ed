"""The largest attacks are answered exactly and within memory; what is beyond is refused by name."""

import tracemalloc
from dataclasses import replace

import pytest
from small_attacks import STANDARD

from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup
from resolver.exact import odds
from resolver.live import COUNTS
from resolver.plan import plan
from resolver.refused import Refused

MOST_BYTES = 200_000_000

WEAPON = WeaponGroup(attacks=fixed(1000), hit=3, strength=5, ap=1)
GROUP = TargetGroup(models=200, wounds=2, save=3)
D6, D100 = Amount(1, 6), Amount(1, 100)


def onto(*groups: TargetGroup, times: int = 1, **said) -> Attack:
    return Attack(weapons=(replace(WEAPON, **said),) * times, target=Target(groups=groups or (GROUP,), toughness=4))


def g(**said) -> TargetGroup:
    return replace(GROUP, **said)


MANY_HITS = {"critical_hit": 2, "extra_hits": fixed(9)}
ONCE = {"reroll_hit": Reroll.ONE_FAILED, "reroll_wound": Reroll.ONE_FAILED}
HALVES = (g(models=100, wounds=1), g(models=100, wounds=1, save=4))

LARGE = {
    "a thousand dice on two hundred models": onto(),
    "dice of damage": onto(g(wounds=6), damage=D6),
    "the largest damage on the largest models": onto(g(wounds=100), damage=D100),
    "ignored point by point": onto(g(wounds=100, ignore=5), damage=D100),
    "a target without end": onto(g(models=None, wounds=100), damage=Amount(2, 50)),
    "spilling": onto(g(wounds=100), damage=D100, spills=True),
    "spilling without end": onto(g(models=None, wounds=100), damage=D100, spills=True),
    "ten thousand hits": onto(g(wounds=100), damage=D100, **MANY_HITS),
    "ten thousand hits on a target without end": onto(g(models=None, wounds=100), damage=D100, **MANY_HITS),
    "a rolled number with every single re-roll": onto(
        g(reroll_save=Reroll.ONE_FAILED), attacks=Amount(100, 10), extra_hits=Amount(1, 6), **ONCE
    ),
    "a hundred weapon groups": onto(g(wounds=6), times=100, attacks=fixed(10), damage=D6),
    "two target groups": onto(*HALVES),
    "two target groups with a single re-roll": onto(
        g(models=30, reroll_save=Reroll.ONE_FAILED), g(models=30), attacks=fixed(100), damage=Amount(1, 3)
    ),
    "two target groups, pierced": onto(
        g(models=30), g(models=30, wounds=3), attacks=fixed(100), damage=Amount(1, 3), critical_wounds_pierce=True
    ),
    "a thousand dice that may pierce two target groups": onto(*HALVES, critical_wounds_pierce=True),
    "a thousand dice of the largest damage on three groups of the largest models": onto(
        g(models=80, wounds=100, reroll_save=Reroll.ONE_FAILED),
        g(models=60, wounds=90),
        g(models=60, wounds=80, ignore=5),
        damage=D100,
    ),
    "three weapon groups on two target groups": onto(*HALVES, times=3, attacks=fixed(300), damage=Amount(1, 3)),
    "few attacks on two groups of the largest models": onto(
        g(models=100, wounds=100), g(models=100, wounds=100), attacks=fixed(10), damage=D6
    ),
}


@pytest.mark.parametrize("name", LARGE)
def test_large_attacks_are_answered_exactly(name):
    made = plan(LARGE[name], STANDARD)
    tracemalloc.start()
    try:
        found = odds(made)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < MOST_BYTES
    for count in COUNTS:
        assert abs(getattr(found, count).sum() - 1) < 1e-12
        assert (getattr(found, count) >= 0).all()


REFUSED = {
    "spilling damage of ten thousand hits": (onto(g(wounds=100), damage=D100, spills=True, **MANY_HITS), "damage"),
    "ten thousand hits that may pierce two target groups": (
        onto(*HALVES, critical_wounds_pierce=True, **MANY_HITS),
        "target groups",
    ),
    "spilling over two groups of the largest models": (
        onto(g(models=100, wounds=100), g(models=100, wounds=100), damage=D100, spills=True),
        "target groups",
    ),
    "a hundred weapon groups on two groups of the largest models": (
        onto(g(models=100, wounds=100), g(models=100, wounds=90), times=100, attacks=fixed(10), damage=D100),
        "target groups",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_would_take_too_long_is_refused_with_its_limit(name):
    attack, about = REFUSED[name]
    tracemalloc.start()
    try:
        with pytest.raises(Refused, match="limit") as refused:
            odds(plan(attack, STANDARD))
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert refused.value.name == about
    assert peak < MOST_BYTES


def test_several_groups_that_always_save_lose_nothing():
    """A ruleset may have no natural fail: a 2+ save in cover is then made with every face."""
    ruleset = replace(STANDARD, natural_fail=0, best_save=1)
    weapon = WeaponGroup(attacks=fixed(3), hit=4, strength=4)
    groups = (TargetGroup(models=2, save=2, cover=True), TargetGroup(models=2, wounds=2, save=2, cover=True))
    found = odds(plan(Attack(weapons=(weapon,), target=Target(toughness=4, groups=groups)), ruleset))
    assert found.slain[0] == pytest.approx(1, abs=1e-12)
    assert found.mean["wounds"] > 0
