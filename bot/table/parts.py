"""Models and weapons that are named instead of their unit: whose they are, and what can be said of the unit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from bot.misread import Unsure
from bot.naming import folded
from bot.roster import Weapon
from bot.standing import Game, Key, Standing


@dataclass(frozen=True)
class Part:
    """A group of models, or a weapon of theirs: its name, and how many of them (of how many) are left.

    `lost` are the wounds that the first of them has lost; `group` is None for a weapon.
    """

    key: Key
    name: str
    models: int
    of: int
    lost: int
    weapons: tuple[Weapon, ...]
    group: str | None = None

    @property
    def belongs(self) -> str:
        """Whose it is."""
        if self.group is None:
            return f"the {self.name} is carried by the {self.key[1]}"
        return f"the {self.name} {'is' if self.of == 1 else 'are'} in the {self.key[1]}"

    @property
    def left(self) -> str:
        """What is left of it."""
        whose = self.name if self.group else f"models with {self.name}"
        lost = f", one has lost {self.lost}" if self.lost else ""
        return f"{whose}: {self.models} of {self.of} left{lost}" if self.models else f"{whose}: none left"


def parts(game: Game) -> Iterator[Part]:
    """Every group and every weapon on the table."""
    for key, standing in game.units.items():
        for _, group, models, lost in standing.groups:
            yield Part(key, group.name, models, group.models, lost, group.weapons, group.name)
        for name in dict.fromkeys(weapon.name for group in standing.unit.groups for weapon in group.weapons):
            yield _weapon(key, standing, name)


def _weapon(key: Key, standing: Standing, name: str) -> Part:
    carry = [(group, models) for _, group, models, _ in standing.groups if name in (w.name for w in group.weapons)]
    weapons = tuple(weapon for group, _ in carry for weapon in group.weapons if weapon.name == name)
    return Part(key, name, sum(models for _, models in carry), sum(group.models for group, _ in carry), 0, weapons)


def named_parts(game: Game, words: str, sides: Iterable[str] = ()) -> tuple[Part, ...]:
    """The parts that the words name, whole word for word; one for each unit, and groups before weapons."""
    said, wanted = set(folded(words).split()), set(sides)
    found: dict[Key, Part] = {}
    for part in parts(game):
        if said and said <= set(folded(part.name).split()) and (not wanted or part.key[0] in wanted):
            found.setdefault(part.key, part)
    return tuple(found.values())


def of_their_units(request: Any, field: str, found: tuple[Part, ...]) -> Unsure:
    """What is asked back: the same of the whole unit, or of it with the weapons of that part."""
    choices = [str(meant) for part in found for meant in _meant(request, field, part)]
    rule = "a unit acts as one" if field == "unit" else "an attack is aimed at a unit"
    belongs = " and ".join(part.belongs for part in found)
    return Unsure(f"{belongs}, and {rule}", tuple(dict.fromkeys(choices)))


def _meant(request: Any, field: str, part: Part) -> Iterator[Any]:
    whole = replace(request, **{field: part.key[1]})
    if field == "unit" and hasattr(request, "group"):
        whole = replace(whole, group=request.group or part.group)
    yield whole
    if field == "unit" and part.models and getattr(request, "weapons", None) == ():
        melee = request.action == "fight"
        names = tuple(dict.fromkeys(weapon.name for weapon in part.weapons if weapon.melee == melee))
        if names:
            yield replace(whole, weapons=names)
