"""Attacks that ask the resolver for a pool, a sum or a walk, each by way of a whole attack."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bot.content import load_rulesets
from resolver.amount import Amount, fixed
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.exact import Odds, odds
from resolver.plan import plan
from resolver.ruleset import Ruleset

RULESETS = load_rulesets()
STANDARD = RULESETS["standard"]
NO_WOUND_ROLL = RULESETS["two-rolls"]

Array = NDArray[np.float64]


def reckoned(
    weapon: WeaponGroup, group: TargetGroup, toughness: int | None = None, ruleset: Ruleset = STANDARD
) -> Odds:
    """The odds of one weapon group on one target group."""
    return odds(plan(Attack(weapons=(weapon,), target=Target(toughness=toughness, groups=(group,))), ruleset))


def dice_of(sides: int) -> Ruleset:
    """A game without a wound roll that is played with dice of so many faces."""
    return replace(NO_WOUND_ROLL, id="pool", die=sides, best_save=2)


def pool(dice: int, number: int, sides: int = 6) -> Array:
    """The chances of 0, 1, ... successes of dice of `sides` faces that need `number`+: hits of an attack."""
    return reckoned(WeaponGroup(attacks=fixed(dice), hit=number), TargetGroup(), None, dice_of(sides)).hits


def total(amount: Amount) -> Array:
    """The chances of each total of the dice: the number of attacks of one model."""
    return reckoned(WeaponGroup(attacks=amount, hit=4), TargetGroup(), None, NO_WOUND_ROLL).attacks


def sure_wounds(number: int, damage: Amount, group: TargetGroup) -> Odds:
    """`number` wounds that nothing stops, each of so much damage."""
    return reckoned(WeaponGroup(attacks=fixed(number), damage=damage), group, None, NO_WOUND_ROLL)
