"""Random sums: the stages of an attack as generating functions in sympy, and the identities of Wald.

Sources: W. Feller, An Introduction to Probability Theory and Its Applications, vol. I, chapter XII (compound
distributions, branching processes); A. Wald, Ann. Math. Statist. 15 (1944) 283-296. Both from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import numpy as np
import pytest
from asked import STANDARD, reckoned
from numpy.typing import NDArray
from sympy import Poly, Rational, Symbol

from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup
from resolver.exact import odds
from resolver.plan import plan
from resolver.statistics import mean, variance

x = Symbol("x")
ONE = Poly(1, x)
Stage = Callable[[Poly], Poly]  # what each success becomes -> the generating function of one die


def flat(*terms: Poly) -> Poly:
    """The average of the terms: one for each face of a die."""
    return sum(terms, Poly(0, x)) * Poly(Rational(1, len(terms)), x)


def die_of(faces: int) -> Poly:
    """x to the power of each face, equally likely."""
    return flat(*(Poly(x**face, x) for face in range(1, faces + 1)))


def entries(polynomial: Poly) -> list[float]:
    return [float(Fraction(int(c.p), int(c.q))) for c in reversed(polynomial.all_coeffs())]


def same(found: NDArray[np.float64], polynomial: Poly) -> None:
    expected = entries(polynomial)
    size = max(len(found), len(expected))
    padded = np.zeros((2, size))
    padded[0, : len(found)], padded[1, : len(expected)] = found, expected
    assert padded[0] == pytest.approx(padded[1], abs=1e-12)


# One attack on 4+ to hit, 4+ to wound, 4+ to save, in x to the number of unsaved wounds.
UNSAVED = flat(ONE, Poly(x, x))
WOUNDED = flat(ONE, UNSAVED)


STAGES: dict[str, tuple[dict[str, object], Stage]] = {
    "plain": ({}, lambda ok: flat(ONE, ONE, ONE, ok, ok, ok)),
    "one extra hit": ({"extra_hits": fixed(1)}, lambda ok: flat(ONE, ONE, ONE, ok, ok, ok**2)),
    "d3 extra hits": (
        {"extra_hits": Amount(1, 3)},
        lambda ok: flat(ONE, ONE, ONE, ok, ok, ok * flat(ok, ok**2, ok**3)),
    ),
    "critical hits wound": (
        {"critical_hits_wound": True},
        lambda ok: flat(ONE, ONE, ONE, ok, ok, UNSAVED),
    ),
    "critical hits wound and score an extra hit": (
        {"critical_hits_wound": True, "extra_hits": fixed(1)},
        lambda ok: flat(ONE, ONE, ONE, ok, ok, UNSAVED * ok),
    ),
    "criticals on 5+ with an extra hit": (
        {"critical_hit": 5, "extra_hits": fixed(1)},
        lambda ok: flat(ONE, ONE, ONE, ok, ok**2, ok**2),
    ),
    "1s thrown again": (
        {"reroll_hit": Reroll.ONES, "extra_hits": fixed(1)},
        lambda ok: flat(flat(ONE, ONE, ONE, ok, ok, ok**2), ONE, ONE, ok, ok, ok**2),
    ),
    "failures thrown again": (
        {"reroll_hit": Reroll.FAILED, "extra_hits": fixed(1)},
        lambda ok: flat(*[flat(ONE, ONE, ONE, ok, ok, ok**2)] * 3, ok, ok, ok**2),
    ),
    "all but criticals thrown again": (
        {"reroll_hit": Reroll.NON_CRITICAL, "extra_hits": fixed(1)},
        lambda ok: flat(*[flat(ONE, ONE, ONE, ok, ok, ok**2)] * 5, ok**2),
    ),
}


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("attacks", [1, 5, 12])
def test_unsaved_wounds_have_the_generating_function_of_their_stages(stage: str, attacks: int) -> None:
    clauses, hit = STAGES[stage]
    weapon = WeaponGroup(attacks=fixed(attacks), hit=4, strength=4, **clauses)  # type: ignore[arg-type]
    found = reckoned(weapon, TargetGroup(save=4), toughness=4)
    same(found.unsaved, hit(WOUNDED) ** attacks)


@pytest.mark.parametrize("stage", [name for name in STAGES if "wound" not in name])
def test_hits_have_the_generating_function_of_one_stage(stage: str) -> None:
    clauses, hit = STAGES[stage]
    weapon = WeaponGroup(attacks=fixed(6), hit=4, strength=4, **clauses)  # type: ignore[arg-type]
    same(reckoned(weapon, TargetGroup(save=4), toughness=4).hits, hit(Poly(x, x)) ** 6)


def test_a_critical_wound_that_pierces_leaves_the_save_out() -> None:
    weapon = WeaponGroup(attacks=fixed(8), hit=4, strength=4, critical_wounds_pierce=True)
    wound = flat(ONE, ONE, ONE, UNSAVED, UNSAVED, Poly(x, x))
    found = reckoned(weapon, TargetGroup(save=4), toughness=4)
    same(found.unsaved, flat(ONE, wound) ** 8)


@pytest.mark.parametrize("attacks", [Amount(1, 6), Amount(2, 6, 1), Amount(3, 3)])
def test_a_rolled_number_of_attacks_composes_with_one_attack(attacks: Amount) -> None:
    weapon = WeaponGroup(attacks=attacks, hit=4, strength=4)
    number = die_of(attacks.sides) ** attacks.dice * Poly(x**attacks.plus, x)
    found = reckoned(weapon, TargetGroup(save=4), toughness=4)
    same(found.attacks, number)
    same(found.unsaved, number.compose(flat(ONE, WOUNDED)))


def test_each_model_rolls_its_own_number_of_attacks() -> None:
    weapon = WeaponGroup(attacks=Amount(1, 6, 1), models=3, hit=4, strength=4)
    number = (die_of(6) * Poly(x, x)) ** 3
    same(reckoned(weapon, TargetGroup(save=4), toughness=4).attacks, number)


def test_damage_that_spills_onto_many_is_the_sum_of_its_dice() -> None:
    weapon = WeaponGroup(attacks=fixed(6), hit=4, strength=4, damage=Amount(1, 6), spills=True)
    found = reckoned(weapon, TargetGroup(save=4, wounds=1, models=100), toughness=4)
    same(found.damage, flat(ONE, WOUNDED).compose(die_of(6)) ** 6)


def test_damage_halved_and_reduced_is_the_sum_of_what_each_die_leaves() -> None:
    weapon = WeaponGroup(attacks=fixed(5), hit=4, strength=4, damage=Amount(1, 6), spills=True)
    group = TargetGroup(save=4, wounds=1, models=100, halve=True, reduce=1)
    left = flat(*(Poly(x ** max(1, (face + 1) // 2 - 1), x) for face in range(1, 7)))
    same(reckoned(weapon, group, toughness=4).damage, flat(ONE, WOUNDED).compose(left) ** 5)


@pytest.mark.parametrize("attacks", [fixed(9), Amount(1, 6), Amount(2, 6, 3)])
@pytest.mark.parametrize("damage", [fixed(2), Amount(1, 3), Amount(2, 6)])
def test_means_multiply_and_variances_add_as_wald_says(attacks: Amount, damage: Amount) -> None:
    """E[S] = E[N] m and Var[S] = E[N] v + Var[N] m^2 for a sum of N things with mean m and variance v."""
    weapon = WeaponGroup(attacks=attacks, hit=3, strength=4, damage=damage, spills=True)
    found = reckoned(weapon, TargetGroup(save=4, wounds=1, models=200), toughness=4)
    through = 2 / 3 / 2 / 2
    number, spread = mean(found.attacks), variance(found.attacks)
    assert mean(found.unsaved) == pytest.approx(number * through, rel=1e-12)
    assert variance(found.unsaved) == pytest.approx(number * through * (1 - through) + spread * through**2, rel=1e-9)
    dice = damage.dice * (damage.sides**2 - 1) / 12
    assert mean(found.damage) == pytest.approx(mean(found.unsaved) * damage.mean, rel=1e-9)
    assert variance(found.damage) == pytest.approx(
        mean(found.unsaved) * dice + variance(found.unsaved) * damage.mean**2, rel=1e-8
    )


def test_several_weapon_groups_multiply_their_generating_functions() -> None:
    first = WeaponGroup(attacks=fixed(3), hit=4, strength=4, extra_hits=fixed(1))
    second = WeaponGroup(attacks=Amount(1, 6), hit=4, strength=4)
    target = Target(toughness=4, groups=(TargetGroup(save=4),))
    found = odds(plan(Attack(weapons=(first, second), target=target), STANDARD))
    one = flat(ONE, ONE, ONE, WOUNDED, WOUNDED, WOUNDED**2) ** 3
    same(found.unsaved, one * die_of(6).compose(flat(ONE, WOUNDED)))
