"""The reasons of a plan in short plain sentences, where no single check carries them."""

from __future__ import annotations

from collections.abc import Sequence

from resolver.attack import Attack, TargetGroup, WeaponGroup
from resolver.check import Check
from resolver.ruleset import Step


def attack_reasons(weapon: WeaponGroup, attack: Attack, near: bool, each: int) -> list[str]:
    """Why there are so many attacks; `near` is within half range, `each` the bonus of each model."""
    reasons = []
    if weapon.has_half_bonus:
        within = "within" if near else "beyond"
        half = f"{weapon.range / 2 if weapon.range else 0:g}"
        reasons.append(f'{attack.distance:g}" is {within} half range, {half}"')
    if near and weapon.half_double:
        reasons.append("half range doubles the attacks")
    if near and weapon.half_plus is not None:
        reasons.append(half_plus_reason(weapon))
    if weapon.per_five:
        reasons.append(f"{attack.target.models} target models add {many(each, 'attack')} for each model")
    return reasons


def half_plus_reason(weapon: WeaponGroup) -> str:
    """What half range adds."""
    return f"half range adds {many(weapon.half_plus, 'attack')} for each model"


def many(amount: object, noun: str) -> str:
    """An amount and its noun: "1 attack", "d3 attacks"."""
    return f"{amount} {noun}" if str(amount) == "1" else f"{amount} {noun}s"


def save_reasons(saves: tuple[Check, ...]) -> list[str]:
    """Why each target group saves on what it does."""
    several = sum(bool(save.one_again) for save in saves) > 1
    shared = ["of the whole save step one die is thrown again"] if several else []
    return by_group([save.reasons for save in saves]) + shared


def by_group(reasons: Sequence[Sequence[str]]) -> list[str]:
    """The reasons of each target group, each once; one that is not every group's has the group's number."""
    shared = set(reasons[0]).intersection(*reasons)
    said = [
        why if why in shared else f"group {number}: {why}" for number, whys in enumerate(reasons, 1) for why in whys
    ]
    return list(dict.fromkeys(said))


def damage_reasons(weapon: WeaponGroup, groups: tuple[TargetGroup, ...]) -> list[str]:
    """What becomes of damage before models lose it, ignore rolls apart."""
    spilling = ["damage past a model's last wound spills onto the next"] if weapon.spills else []
    return spilling + by_group([_lessening(group) for group in groups])


def _lessening(group: TargetGroup) -> list[str]:
    reasons = ["damage is halved, rounding up"] if group.halve else []
    return reasons + ([f"damage is reduced by {group.reduce}, but never below 1"] if group.reduce else [])


def idle_reasons(weapon: WeaponGroup, order: tuple[Step, ...]) -> list[str]:
    """What was said but has no effect, plainly."""
    reasons = []
    if weapon.hit is None:
        reasons.append("hits automatically: no hit dice, so no critical hits")
        critical = weapon.critical_hit or weapon.extra_hits or weapon.critical_hits_wound
        if weapon.to_hit or weapon.reroll_hit or critical:
            reasons.append("what was said of hit rolls and critical hits has no effect on automatic hits")
    if Step.WOUND not in order and (weapon.critical_hits_wound or weapon.critical_wounds_pierce):
        reasons.append("there is no wound roll, so what was said of critical wounds has no effect")
    if weapon.critical_wounds_pierce and order[-1] is not Step.SAVE:
        reasons.append("saves are made before wounds, so piercing has no effect")
    return reasons
