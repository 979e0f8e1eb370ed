"""Wounds onto models against absorbing Markov chains in rational arithmetic, entry by entry."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

import numpy as np
import pytest
from asked import STANDARD, sure_wounds
from chains import Chain, after, steps
from figures import figure

from resolver.amount import Amount, fixed
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.exact import Odds, odds
from resolver.plan import plan

Points = Mapping[int, Fraction]
State = tuple[tuple[int, ...], int]  # models left in each group, wounds lost by the first model standing
Blow = Callable[[int], Points]  # group that takes the wound -> points of damage of one attack


def points_of(amount: Amount, group: TargetGroup, passes: Fraction) -> Points:
    """The points that one attack takes off: 0 if stopped, otherwise damage halved, reduced and ignored."""
    found: dict[int, Fraction] = {0: 1 - passes}
    faces = range(1, amount.sides + 1) if amount.dice else range(1)
    ignored = Fraction(7 - group.ignore, 6) if group.ignore else Fraction()
    for face in faces:
        rolled = face + amount.plus
        halved = -(-rolled // 2) if group.halve else rolled
        left = max(1, halved - group.reduce)
        for kept, chance in thinned(left, 1 - ignored).items():
            found[kept] = found.get(kept, Fraction()) + passes * chance / len(faces)
    return found


def thinned(number: int, keep: Fraction) -> Points:
    """How many of `number` points are kept, one by one."""
    kept = {0: Fraction(1)}
    for _ in range(number):
        more: dict[int, Fraction] = {}
        for count, chance in kept.items():
            more[count] = more.get(count, Fraction()) + chance * (1 - keep)
            more[count + 1] = more.get(count + 1, Fraction()) + chance * keep
        kept = more
    return kept


def struck(state: State, points: int, groups: tuple[TargetGroup, ...], spills: bool) -> State:
    """The target after one wound of so many points."""
    models, lost = list(state[0]), state[1]
    while points and any(models):
        first = next(i for i, left in enumerate(models) if left)
        lost += 1
        points -= 1
        if lost == groups[first].wounds:
            models[first] -= 1
            lost = 0
            if not spills:
                break
    return tuple(models), lost


def chain_of(groups: tuple[TargetGroup, ...], blow: Blow, spills: bool) -> Chain[State]:
    """One attack after another until no model is left."""
    start = whole(groups)
    rows: dict[State, dict[State, Fraction]] = {}
    waiting = [start]
    while waiting:
        state = waiting.pop()
        if state in rows or not any(state[0]):
            continue
        row: dict[State, Fraction] = {}
        first = next(i for i, left in enumerate(state[0]) if left)
        for points, chance in blow(first).items():
            then = struck(state, points, groups, spills)
            row[then] = row.get(then, Fraction()) + chance
        rows[state] = row
        waiting += row
    return rows


def whole(groups: tuple[TargetGroup, ...]) -> State:
    return tuple(group.models or 0 for group in groups), groups[0].lost


def taken(state: State, groups: tuple[TargetGroup, ...]) -> tuple[int, int]:
    """Models slain and wounds lost, counted from the start."""
    slain, damage = 0, state[1] - groups[0].lost
    for left, group in zip(state[0], groups, strict=True):
        slain += (group.models or 0) - left
        damage += ((group.models or 0) - left) * group.wounds
    return slain, damage


def agree(found: Odds, chances: Mapping[State, Fraction], groups: tuple[TargetGroup, ...]) -> None:
    """Slain, damage and wipe of the resolver are those of the chain, each within 1e-12."""
    slain, damage = np.zeros(400), np.zeros(400)
    for state, chance in chances.items():
        one, other = taken(state, groups)
        slain[one] += float(chance)
        damage[other] += float(chance)
    for name, expected in (("slain", slain), ("damage", damage)):
        entries = getattr(found, name)
        assert entries == pytest.approx(expected[: len(entries)], abs=1e-12), name
        assert not expected[len(entries) :].any(), name
    assert found.wipe == pytest.approx(slain[sum(group.models or 0 for group in groups)], abs=1e-12)


def passing(weapon: WeaponGroup, group: TargetGroup, wound: int) -> Fraction:
    """The chance that one attack hits, wounds and is not saved; the numbers are worked out by hand."""
    hit = Fraction(7 - (weapon.hit or 0), 6)
    needed = (group.save or 7) + weapon.ap
    saved = Fraction(max(0, 7 - needed), 6)
    return hit * Fraction(7 - wound, 6) * (1 - saved)


SCENES = {
    "flat damage, one wound each": (fixed(1), TargetGroup(models=6, wounds=1, save=4), False),
    "flat damage that is lost beyond a model": (fixed(3), TargetGroup(models=4, wounds=2, save=5), False),
    "flat damage that does not divide the wounds": (fixed(2), TargetGroup(models=5, wounds=3, save=4), False),
    "dice damage": (Amount(1, 6), TargetGroup(models=3, wounds=4, save=4), False),
    "dice damage that spills": (Amount(1, 6), TargetGroup(models=5, wounds=2, save=4), True),
    "dice damage, ignored on 5+": (Amount(1, 3), TargetGroup(models=4, wounds=3, save=4, ignore=5), False),
    "ignored and spilling": (Amount(1, 6, 1), TargetGroup(models=6, wounds=2, save=4, ignore=4), True),
    "halved": (Amount(1, 6), TargetGroup(models=4, wounds=3, save=4, halve=True), False),
    "halved and reduced": (
        Amount(1, 6, 2),
        TargetGroup(models=4, wounds=3, save=4, halve=True, reduce=1),
        False,
    ),
    "a first model already wounded": (fixed(2), TargetGroup(models=4, wounds=3, save=4, lost=2), False),
    "one great beast": (Amount(1, 3), TargetGroup(models=1, wounds=14, save=5), False),
}


@pytest.mark.parametrize("scene", SCENES)
@pytest.mark.parametrize("attacks", [1, 2, 7, 15])
def test_one_target_group_is_a_walk_through_its_models(scene: str, attacks: int) -> None:
    damage, group, spills = SCENES[scene]
    weapon = WeaponGroup(attacks=fixed(attacks), hit=3, strength=4, ap=1, damage=damage, spills=spills)
    attack = Attack(weapons=(weapon,), target=Target(toughness=4, groups=(group,)))
    points = points_of(damage, group, passing(weapon, group, wound=4))
    chain = chain_of((group,), lambda _: points, spills)
    agree(odds(plan(attack, STANDARD)), after(chain, {whole((group,)): Fraction(1)}, attacks), (group,))


def test_the_second_weapon_group_finds_what_the_first_has_left() -> None:
    group = TargetGroup(models=5, wounds=3, save=3, lost=1)
    arrows = WeaponGroup(attacks=fixed(9), hit=4, strength=4)
    hammer = WeaponGroup(attacks=fixed(4), hit=3, strength=8, ap=2, damage=Amount(1, 3))
    now = {whole((group,)): Fraction(1)}
    for weapon, wound in ((arrows, 4), (hammer, 2)):
        points = points_of(weapon.damage, group, passing(weapon, group, wound))
        now = after(chain_of((group,), lambda _, points=points: points, False), now, weapon.attacks.high)
    attack = Attack(weapons=(arrows, hammer), target=Target(toughness=4, groups=(group,)))
    agree(odds(plan(attack, STANDARD)), now, (group,))


MIXED = (
    TargetGroup(models=2, wounds=3, save=3),
    TargetGroup(models=1, wounds=5, save=2, fixed_save=4),
    TargetGroup(models=3, wounds=1, save=6, ignore=5),
)


@pytest.mark.parametrize("attacks", [1, 3, 8, 16])
@pytest.mark.parametrize("spills", [False, True])
def test_the_model_that_takes_the_wound_decides_which_save_is_used(attacks: int, spills: bool) -> None:
    weapon = WeaponGroup(attacks=fixed(attacks), hit=3, strength=4, ap=3, damage=Amount(1, 3), spills=spills)
    attack = Attack(weapons=(weapon,), target=Target(toughness=4, groups=MIXED))
    saved = (Fraction(1, 6), Fraction(1, 2), Fraction())  # 3+ worn to 6+; the fixed 4+; 6+ worn away
    blows = [
        points_of(weapon.damage, group, Fraction(2, 3) * Fraction(1, 2) * (1 - save))
        for group, save in zip(MIXED, saved, strict=True)
    ]
    chain = chain_of(MIXED, lambda group: blows[group], spills)
    agree(odds(plan(attack, STANDARD)), after(chain, {whole(MIXED): Fraction(1)}, attacks), MIXED)


@pytest.mark.parametrize("scene", SCENES)
def test_the_expected_number_of_attacks_that_wipe_a_unit_is_the_fundamental_matrix_one(scene: str) -> None:
    damage, group, spills = SCENES[scene]
    weapon = WeaponGroup(attacks=fixed(1), hit=3, strength=4, ap=1, damage=damage, spills=spills)
    points = points_of(damage, group, passing(weapon, group, wound=4))
    expected = steps(chain_of((group,), lambda _: points, spills), whole((group,)))
    assert 1 + sum(1 - wiped(attacks, damage, group, spills) for attacks in range(1, 250)) == pytest.approx(
        float(expected), rel=1e-9
    )


def wiped(attacks: int, damage: Amount, group: TargetGroup, spills: bool) -> float:
    weapon = WeaponGroup(attacks=fixed(attacks), hit=3, strength=4, ap=1, damage=damage, spills=spills)
    attack = Attack(weapons=(weapon,), target=Target(toughness=4, groups=(group,)))
    chance = odds(plan(attack, STANDARD)).wipe
    assert chance is not None
    return chance


def test_a_model_of_seven_wounds_falls_after_as_many_dice_as_wald_says() -> None:
    group = TargetGroup(models=1, wounds=7)
    standing = [1 - (sure_wounds(throws, Amount(1, 6), group).wipe or 0) for throws in range(1, 8)]
    figure("wald_total_at_least_7").check("EN", 1 + sum(standing))


# Common practice, no source.
def test_one_point_of_damage_on_a_two_wound_model_slays_nobody() -> None:
    found = sure_wounds(1, fixed(1), TargetGroup(models=5, wounds=2))
    assert found.slain[0] == pytest.approx(1, abs=1e-12)
    assert found.damage[1] == pytest.approx(1, abs=1e-12)
