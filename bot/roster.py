"""A roster: what stands on one side, as plain values that a YAML file or a typed line fills.

A weapon with a range shoots; a weapon without one is for melee. The groups of a unit stand in the order in
which its owner loses them. Nothing here knows a game; what happened to a unit is kept in bot/game.py.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, fields

from resolver.amount import Amount, fixed
from resolver.attack import MOST_MODELS, Reroll, TargetGroup, WeaponGroup
from resolver.refused import Refused, within

LONGEST_NAME = 40
MOST_UNITS = 30
MOST_GROUPS = 10
MOST_WEAPONS = 10
LONGEST_MOVE = 100


def check_name(what: str, name: str) -> None:
    """Refuse a name that could not be typed back."""
    if not name.strip() or len(name) > LONGEST_NAME:
        raise Refused("name", f"the name of a {what} has 1 to {LONGEST_NAME} characters, got {name[:50]!r}")
    if not all(char.isprintable() for char in name) or any(char in ':,;#"\n' for char in name):
        raise Refused("name", f"the name of a {what} has no colon, comma or line break, got {name!r}")


def check_names(what: str, names: Iterable[str]) -> None:
    """Refuse names that stand twice."""
    seen: set[str] = set()
    for name in names:
        if name.casefold() in seen:
            raise Refused("name", f"two {what}s are called {name}")
        seen.add(name.casefold())


@dataclass(frozen=True, kw_only=True)
class Weapon:
    """One weapon of a stat line. `hit` None hits without a roll; the other fields are those of an attack."""

    name: str
    attacks: Amount
    hit: int | None
    strength: int | None = None
    wound: int | None = None
    ap: int = 0
    damage: Amount = field(default_factory=lambda: fixed(1))
    range: float | None = None
    half_double: bool = False
    half_plus: Amount | None = None
    per_five: int = 0
    to_hit: int = 0
    to_wound: int = 0
    reroll_hit: Reroll | None = None
    reroll_wound: Reroll | None = None
    critical_hit: int | None = None
    critical_wound: int | None = None
    extra_hits: Amount | None = None
    critical_hits_wound: bool = False
    critical_wounds_pierce: bool = False
    spills: bool = False

    def __post_init__(self) -> None:
        check_name("weapon", self.name)
        self.carried(1)

    @property
    def melee(self) -> bool:
        return self.range is None

    def carried(self, models: int) -> WeaponGroup:
        """This weapon in the hands of so many models."""
        values = {item.name: getattr(self, item.name) for item in fields(self) if item.name != "name"}
        return WeaponGroup(models=models, melee=self.melee, **values)


@dataclass(frozen=True, kw_only=True)
class Group:
    """Models of a unit that are alike: how they defend, and what each of them carries."""

    name: str
    models: int
    wounds: int = 1
    save: int | None = None
    fixed_save: int | None = None
    ignore: int | None = None
    reduce: int = 0
    halve: bool = False
    reroll_save: Reroll | None = None
    weapons: tuple[Weapon, ...] = ()

    def __post_init__(self) -> None:
        check_name("group", self.name)
        check_names("weapon", (weapon.name for weapon in self.weapons))
        within("number of weapons", len(self.weapons), 0, MOST_WEAPONS)
        self.defending(self.models)

    def defending(self, models: int, lost: int = 0, cover: bool = False) -> TargetGroup:
        """So many of these models as a target, the first of them already hurt by `lost`."""
        return TargetGroup(
            models=models,
            wounds=self.wounds,
            save=self.save,
            fixed_save=self.fixed_save,
            ignore=self.ignore,
            reduce=self.reduce,
            halve=self.halve,
            reroll_save=self.reroll_save,
            lost=lost,
            cover=cover,
        )


@dataclass(frozen=True, kw_only=True)
class Unit:
    """What moves and fights together. `also` are other names that it answers to."""

    name: str
    move: float
    toughness: int
    groups: tuple[Group, ...]
    also: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_name("unit", self.name)
        for name in self.also:
            check_name("unit", name)
        within("move", self.move, 0, LONGEST_MOVE)
        within("toughness", self.toughness, 1, 100)
        within("number of groups", len(self.groups), 1, MOST_GROUPS)
        check_names("group", (group.name for group in self.groups))
        within("number of models", self.models, 1, MOST_MODELS)

    @property
    def models(self) -> int:
        return sum(group.models for group in self.groups)


@dataclass(frozen=True, kw_only=True)
class Roster:
    """Everything that one side brings."""

    side: str
    units: tuple[Unit, ...]
    about: str = ""

    def __post_init__(self) -> None:
        check_name("side", self.side)
        within("number of units", len(self.units), 1, MOST_UNITS)
        check_names("unit", (name for unit in self.units for name in (unit.name, *unit.also)))
