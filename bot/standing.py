"""How a game stands: sides, units, what is left of them, what they did this turn. Values only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from bot.roster import Group, Unit

Key = tuple[str, str]  # the names of a side and of one of its units
Pair = frozenset[Key]


@dataclass(frozen=True)
class Deed:
    """Something a unit did (or that was done to it): `what` in the words of the ruleset's permissions."""

    what: str
    entry: int
    round: int
    turn: str


@dataclass(frozen=True)
class Standing:
    """One unit in play. `left` has for each group (models left, wounds lost by the first of them)."""

    unit: Unit
    left: tuple[tuple[int, int], ...]
    order: tuple[int, ...]
    deeds: tuple[Deed, ...] = ()

    @property
    def name(self) -> str:
        return self.unit.name

    @property
    def models(self) -> int:
        return sum(models for models, _ in self.left)

    @property
    def groups(self) -> tuple[tuple[int, Group, int, int], ...]:
        """(index, group, models left, wounds lost) in the order in which the owner loses them."""
        return tuple((i, self.unit.groups[i], *self.left[i]) for i in self.order)

    def hurt(self, index: int, points: int) -> Standing:
        """The unit after one of its groups has lost (or, below zero, regained) so many wounds."""
        group = self.unit.groups[index]
        models, lost = self.left[index]
        health = min(max(models * group.wounds - lost - points, 0), group.models * group.wounds)
        models = -(-health // group.wounds)
        return self.with_left(index, models, models * group.wounds - health)

    def with_left(self, index: int, models: int, lost: int) -> Standing:
        left = list(self.left)
        left[index] = (models, lost if models else 0)
        return replace(self, left=tuple(left))


def fresh(unit: Unit) -> Standing:
    """A unit as it comes to the table."""
    return Standing(unit, tuple((group.models, 0) for group in unit.groups), tuple(range(len(unit.groups))))


@dataclass(frozen=True)
class Side:
    """One side: who sits on it, its score, its units, and whether it has agreed to own dice."""

    name: str
    units: tuple[Standing, ...] = ()
    seats: tuple[str, ...] = ()
    score: int = 0
    own_dice: bool = False


@dataclass(frozen=True)
class Proposal:
    """Something that is not the asker's alone to do: it happens when one of `sides` or `people` says `agreed`.

    A later one by the same person with the same `about` takes its place.
    """

    entry: int
    who: str
    text: str
    sides: tuple[str, ...]
    about: str
    people: tuple[str, ...] = ()


@dataclass(frozen=True)
class Place:
    """A moment of the game: the round from 1, the side whose turn it is, the phase."""

    round: int
    turn: str
    phase: str


@dataclass(frozen=True)
class Game:
    """A whole table. `step` counts the phases that have passed, over all rounds and turns."""

    entry: int
    opener: str
    ruleset: str
    rounds: int
    phases: tuple[str, ...]
    sides: tuple[Side, ...] = ()
    order: tuple[str, ...] = ()
    step: int = 0
    rolled_off: bool = False
    engaged: Mapping[Pair, int] = field(default_factory=dict)
    distances: Mapping[Pair, float] = field(default_factory=dict)
    proposals: tuple[Proposal, ...] = ()
    resting: bool = False
    open: bool = True
    last: int = 0

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """The transition table: every moment in order, and each is followed by the next."""
        turns = self.order or ("",)
        return tuple(
            Place(round_, turn, phase)
            for round_ in range(1, self.rounds + 1)
            for turn in turns
            for phase in self.phases
        )

    def stepped(self, by: int) -> Game:
        """The game so many phases later, or earlier."""
        return replace(self, step=min(max(self.step + by, 0), len(self.places)))

    @property
    def over(self) -> bool:
        return self.step >= len(self.places)

    @property
    def place(self) -> Place:
        return self.places[min(self.step, len(self.places) - 1)]

    @property
    def units(self) -> dict[Key, Standing]:
        return {(side.name, standing.name): standing for side in self.sides for standing in side.units}

    def side(self, name: str) -> Side:
        return next(side for side in self.sides if side.name == name)

    def did(self, key: Key) -> dict[str, int]:
        """What the unit did this turn, each with its entry; `engaged` stays until it is ended."""
        here = self.place
        deeds = {
            deed.what: deed.entry
            for deed in self.units[key].deeds
            if (deed.round, deed.turn) == (here.round, here.turn)
        }
        engaged = [entry for pair, entry in self.engaged.items() if key in pair]
        return deeds | ({"engaged": engaged[-1]} if engaged else {})

    def foes(self, key: Key) -> tuple[Key, ...]:
        """The units that this one is engaged with."""
        return tuple(other for pair in self.engaged if key in pair for other in pair if other != key)

    def state(self) -> dict[str, Any]:
        """The whole state as plain JSON."""
        here = self.place
        return {
            "open": self.open,
            "ruleset": self.ruleset,
            "round": here.round,
            "turn": here.turn,
            "phase": here.phase,
            "sides": [self._side_state(side) for side in self.sides],
            "distances": [
                {"between": sorted(name for _, name in pair), "inches": inches}
                for pair, inches in self.distances.items()
            ],
            "resting": self.resting,
            "over": self.over,
        }

    def _side_state(self, side: Side) -> dict[str, Any]:
        return {
            "name": side.name,
            "seats": list(side.seats),
            "score": side.score,
            "own_dice": side.own_dice,
            "units": [self._unit_state(side, standing) for standing in side.units],
        }

    def _unit_state(self, side: Side, standing: Standing) -> dict[str, Any]:
        key = (side.name, standing.name)
        return {
            "name": standing.name,
            "models_left": standing.models,
            "models": standing.unit.models,
            "groups": [
                {"name": group.name, "models": models, "lost": lost}
                for _, group, models, lost in standing.groups
            ],
            "did": [what for what in self.did(key) if what != "engaged"],
            "engaged": bool(self.foes(key)),
        }
