"""Rolling and reckoning cannot disagree: every sequence of faces of small attacks, against the odds."""

from dataclasses import replace

import pytest
from every_sequence import every_total
from small_attacks import RULESETS, STANDARD

from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup
from resolver.exact import odds
from resolver.plan import plan
from resolver.ruleset import DifferenceChart, Ruleset, Step

# Dice of three and four faces keep the trees of sequences small; the rules are otherwise the standard ones.
CHART = DifferenceChart(equal=2, best=2, worst=3)
THREE = replace(STANDARD, id="three", die=3, wound_chart=CHART)
FOUR = replace(THREE, id="four", die=4)
NO_WOUND_ROLL = replace(THREE, id="no-wound", steps=(Step.HIT, Step.SAVE), natural_pass=(Step.HIT,), wound_chart=None)
SAVE_FIRST = replace(THREE, id="save-first", steps=(Step.HIT, Step.SAVE, Step.WOUND))
NO_SAVE = replace(THREE, id="no-save", steps=(Step.HIT, Step.WOUND))
HARSH = replace(THREE, id="harsh", natural_pass=(), natural_fail=0)

W = WeaponGroup(attacks=fixed(2), hit=2, wound=2)
G = TargetGroup(models=2, wounds=2, save=2)


def one(weapon: WeaponGroup, group: TargetGroup, distance: float | None = None) -> Attack:
    return onto([weapon], [group], distance)


def onto(weapons: list[WeaponGroup], groups: list[TargetGroup], distance: float | None = None) -> Attack:
    return Attack(weapons=tuple(weapons), target=Target(groups=tuple(groups), toughness=4), distance=distance)


def w(**changes: object) -> WeaponGroup:
    return replace(W, **changes)


def g(**changes: object) -> TargetGroup:
    return replace(G, **changes)


D2, D3 = Amount(1, 2), Amount(1, 3)
NEAR = {"range": 24.0}
SINGLE = {"models": 1, "wounds": 1}

