"""A unit in one canonical line, as one reads it off a card; reads back as the same unit.

Other names of a unit (`also`) have no place in the line; a YAML roster keeps them.
"""

from __future__ import annotations

from collections.abc import Iterator

from bot.roster import Group, Unit, Weapon
from bot.wording import plural, signed
from resolver.attack import Reroll


def unit_text(unit: Unit) -> str:
    """`Kiln Guard: M5 T5 plus hammers: 5 models W3 save 2+, hammer A3 WS3+ S6 AP-1 damage 2`."""
    groups = "".join(f" plus {group_text(group)}" for group in unit.groups)
    return f"{unit.name}: M{unit.move:g} T{unit.toughness}{groups}"


def group_text(group: Group) -> str:
    """The models of one group and their weapons."""
    weapons = "".join(f", {weapon_line(weapon)}" for weapon in group.weapons)
    return f"{group.name}: {plural(group.models, 'model')} {' '.join(defence(group))}{weapons}"


def defence(group: Group) -> Iterator[str]:
    """What keeps a model of the group alive, clause by clause."""
    yield f"W{group.wounds}"
    yield "no save" if group.save is None else f"save {group.save}+"
    if group.fixed_save is not None:
        yield f"fixed save {group.fixed_save}+"
    if group.ignore is not None:
        yield f"ignore {group.ignore}+"
    if group.reduce:
        yield f"damage -{group.reduce}"
    if group.halve:
        yield "half damage"
    yield from _reroll(group.reroll_save, "save")


def weapon_line(weapon: Weapon) -> str:
    """A weapon's name and numbers."""
    return f"{weapon.name} {' '.join(_clauses(weapon))}"


def _clauses(weapon: Weapon) -> Iterator[str]:
    if weapon.range is not None:
        yield f"range {weapon.range:g}"
    yield f"A{weapon.attacks}" if not weapon.attacks.dice else f"{weapon.attacks} attacks"
    if weapon.hit is None:
        yield "auto hit"
    else:
        yield f"{'WS' if weapon.melee else 'BS'}{weapon.hit}+"
    if weapon.strength is not None:
        yield f"S{weapon.strength}"
    if weapon.wound is not None:
        yield f"wound {weapon.wound}+"
    if weapon.ap:
        yield f"AP-{weapon.ap}"
    yield f"damage {weapon.damage}"
    yield from _bonuses(weapon)
    yield from _reroll(weapon.reroll_hit, "hit")
    yield from _reroll(weapon.reroll_wound, "wound")
    yield from _criticals(weapon)
    if weapon.spills:
        yield "damage spills"


def _bonuses(weapon: Weapon) -> Iterator[str]:
    if weapon.half_double:
        yield "half range double attacks"
    if weapon.half_plus is not None:
        yield f"half range +{weapon.half_plus} attacks"
    if weapon.per_five:
        yield f"+{weapon.per_five} attacks per 5 targets"
    for number, step in ((weapon.to_hit, "hit"), (weapon.to_wound, "wound")):
        if number:
            yield f"{signed(number)} to {step}"


def _criticals(weapon: Weapon) -> Iterator[str]:
    if weapon.critical_hit is not None:
        yield f"critical hits on {weapon.critical_hit}+"
    if weapon.critical_wound is not None:
        yield f"critical wounds on {weapon.critical_wound}+"
    if weapon.extra_hits is not None:
        yield f"critical hits score {weapon.extra_hits} extra hits"
    if weapon.critical_hits_wound:
        yield "critical hits wound"
    if weapon.critical_wounds_pierce:
        yield "critical wounds pierce"


def _reroll(reroll: Reroll | None, step: str) -> Iterator[str]:
    if reroll is not None:
        yield f"re-roll {reroll} to {step}"
