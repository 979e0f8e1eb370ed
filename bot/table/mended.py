"""The mended attack: changes put into it, and the faces that were rolled put under the right numbers."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from bot.misread import Unsure
from bot.reading.changes import Change
from resolver.attack import Attack, TargetGroup, WeaponGroup
from resolver.live import Throw, roll
from resolver.plan import Plan
from resolver.refused import Refused

Handful = tuple[str, str, bool, int]  # weapon, step, whether thrown again, number of faces


def changed(
    attack: Attack, changes: Sequence[Change], weapons: Sequence[str], groups: Sequence[str], text: str
) -> Attack:
    """The attack with the changes in it. A weapon's change with several weapons needs the weapon's name."""
    for change in changes:
        attack = _changed(attack, change, weapons, groups, text)
    return attack


def _changed(attack: Attack, change: Change, weapons: Sequence[str], groups: Sequence[str], text: str) -> Attack:
    values = {change.key: change.value}
    if change.where == "target":
        return replace(attack, target=replace(attack.target, **values))
    if change.where == "weapon" or change.key in ("to_hit", "to_wound"):
        chosen = _chosen(change, attack.weapons, weapons, text)
        new = tuple(replace(w, **values) if i in chosen else w for i, w in enumerate(attack.weapons))
        return replace(attack, weapons=new)
    if change.where == "group" or change.key == "cover":
        every = range(len(groups))
        chosen = set(every) if change.key == "cover" else _chosen(change, attack.target.groups, groups, text)
        made = tuple(replace(g, **values) if i in chosen else g for i, g in enumerate(attack.target.groups))
        return replace(attack, target=replace(attack.target, groups=made))
    if change.key == "distance":
        return replace(attack, distance=change.value)
    raise Refused(change.key, f"the {change.key} of this attack can't be corrected; undo it and roll again")


def _chosen(
    change: Change, things: Sequence[WeaponGroup] | Sequence[TargetGroup], names: Sequence[str], text: str
) -> set[int]:
    """Which of the groups the change is for: the one named, or all if they agree on the value now."""
    if change.name is not None:
        return {i for i, name in enumerate(names) if name == change.name}
    values = {str(getattr(thing, change.key)) for thing in things}
    if len(values) > 1:
        choices = tuple(f"{text.removesuffix(said_of(text))}{name} {said_of(text)}" for name in dict.fromkeys(names))
        raise Unsure("for which of them?", choices)
    return set(range(len(things)))


def said_of(text: str) -> str:
    """The change in the message of a correction: what stands after its number."""
    return text.split(maxsplit=2)[-1]


def handfuls(planned: Plan, faces: Sequence[Mapping[str, Any]], names: Sequence[str]) -> dict[Handful, deque[int]]:
    """The faces of a rolled attack by weapon, step and throw, found by rolling it again with them."""
    first = [{step: deque(die[0] for die in dice) for step, dice in group.items()} for group in faces]
    again = [{step: deque(die[1] for die in dice if len(die) > 1) for step, dice in group.items()} for group in faces]
    pool: dict[Handful, deque[int]] = defaultdict(deque)

    def source(throw: Throw) -> list[int]:
        queue = (again if throw.again else first)[throw.weapon][throw.step]
        taken = [queue.popleft() for _ in range(throw.count)]
        pool[names[throw.weapon], throw.step, throw.again, throw.sides].extend(taken)
        return taken

    roll(planned, source)
    return pool


class Reused:
    """A source that serves the old faces first and draws only the dice that are missing."""

    def __init__(
        self, pool: dict[Handful, deque[int]], names: Sequence[str], draw: Callable[[Throw], Sequence[int]]
    ) -> None:
        self._pool = pool
        self._names = names
        self._draw = draw
        self.reused = self.drawn = 0

    @property
    def unused(self) -> int:
        """Old faces that the mended attack does not need."""
        return sum(map(len, self._pool.values()))

    def __call__(self, throw: Throw) -> list[int]:
        old = self._pool[self._names[throw.weapon], throw.step, throw.again, throw.sides]
        faces = [old.popleft() for _ in range(min(throw.count, len(old)))]
        missing = throw.count - len(faces)
        self.reused += len(faces)
        self.drawn += missing
        return faces + list(self._draw(replace(throw, count=missing)) if missing else [])
