"""The rules of one way to play, as plain values that a YAML file fills. No rule is decided here, only stated.

A ruleset that contradicts itself cannot be built: each class complains with Refused, whose name is the path of
keys to the value complained of (`wound_chart.half`, `phases[2].id`), and the loader adds file and line.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import pairwise, product

from resolver.amount import Amount
from resolver.attack import LARGEST_NUMBER
from resolver.refused import Refused

MOST_MOVEMENT_DICE = 10
LONGEST = 1000  # inches


def _between(key: str, subject: str, value: float, low: float, high: float) -> None:
    """Raise Refused, naming the key of the ruleset, unless low <= value <= high."""
    if not low <= value <= high:
        raise Refused(key, f"{subject} lies between {low:g} and {high:g}, got {value:g}")


class Step(StrEnum):
    """The dice steps of an attack that a ruleset puts in order."""

    HIT = "hit"
    WOUND = "wound"
    SAVE = "save"


class Feature(StrEnum):
    """What a ruleset may leave out."""

    MODIFIERS = "modifiers"
    COVER = "cover"
    HALF_RANGE = "half range"
    REROLLS = "re-rolls"
    CRITICALS = "critical effects"
    FIXED_SAVES = "fixed saves"
    IGNORE = "ignore rolls"


@dataclass(frozen=True, kw_only=True)
class RatioChart:
    """The number needed to wound, by how strength compares with toughness (common practice, no source)."""

    double: int
    stronger: int
    equal: int
    weaker: int
    half: int

    def needed(self, strength: int, toughness: int) -> tuple[int, str]:
        """The natural number needed, and why."""
        versus = f"strength {strength} against toughness {toughness}"
        if strength >= 2 * toughness:
            return self.double, f"{versus}: at least double, so {self.double}+"
        if strength > toughness:
            return self.stronger, f"{versus}: stronger, so {self.stronger}+"
        if strength == toughness:
            return self.equal, f"{versus}: equal, so {self.equal}+"
        if 2 * strength <= toughness:
            return self.half, f"{versus}: half or less, so {self.half}+"
        return self.weaker, f"{versus}: weaker, so {self.weaker}+"

    @property
    def keyed(self) -> dict[str, int]:
        """Every number of the chart by its key, the strongest weapon first."""
        names = ("double", "stronger", "equal", "weaker", "half")
        return {name: getattr(self, name) for name in names}


@dataclass(frozen=True, kw_only=True)
class DifferenceChart:
    """`equal` when strength equals toughness; easier or harder by one for every `points` of strength between them.

    A part of `points` counts for nothing, and no number is better than `best` or worse than `worst`.
    """

    equal: int
    points: int = 1
    best: int
    worst: int

    def __post_init__(self) -> None:
        _between("points", "the points for each step of the chart", self.points, 1, 20)
        if not self.best <= self.equal <= self.worst:
            raise Refused("best" if self.best > self.equal else "worst", "best <= equal <= worst must hold")

    def needed(self, strength: int, toughness: int) -> tuple[int, str]:
        """The natural number needed, and why."""
        gap = strength - toughness
        steps = abs(gap) // self.points
        number = self.equal - steps if gap > 0 else self.equal + steps
        number = min(max(number, self.best), self.worst)
        how = "equal" if not gap else f"{abs(gap)} {'stronger' if gap > 0 else 'weaker'}"
        return number, f"strength {strength} against toughness {toughness}: {how}, so {number}+"

    @property
    def keyed(self) -> dict[str, int]:
        """The best, the middle and the worst number of the chart by their keys."""
        return {"best": self.best, "equal": self.equal, "worst": self.worst}


@dataclass(frozen=True, kw_only=True)
class TableChart:
    """A number for each difference of strength and toughness: the first for `lowest`, the next for one more.

    Beyond its ends the table is held at its first and last number.
    """

    lowest: int
    numbers: tuple[int, ...]

    def __post_init__(self) -> None:
        _between("lowest", "the lowest difference of the table", self.lowest, -100, 100)
        if not self.numbers:
            raise Refused("numbers", "the table has at least one number")

    def needed(self, strength: int, toughness: int) -> tuple[int, str]:
        """The natural number needed, and why."""
        gap = strength - toughness
        highest = self.lowest + len(self.numbers) - 1
        held = min(max(gap, self.lowest), highest)
        number = self.numbers[held - self.lowest]
        how = f"difference {gap:+d}" if gap else "no difference"
        if held != gap:
            how += f", read as {held:+d}"
        return number, f"strength {strength} against toughness {toughness}: {how}, so {number}+"

    @property
    def keyed(self) -> dict[str, int]:
        """Every number of the table by its place, the strongest weapon first."""
        return {f"numbers[{place}]": number for place, number in reversed([*enumerate(self.numbers)])}


WoundChart = RatioChart | DifferenceChart | TableChart


@dataclass(frozen=True, kw_only=True)
class PhaseRule:
    """One phase of a turn: its id and what may be done in it, in the order of doing."""

    id: str
    title: str
    actions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Movement:
    """Distances in inches and the dice of moving (common practice, no source)."""

    advance: Amount
    charge: Amount
    charge_within: float
    engaged_within: float
    coherency: float

    def __post_init__(self) -> None:
        for key, amount in (("advance", self.advance), ("charge", self.charge)):
            _between(key, f"the number of {key} dice", amount.dice, 0, MOST_MOVEMENT_DICE)
            _between(key, f"the largest {key} roll", amount.high, 1, LONGEST)
            _between(key, f"the number of faces of the {key} dice", amount.sides, 0, LARGEST_NUMBER)
        _between("engaged_within", "the distance of engagement", self.engaged_within, 0, LONGEST)
        _between("charge_within", "the longest charge", self.charge_within, self.engaged_within, LONGEST)
        _between("coherency", "coherency", self.coherency, 0, LONGEST)


# What a unit does, and how it may stand when it wants to; permissions speak of nothing else.
ACTIONS = ("move", "advance", "fall back", "shoot", "charge", "fight")
CONDITIONS = (
    *(f"after {action}" for action in ACTIONS),
    "after failed charge",
    "engaged",
    "not engaged",
    "in the other turn",
)


def _known(key: str, values: tuple[str, ...], known: tuple[str, ...]) -> None:
    strange = [value for value in values if value not in known]
    if strange or not values:
        got = ", ".join(strange) or "none"
        raise Refused(key, f"{key} are among {', '.join(known)}; got {got}")


@dataclass(frozen=True, kw_only=True)
class Permission:
    """May each of `actions` be done under each of `conditions` (from ACTIONS and CONDITIONS)?

    `allowed` is yes, no or depends; `because` gives the reason and may carry {names} of the ruleset's
    values; `entry` is the glossary's entry to read on.
    """

    actions: tuple[str, ...]
    conditions: tuple[str, ...]
    allowed: str
    because: str
    entry: str

    def __post_init__(self) -> None:
        if self.allowed not in ("yes", "no", "depends"):
            raise Refused("allowed", f"allowed is yes, no or depends, got {self.allowed}")
        _known("actions", self.actions, ACTIONS)
        _known("conditions", self.conditions, CONDITIONS)


@dataclass(frozen=True, kw_only=True)
class Ruleset:
    """One way to play. `die` is a number of faces; the highest always passes the steps of `natural_pass`.

    Natural faces up to `natural_fail` fail every step, whatever the number needed; 0 if none does.
    """

    id: str
    title: str
    about: str
    die: int
    steps: tuple[Step, ...]
    natural_fail: int
    natural_pass: tuple[Step, ...]
    modifier_cap: int
    best_save: int
    cover: int
    without: tuple[Feature, ...] = ()
    wound_chart: WoundChart | None
    movement: Movement
    phases: tuple[PhaseRule, ...]
    rounds: int
    permissions: tuple[Permission, ...] = field(default=())

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", self.id):
            raise Refused("id", "an id is lower-case words joined by hyphens")
        _between("die", "the number of faces of the die", self.die, 3, LARGEST_NUMBER)
        _between("natural_fail", "the highest face that always fails", self.natural_fail, 0, self.die - 1)
        _between("modifier_cap", "the modifier cap", self.modifier_cap, 0, self.die)
        _between("best_save", "the best save", self.best_save, self.natural_fail + 1, self.die)
        _between("cover", "the help of cover", self.cover, 0, self.die)
        _between("rounds", "the number of rounds", self.rounds, 1, 100)
        self._check_without("modifier_cap", self.modifier_cap, Feature.MODIFIERS)
        self._check_without("cover", self.cover, Feature.COVER)
        self._check_steps()
        self._check_chart()
        self._check_phases()
        self._check_permissions()

    def _check_without(self, key: str, number: int, feature: Feature) -> None:
        if number and not self.has(feature):
            raise Refused(key, f"a game without {feature.value} has 0 here, got {number}")

    def _check_steps(self) -> None:
        if len(set(self.steps)) != len(self.steps) or Step.HIT not in self.steps:
            raise Refused("steps", "steps name each step once, and hit is among them")
        if self.steps[0] is not Step.HIT:
            raise Refused("steps", "the hit step comes first")
        missing = [step for step in self.natural_pass if step not in self.steps]
        if missing:
            raise Refused("natural_pass", f"names the step {missing[0]}, which is not among the steps")

    def _check_chart(self) -> None:
        if (Step.WOUND in self.steps) != (self.wound_chart is not None):
            raise Refused("wound_chart", "a wound chart goes with a wound step, and with nothing else")
        if self.wound_chart is None:
            return
        keyed = [(f"wound_chart.{key}", number) for key, number in self.wound_chart.keyed.items()]
        for key, number in keyed:
            _between(key, "a number of the chart", number, self.natural_fail + 1, self.die)
        for (key, number), (_, weaker) in pairwise(keyed):
            if number > weaker:
                why = f"a stronger weapon never needs a higher number, got {number} beside {weaker}"
                raise Refused(key, why)

    def _check_phases(self) -> None:
        ids = [phase.id for phase in self.phases]
        if not ids:
            raise Refused("phases", "there is at least one phase")
        for place, id in enumerate(ids):
            if id in ids[:place]:
                raise Refused(f"phases[{place}].id", f"each phase has its own id, and {id} stands twice")

    def _check_permissions(self) -> None:
        seen: set[tuple[str, str]] = set()
        for place, permission in enumerate(self.permissions):
            for pair in product(permission.actions, permission.conditions):
                if pair in seen:
                    raise Refused(f"permissions[{place}]", f"{pair[0]}, {pair[1]}: is decided twice")
                seen.add(pair)

    def permission(self, action: str, condition: str) -> Permission | None:
        """What is said of the action under the condition; None if the ruleset is silent."""
        for permission in self.permissions:
            if action in permission.actions and condition in permission.conditions:
                return permission
        return None

    def has(self, feature: Feature) -> bool:
        """Whether this way to play knows the feature at all."""
        return feature not in self.without
