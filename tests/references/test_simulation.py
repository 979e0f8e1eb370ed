"""Thirty random attacks, each simulated a million times dice by dice, lie within five standard errors."""

from __future__ import annotations

import random

import numpy as np
import pytest
from asked import STANDARD
from simulated import simulate

from bot.wording import attack_text
from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup
from resolver.exact import odds
from resolver.plan import plan

SAMPLES = 1_000_000
ERRORS = 5.0
COUNTS = ("attacks", "hits", "wounds", "unsaved", "damage", "slain")


def maybe(chance: random.Random, share: float, value: object) -> object:
    return value if chance.random() < share else None


def some_amount(chance: random.Random, high: int) -> Amount:
    return chance.choice([fixed(chance.randint(1, high)), Amount(1, 3), Amount(1, 6), Amount(1, 3, 1)])


def some_weapon(chance: random.Random) -> WeaponGroup:
    """A weapon group with a few of all the clauses that change dice."""
    pick, rerolls = chance.choice, list(Reroll)
    hit = maybe(chance, 0.9, chance.randint(2, 6))
    return WeaponGroup(
        attacks=pick([fixed(chance.randint(1, 6)), Amount(1, 6), Amount(1, 3, 1)]),
        hit=hit,  # type: ignore[arg-type]
        strength=chance.randint(2, 10),
        ap=chance.randint(0, 3),
        damage=some_amount(chance, 3),
        to_hit=pick([0, 0, 1, -1, 2]),
        to_wound=pick([0, 0, 1, -1]),
        reroll_hit=maybe(chance, 0.4, pick(rerolls)) if hit else None,  # type: ignore[arg-type]
        reroll_wound=maybe(chance, 0.4, pick(rerolls)),  # type: ignore[arg-type]
        critical_hit=maybe(chance, 0.3, pick([4, 5])) if hit else None,  # type: ignore[arg-type]
        critical_wound=maybe(chance, 0.3, pick([4, 5])),  # type: ignore[arg-type]
        extra_hits=maybe(chance, 0.4, pick([fixed(1), Amount(1, 3)])) if hit else None,  # type: ignore[arg-type]
        critical_hits_wound=chance.random() < 0.3 and hit is not None,
        critical_wounds_pierce=chance.random() < 0.4,
        spills=chance.random() < 0.2,
    )


def some_group(chance: random.Random, lost: bool) -> TargetGroup:
    """A target group with a few of all the clauses that defend."""
    wounds = chance.randint(1, 4)
    return TargetGroup(
        models=chance.randint(1, 4),
        wounds=wounds,
        save=chance.choice([2, 3, 4, 5, None]),
        fixed_save=maybe(chance, 0.3, chance.randint(4, 6)),  # type: ignore[arg-type]
        ignore=maybe(chance, 0.3, chance.randint(4, 6)),  # type: ignore[arg-type]
        reduce=chance.choice([0, 0, 0, 1]),
        halve=chance.random() < 0.2,
        cover=chance.random() < 0.3,
        reroll_save=maybe(chance, 0.3, chance.choice([Reroll.ONES, Reroll.FAILED])),  # type: ignore[arg-type]
        lost=chance.randint(0, wounds - 1) if lost else 0,
    )


def some_attack(seed: int) -> Attack:
    """The attack of a seed: every third has two weapon groups, every third two target groups."""
    chance = random.Random(seed)
    groups = tuple(some_group(chance, lost=not i) for i in range(2 if seed % 3 == 1 else 1))
    weapons = tuple(some_weapon(chance) for _ in range(2 if seed % 3 == 2 else 1))
    return Attack(weapons=weapons, target=Target(toughness=chance.randint(3, 8), groups=groups))


@pytest.mark.parametrize("seed", range(30))
def test_a_million_simulated_attacks_lie_within_five_standard_errors(seed: int) -> None:
    attack = some_attack(seed)
    found = odds(plan(attack, STANDARD))
    seen = simulate(attack, SAMPLES, np.random.default_rng(seed))
    for name in COUNTS:
        exact = getattr(found, name)
        shares = np.bincount(seen[name], minlength=len(exact)) / SAMPLES
        assert len(shares) == len(exact) or not shares[len(exact) :].any(), (name, attack_text(attack))
        error = np.sqrt(exact * (1 - exact).clip(0) / SAMPLES) + 2 / SAMPLES
        worst = np.abs(shares[: len(exact)] - exact) / error
        assert worst.max() < ERRORS, (name, int(worst.argmax()), attack_text(attack))


CLAUSES = """
auto hit; re-roll 1s to hit; re-roll failed wounds; re-roll non-critical; re-roll one failed;
critical hits on; critical wounds on; extra hit; critical hits wound; critical wounds pierce;
damage spills; fixed save; ignore; half damage; damage -1; cover; lost; re-roll failed saves;
re-roll 1s to save; plus; then; no save; to hit; to wound
"""


@pytest.mark.parametrize("clause", [clause.strip() for clause in CLAUSES.split(";")])
def test_every_clause_that_changes_dice_is_among_the_thirty_attacks(clause: str) -> None:
    assert any(clause in attack_text(some_attack(seed)) for seed in range(30))


def test_a_simulation_of_another_attack_does_not_agree() -> None:
    attack = some_attack(0)
    found = odds(plan(attack, STANDARD))
    seen = simulate(some_attack(3), 100_000, np.random.default_rng(1))
    shares = np.bincount(seen["damage"], minlength=len(found.damage))[: len(found.damage)] / 100_000
    assert np.abs(shares - found.damage).max() > 0.01
