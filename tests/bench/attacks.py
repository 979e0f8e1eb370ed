"""The attacks whose speed is measured: the two that are named, the many-sided one, the large pools."""

from __future__ import annotations

from bot.content import load_rulesets
from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup

STANDARD = load_rulesets()["standard"]

TWENTY_ON_TEN = Attack(
    weapons=(WeaponGroup(attacks=fixed(20), hit=4, strength=4, ap=1),),
    target=Target(toughness=4, groups=(TargetGroup(models=10, wounds=2, save=3),)),
)


def heavy(attacks: int) -> Attack:
    """Dice damage, piercing criticals and extra hits on 20 models of 6 wounds."""
    weapon = WeaponGroup(
        attacks=fixed(attacks),
        hit=3,
        strength=6,
        ap=1,
        damage=Amount(1, 6),
        extra_hits=fixed(1),
        critical_wounds_pierce=True,
    )
    return Attack(
        weapons=(weapon,),
        target=Target(toughness=5, groups=(TargetGroup(models=20, wounds=6, save=3),)),
    )


HEAVY = heavy(120)

SIX_ON_THREE = Attack(
    weapons=(
        WeaponGroup(attacks=fixed(2), models=5, hit=4, strength=4),
        WeaponGroup(attacks=Amount(1, 6), hit=3, strength=8, ap=2, damage=Amount(1, 3)),
        WeaponGroup(attacks=fixed(6), hit=3, strength=5, ap=1, damage=fixed(2), extra_hits=fixed(1)),
        WeaponGroup(attacks=fixed(4), hit=4, strength=9, ap=3, damage=Amount(1, 6)),
        WeaponGroup(attacks=fixed(12), hit=5, strength=3, reroll_hit=Reroll.ONES, critical_wounds_pierce=True),
        WeaponGroup(attacks=Amount(2, 6), hit=None, strength=5, ap=1),
    ),
    target=Target(
        toughness=5,
        groups=(
            TargetGroup(models=3, wounds=3, save=3),
            TargetGroup(models=1, wounds=6, save=2, fixed_save=4),
            TargetGroup(models=10, wounds=1, save=5, ignore=5),
        ),
    ),
)

FIVE_HUNDRED = Attack(
    weapons=(WeaponGroup(attacks=fixed(500), hit=3, strength=4),),
    target=Target(toughness=4, groups=(TargetGroup(models=200, wounds=1, save=5),)),
)

# At the limits: 1,000 dice and 200 models.
LARGEST = {
    "1,000 attacks on 200 models of 2 wounds": Attack(
        weapons=(WeaponGroup(attacks=fixed(1000), hit=3, strength=4, damage=Amount(1, 3)),),
        target=Target(toughness=4, groups=(TargetGroup(models=200, wounds=2, save=4),)),
    ),
    "1,000 attacks, 2d6 damage, on 200 models of 100 wounds": Attack(
        weapons=(WeaponGroup(attacks=fixed(1000), hit=3, strength=4, damage=Amount(2, 6)),),
        target=Target(toughness=4, groups=(TargetGroup(models=200, wounds=100, save=4),)),
    ),
    "ten weapon groups of 100 attacks on 200 models of 20 wounds": Attack(
        weapons=(WeaponGroup(attacks=fixed(100), hit=3, strength=4, damage=Amount(1, 6)),) * 10,
        target=Target(toughness=4, groups=(TargetGroup(models=200, wounds=20, save=4),)),
    ),
    "300 attacks on three target groups, 200 models in all": Attack(
        weapons=(WeaponGroup(attacks=fixed(300), hit=3, strength=4, damage=Amount(1, 3)),),
        target=Target(
            toughness=4,
            groups=(
                TargetGroup(models=60, wounds=3, save=4),
                TargetGroup(models=60, wounds=2, save=5),
                TargetGroup(models=80, wounds=1, save=6),
            ),
        ),
    ),
}

MESSAGES = (
    "odds 10 shots hitting on 4s, S5 AP-1 damage 2 into T4, 3+ save, W2, 5 models",
    "5 models with d6+1 attacks each, hit 3+, S4, re-roll 1s to hit into T4, save 4+, 10 models",
    "20 attacks, hit 3+, S4, critical hits score 1 extra hit into T4, save 3+, W2, 10 models, ignore 5+",
    "what does S5 need against T4",
    "charge 9",
    "reach from 15 with M6",
)
ROLLS = (
    "roll 10 shots hitting on 4s, S5 AP-1 damage 2 into T4, 3+ save, W2, 5 models",
    "dice 3d6+2",
)
