"""The reasons of a plan in short plain sentences, where no single check carries them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.check import Check
from resolver.ruleset import Step


def range_reasons(weapon: WeaponGroup, attack: Attack, near: bool) -> list[str]:
    """Whether the target is `near`, within half range, for a weapon to which it matters."""
    if not weapon.has_half_bonus:
        return []
    half = f"{weapon.range / 2 if weapon.range else 0:g}"
    return [f'{attack.distance:g}" is {"within" if near else "beyond"} half range, {half}"']


def more_reasons(weapon: WeaponGroup, attack: Attack, near: bool, each: int) -> list[str]:
    """Why there are more attacks than the weapon has alone; `each` is the bonus of each model."""
    reasons = []
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
    if not any(reasons):
        return []
    shared = set(reasons[0]).intersection(*reasons)
    said = [
        why if why in shared else f"group {number}: {why}" for number, whys in enumerate(reasons, 1) for why in whys
    ]
    return list(dict.fromkeys(said))


def called(reasons: Sequence[str], names: Sequence[str]) -> tuple[str, ...]:
    """The reasons with the target groups called by these names; what several groups have is said once."""
    found: dict[str, list[str]] = {}
    for reason in reasons:
        match = _GROUP.match(reason)
        whose = found.setdefault(reason[match.end() :] if match else reason, [])
        whose += [names[int(match[1]) - 1]] if match else []
    return tuple(f"{' and '.join(whose)}: {why}" if whose else why for why, whose in found.items())


_GROUP = re.compile(r"group (\d+): ")  # as by_group writes it


def damage_reasons(weapon: WeaponGroup, groups: tuple[TargetGroup, ...]) -> list[str]:
    """What becomes of damage before models lose it, ignore rolls apart."""
    spilling = ["damage past a model's last wound spills onto the next"] if weapon.spills else []
    return spilling + by_group([_lessening(group) for group in groups])


def _lessening(group: TargetGroup) -> list[str]:
    reasons = ["damage is halved, rounding up"] if group.halve else []
    return reasons + ([f"damage is reduced by {group.reduce}, but never below 1"] if group.reduce else [])


def idle_reasons(
    weapon: WeaponGroup, target: Target, saves: Sequence[Check], steps: Sequence[Step]
) -> tuple[str, ...]:
    """What was said but has no effect in a game of these steps, plainly."""
    reasons = []
    critical = weapon.critical_hit or weapon.extra_hits or weapon.critical_hits_wound
    if weapon.hit is None and (weapon.to_hit or weapon.reroll_hit or critical):
        reasons.append("what was said of hit rolls and critical hits has no effect on automatic hits")
    if Step.WOUND not in steps:
        reasons += _without(Step.WOUND, _of_wounds(weapon, target))
    if Step.SAVE not in steps:
        reasons += _without(Step.SAVE, _of_saves(weapon, target))
    elif Step.WOUND in steps and weapon.critical_wounds_pierce and steps[-1] is not Step.SAVE:
        reasons.append("saves are made before wounds, so piercing has no effect")
    reasons += by_group([_idle_save(group, save) for group, save in zip(target.groups, saves, strict=True)])
    return tuple(reasons)


def _without(step: Step, said: Mapping[str, object]) -> list[str]:
    """The sentence on what was said of a step that the game is played without."""
    idle = [name for name, value in said.items() if value]
    if not idle:
        return []
    names = idle[0] if len(idle) == 1 else f"{', '.join(idle[:-1])} and {idle[-1]}"
    return [f"there is no {step} roll, so {names} {'has' if len(idle) == 1 else 'have'} no effect"]


def _of_wounds(weapon: WeaponGroup, target: Target) -> dict[str, object]:
    """All that bears on wound rolls alone, by what players call it."""
    return {
        "strength": weapon.strength,
        "toughness": target.toughness,
        "the wound number": weapon.wound,
        "the modifier to wound": weapon.to_wound,
        "the re-roll of wounds": weapon.reroll_wound,
        "the number of critical wounds": weapon.critical_wound,
        "wounding by critical hits": weapon.critical_hits_wound,
        "piercing by critical wounds": weapon.critical_wounds_pierce,
    }


def _of_saves(weapon: WeaponGroup, target: Target) -> dict[str, object]:
    """All that bears on save rolls alone, by what players call it."""
    groups = target.groups
    return {
        "AP": weapon.ap,
        "the save": any(group.save for group in groups),
        "the fixed save": any(group.fixed_save for group in groups),
        "cover": any(group.cover for group in groups),
        "the re-roll of saves": any(group.reroll_save for group in groups),
        "piercing by critical wounds": weapon.critical_wounds_pierce,
    }


def _idle_save(group: TargetGroup, save: Check) -> list[str]:
    """What was said of the group's save where there is none."""
    reasons = []
    if group.reroll_save is not None and not save.thrown:
        reasons.append("no saves are thrown, so their re-roll has no effect")
    if group.cover and group.save is None:
        reasons.append("cover helps armour alone and there is none, so it has no effect")
    return reasons