CASES: dict[str, tuple[Attack, Ruleset]] = {
    "plain": (one(W, G), THREE),
    "standard die": (one(w(attacks=fixed(1)), G), STANDARD),
    "four faces": (one(w(hit=3, wound=3), g(save=3)), FOUR),
    "chart": (one(w(wound=None, strength=5), G), THREE),
    "modifiers beyond the cap": (one(w(to_hit=-3, to_wound=2), G), FOUR),
    "natural faces decide": (one(w(hit=3, to_hit=-1, wound=2, to_wound=1), G), THREE),
    "harsh natural faces": (one(w(hit=3, to_hit=-1, wound=2, to_wound=1), G), HARSH),
    "hits that no face reaches": (
        one(w(hit=3, to_hit=-1, reroll_wound=Reroll.ONE_FAILED), g(reroll_save=Reroll.ONE_FAILED)),
        HARSH,
    ),
    "wounds that no face reaches": (one(w(wound=3, to_wound=-1, reroll_hit=Reroll.ONE_FAILED), G), HARSH),
    "every hit wounds outright": (
        onto(
            [
                w(
                    critical_hit=2,
                    critical_hits_wound=True,
                    critical_wounds_pierce=True,
                    reroll_wound=Reroll.ONE_FAILED,
                )
            ],
            [g(**SINGLE), G],
        ),
        THREE,
    ),
    "armour worn away": (one(w(ap=3), G), THREE),
    "fixed save": (one(w(ap=3), g(fixed_save=3)), THREE),
    "cover": (one(w(ap=1), g(cover=True)), THREE),
    "best save": (one(W, g(save=2, cover=True)), FOUR),
    "no save": (one(w(attacks=fixed(3)), g(save=None)), THREE),
    "automatic hits": (one(w(attacks=fixed(3), hit=None, critical_hit=2, extra_hits=fixed(2)), G), THREE),
    "re-roll 1s to hit": (one(w(reroll_hit=Reroll.ONES), G), THREE),
    "re-roll failed hits": (one(w(hit=3, reroll_hit=Reroll.FAILED), G), THREE),
    "re-roll non-critical hits": (
        one(w(reroll_hit=Reroll.NON_CRITICAL, extra_hits=fixed(1)), g(save=None)),
        THREE,
    ),
    "re-roll one failed hit": (one(w(hit=3, reroll_hit=Reroll.ONE_FAILED), G), THREE),
    "re-roll 1s to wound": (one(w(reroll_wound=Reroll.ONES), G), THREE),
    "re-roll failed wounds": (one(w(wound=3, reroll_wound=Reroll.FAILED), G), THREE),
    "re-roll non-critical wounds": (
        one(w(reroll_wound=Reroll.NON_CRITICAL, critical_wounds_pierce=True), G),
        THREE,
    ),
    "re-roll one failed wound": (one(w(wound=3, reroll_wound=Reroll.ONE_FAILED), G), THREE),
    "re-roll 1s to save": (one(W, g(reroll_save=Reroll.ONES)), THREE),
    "re-roll failed saves": (one(W, g(save=3, reroll_save=Reroll.FAILED)), THREE),
    "re-roll one failed save": (one(W, g(save=3, reroll_save=Reroll.ONE_FAILED)), THREE),
    "one re-roll at each step": (
        one(w(reroll_hit=Reroll.ONE_FAILED, reroll_wound=Reroll.ONE_FAILED), g(reroll_save=Reroll.ONE_FAILED)),
        THREE,
    ),
    "one re-roll with a rolled number": (
        one(w(attacks=D3, hit=3, reroll_hit=Reroll.ONE_FAILED), g(save=None, reroll_save=Reroll.ONE_FAILED)),
        THREE,
    ),
    "one re-rolled save against dice damage": (
        one(w(hit=None, damage=D2, spills=True), g(reroll_save=Reroll.ONE_FAILED)),
        THREE,
    ),
    "critical threshold": (one(w(hit=3, critical_hit=2, extra_hits=fixed(1)), g(save=None)), THREE),
    "extra hits": (one(w(extra_hits=fixed(2)), g(save=None)), THREE),
    "dice of extra hits": (one(w(attacks=fixed(1), extra_hits=D3), G), THREE),
    "dice of extra hits less one": (one(w(attacks=fixed(1), extra_hits=Amount(2, 2, -1)), G), THREE),
    "critical hits wound": (one(w(critical_hits_wound=True), G), THREE),
    "critical hits wound and score more": (
        one(w(critical_hits_wound=True, extra_hits=fixed(1)), g(save=None)),
        THREE,
    ),
    "critical hits wound, with dice": (
        one(w(attacks=fixed(1), critical_hits_wound=True, extra_hits=Amount(1, 3, -0)), G),
        THREE,
    ),
    "critical wounds pierce": (one(w(critical_wounds_pierce=True, critical_wound=2), G), THREE),
    "piercing, ignored": (one(w(critical_wounds_pierce=True), g(ignore=2)), THREE),
    "rolled attacks": (one(w(attacks=D3), G), THREE),
    "rolled attacks less one": (one(w(attacks=Amount(2, 2, -1)), G), THREE),
    "models roll their own attacks": (one(w(attacks=D2, models=2), g(save=None)), THREE),
    "half range doubles": (one(w(attacks=fixed(1), half_double=True, **NEAR), G, 12.0), THREE),
    "half range doubles the roll": (
        one(w(attacks=D2, hit=None, half_double=True, **NEAR), g(save=None), 6.0),
        THREE,
    ),
    "half range adds": (one(w(attacks=fixed(1), half_plus=D2, **NEAR), G, 6.0), THREE),
    "half range doubles and adds": (
        one(w(attacks=fixed(1), half_double=True, half_plus=fixed(1), **NEAR), g(save=None), 6.0),
        THREE,
    ),
    "beyond half range": (one(w(half_double=True, half_plus=D2, **NEAR), G, 12.5), THREE),
    "bonus per five": (one(w(attacks=fixed(1), per_five=1), g(models=11, wounds=1)), THREE),
    "dice damage": (one(w(attacks=fixed(2), hit=None, damage=D3), g(save=None)), THREE),
    "dice damage on a wounded model": (one(w(hit=None, damage=D3), g(wounds=3, lost=2)), THREE),
    "damage halved": (one(w(hit=None, damage=Amount(1, 4)), g(wounds=3, halve=True)), THREE),
    "damage reduced": (one(w(hit=None, damage=D3), g(wounds=3, reduce=1)), THREE),
    "damage halved and reduced": (
        one(w(hit=None, damage=Amount(1, 4, 1)), g(wounds=4, halve=True, reduce=1)),
        THREE,
    ),
    "damage ignored": (one(w(hit=None, damage=fixed(2)), g(wounds=3, ignore=3)), THREE),
    "dice damage ignored": (one(w(attacks=fixed(1), hit=None, damage=D3), g(wounds=2, ignore=2)), THREE),
    "spill": (one(w(hit=None, damage=fixed(3), spills=True), g(save=None)), THREE),
    "spill of dice, ignored": (one(w(attacks=fixed(1), damage=D3, spills=True), g(ignore=2)), THREE),
    "large enough": (one(w(hit=None, damage=D3), g(models=None)), THREE),
    "large enough, spilling": (one(w(hit=None, damage=D3, spills=True), g(models=None, lost=1)), THREE),
    "more wounds than models": (one(w(attacks=fixed(4), hit=None), g(**SINGLE)), THREE),
    "two weapon groups": (onto([w(hit=None), w(attacks=fixed(1), damage=D2)], [G]), THREE),
    "a spilling second group": (onto([w(hit=None), w(attacks=fixed(1), damage=D3, spills=True)], [G]), THREE),
    "three weapon groups": (
        onto([w(attacks=fixed(1), hit=n, damage=fixed(n or 1)) for n in (None, 2, 3)], [G]),
        THREE,
    ),
    "two target groups": (onto([W], [g(**SINGLE), g(save=3)]), THREE),
    "two target groups, wounded": (
        onto([w(hit=None, damage=D2)], [g(models=1, lost=1), g(lost=1, models=1)]),
        THREE,
    ),
    "two target groups, piercing": (
        onto([w(critical_wounds_pierce=True)], [g(**SINGLE), g(save=None, models=1)]),
        THREE,
    ),
    "two target groups, spilling": (
        onto([w(hit=None, damage=fixed(3), spills=True)], [g(**SINGLE, ignore=3), g(models=2)]),
        THREE,
    ),
    "two target groups, one re-rolled save each": (
        onto([w(hit=None)], [g(**SINGLE, reroll_save=Reroll.ONE_FAILED), g(reroll_save=Reroll.ONE_FAILED)]),
        THREE,
    ),
    "a second re-roll for a second weapon group": (
        onto([w(hit=None, attacks=fixed(1))] * 2, [g(reroll_save=Reroll.ONE_FAILED), G]),
        THREE,
    ),
    "three target groups": (
        onto([w(attacks=fixed(3), hit=None)], [g(**SINGLE), g(**SINGLE, save=3), g(**SINGLE, save=None)]),
        THREE,
    ),
    "three target groups, halved and reduced": (
        onto(
            [w(hit=None, damage=Amount(1, 3, 2))],
            [g(models=1, wounds=3, halve=True), g(models=1, wounds=3, reduce=2), g(**SINGLE, save=None)],
        ),
        THREE,
    ),
    "two on two": (onto([w(attacks=fixed(1)), w(hit=None)], [g(**SINGLE), g(models=1, save=3)]), THREE),
    "no wound roll": (one(w(attacks=fixed(3)), G), NO_WOUND_ROLL),
    "no wound roll, idle clauses": (
        one(w(extra_hits=fixed(1), critical_hits_wound=True, critical_wounds_pierce=True), G),
        NO_WOUND_ROLL,
    ),
    "no wound roll, two target groups": (
        onto([w(attacks=fixed(3))], [g(**SINGLE), g(save=3)]),
        NO_WOUND_ROLL,
    ),
    "saves before wounds": (one(w(critical_wounds_pierce=True, extra_hits=fixed(1)), G), SAVE_FIRST),
    "saves before wounds, one save again": (one(w(hit=None), g(reroll_save=Reroll.ONE_FAILED)), SAVE_FIRST),
    "no save roll": (one(w(attacks=fixed(3), critical_wounds_pierce=True), G), NO_SAVE),
    "no save roll, two target groups": (onto([w(attacks=fixed(3))], [g(**SINGLE), G]), NO_SAVE),
    "ten faces": (one(WeaponGroup(attacks=fixed(1), hit=7, strength=4), g(save=8)), RULESETS["ten-sided"]),
}


@pytest.mark.parametrize("name", CASES)
def test_every_sequence_of_faces_agrees_with_the_odds(name):
    made = plan(*CASES[name])
    rolled, wiped = every_total(made)
    found = odds(made)
    for count, chances in rolled.items():
        entries = getattr(found, count)
        expected = [float(chances.get(k, 0)) for k in range(len(entries))]
        assert max(chances) < len(entries), count
        assert entries.tolist() == pytest.approx(expected, abs=1e-12, rel=0), count
    assert (found.wipe or 0.0) == pytest.approx(float(wiped), abs=1e-12, rel=0)
