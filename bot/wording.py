"""The canonical words of an attack: what every answer opens with, and what reads back as the same attack."""

from __future__ import annotations

from collections.abc import Iterator

from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup


def plural(number: int | float, noun: str) -> str:
    """A number and its noun: "1 model", "2 models"."""
    return f"{number:g} {noun}" if number == 1 else f"{number:g} {noun}s"


def signed(number: int) -> str:
    """A modifier with its sign."""
    return f"{number:+d}"


def attack_text(attack: Attack) -> str:
    """The whole attack in one canonical line."""
    weapons = " plus ".join(weapon_text(weapon) for weapon in attack.weapons)
    distance = "" if attack.distance is None else f", at {attack.distance:g}"
    return f"{weapons}{distance} into {target_text(attack.target)}"


def weapon_text(weapon: WeaponGroup) -> str:
    """One weapon group."""
    return ", ".join(_weapon_clauses(weapon))


def target_text(target: Target) -> str:
    """The target: its toughness, then its groups in order."""
    toughness = () if target.toughness is None else (f"T{target.toughness}",)
    if len(target.groups) == 1:
        return ", ".join((*toughness, *_group_clauses(target.groups[0])))
    groups = " then ".join(", ".join(_group_clauses(group)) for group in target.groups)
    return f"{''.join(toughness)}: {groups}"


def _weapon_clauses(weapon: WeaponGroup) -> Iterator[str]:
    attacks = str(weapon.attacks)
    noun = "attack" if attacks == "1" else "attacks"
    each = f"{plural(weapon.models, 'model')} with " if weapon.models > 1 else ""
    yield f"{each}{attacks} {noun}{' each' if each else ''}"
    if weapon.melee:
        yield "melee"
    yield "auto hit" if weapon.hit is None else f"hit {weapon.hit}+"
    if weapon.strength is not None:
        yield f"S{weapon.strength}"
    if weapon.wound is not None:
        yield f"wound {weapon.wound}+"
    if weapon.ap:
        yield f"AP-{weapon.ap}"
    yield f"damage {weapon.damage}"
    if weapon.to_hit:
        yield f"{signed(weapon.to_hit)} to hit"
    if weapon.to_wound:
        yield f"{signed(weapon.to_wound)} to wound"
    yield from _reroll(weapon.reroll_hit, "hit", "hits")
    yield from _reroll(weapon.reroll_wound, "wound", "wounds")
    yield from _critical_clauses(weapon)
    yield from _range_clauses(weapon)
    if weapon.spills:
        yield "damage spills"


def _critical_clauses(weapon: WeaponGroup) -> Iterator[str]:
    if weapon.critical_hit is not None:
        yield f"critical hits on {weapon.critical_hit}+"
    if weapon.critical_wound is not None:
        yield f"critical wounds on {weapon.critical_wound}+"
    if weapon.extra_hits is not None:
        yield f"critical hits score {weapon.extra_hits} extra {'hit' if str(weapon.extra_hits) == '1' else 'hits'}"
    if weapon.critical_hits_wound:
        yield "critical hits wound"
    if weapon.critical_wounds_pierce:
        yield "critical wounds pierce"


def _range_clauses(weapon: WeaponGroup) -> Iterator[str]:
    if weapon.range is not None:
        yield f"range {weapon.range:g}"
    if weapon.half_double:
        yield "half range double attacks"
    if weapon.half_plus is not None:
        yield f"half range +{weapon.half_plus} {'attack' if str(weapon.half_plus) == '1' else 'attacks'}"
    if weapon.per_five:
        yield f"+{weapon.per_five} {'attack' if weapon.per_five == 1 else 'attacks'} per 5 targets"


def _group_clauses(group: TargetGroup) -> Iterator[str]:
    if group.models is not None:
        yield plural(group.models, "model")
    yield "no save" if group.save is None else f"save {group.save}+"
    if group.fixed_save is not None:
        yield f"fixed save {group.fixed_save}+"
    yield f"W{group.wounds}"
    if group.lost:
        yield f"{plural(group.lost, 'wound')} lost"
    if group.ignore is not None:
        yield f"ignore {group.ignore}+"
    if group.cover:
        yield "cover"
    if group.reduce:
        yield f"damage -{group.reduce}"
    if group.halve:
        yield "half damage"
    yield from _reroll(group.reroll_save, "save", "saves")


def _reroll(reroll: Reroll | None, one: str, many: str) -> Iterator[str]:
    if reroll is Reroll.ONES:
        yield f"re-roll 1s to {one}"
    elif reroll is Reroll.ONE_FAILED:
        yield f"re-roll one failed {one}"
    elif reroll is not None:
        yield f"re-roll {reroll} {many}"
