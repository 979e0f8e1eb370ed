"""Requests about what units do: declared actions, attacks by name, and mending what was recorded."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bot.level import Level
from bot.wording import own_dice_text, signed
from resolver.movement import ChargeReroll

Faces = tuple[int, ...] | None


@dataclass(frozen=True, kw_only=True)
class Act:
    """A declared action: stay, move, advance or fall back; `inches` is how far they say they go."""

    unit: str
    action: str
    inches: float | None = None
    anyway: bool = False
    because: str | None = None
    faces: Faces = None

    def __str__(self) -> str:
        inches = "" if self.inches is None else f" {self.inches:g} inches"
        return f"{self.unit} {self.action}{inches}{own_dice_text(self.faces)}" + _tail(self.anyway, self.because)


@dataclass(frozen=True, kw_only=True)
class ChargeAt:
    """A declared charge at `target` from `distance` inches; it is rolled, or with `odds` reckoned only."""

    unit: str
    target: str | None = None
    distance: float | None = None
    modifier: int = 0
    reroll: ChargeReroll | None = None
    odds: bool = False
    anyway: bool = False
    because: str | None = None
    faces: Faces = None

    def __str__(self) -> str:
        target = f" {self.target}" if self.target else ""
        distance = "" if self.distance is None else f" from {self.distance:g}"
        more = f" {signed(self.modifier)} to charge" if self.modifier else ""
        more += f" re-roll {self.reroll}" if self.reroll is not None else ""
        said = f"{'odds ' if self.odds else ''}{self.unit} charge{target}{distance}{more}{own_dice_text(self.faces)}"
        return said + _tail(self.anyway, self.because)


@dataclass(frozen=True, kw_only=True)
class Strike:
    """An attack by name. `action` is shoot or fight; `count` models of the unit take part, None for all.

    `weapons` are names, none for all that fit; `odds` reckons only, the chance of a `level` with the rest; `faces` are
    the player's own dice.
    """

    unit: str
    action: str
    target: str | None = None
    count: int | None = None
    distance: float | None = None
    weapons: tuple[str, ...] = ()
    cover: bool = False
    to_hit: int = 0
    to_wound: int = 0
    odds: bool = False
    level: Level | None = None
    anyway: bool = False
    because: str | None = None
    faces: Faces = None

    def __str__(self) -> str:
        count = "" if self.count is None else f"{self.count} "
        parts = [f"{'odds ' if self.odds else ''}{count}{self.unit} {self.action}"]
        if self.target is not None:
            parts.append(self.target)
        if self.distance is not None:
            parts.append(f"at {self.distance:g}")
        if self.weapons:
            parts.append("with " + " and ".join(self.weapons))
        if self.cover:
            parts.append("in cover")
        for number, step in ((self.to_hit, "hit"), (self.to_wound, "wound")):
            if number:
                parts.append(f"{signed(number)} to {step}")
        asked = "" if self.level is None else f": {self.level}"
        return " ".join(parts) + own_dice_text(self.faces) + _tail(self.anyway, self.because) + asked


def _tail(anyway: bool, because: str | None) -> str:
    return (" anyway" if anyway else "") + (f" because {because}" if because else "")


@dataclass(frozen=True)
class CompareByName:
    """Two or more attacks by name side by side. Changes nothing."""

    options: tuple[Strike, ...]

    def __str__(self) -> str:
        return "compare " + " or ".join(str(replace(option, odds=False)) for option in self.options)


@dataclass(frozen=True)
class MayUnit:
    """May this unit do that now? With a target and a distance, whether its weapons reach is answered too."""

    unit: str
    action: str
    target: str | None = None
    distance: float | None = None

    def __str__(self) -> str:
        target = f" {self.target}" if self.target else ""
        distance = "" if self.distance is None else f" at {self.distance:g}"
        return f"can {self.unit} {self.action}{target}{distance}?"


@dataclass(frozen=True)
class MayDeeds:
    """May a unit do all of these in one turn, one after the other; or, with `either`, which of them?"""

    options: tuple[MayUnit, ...]
    either: bool = False

    def __str__(self) -> str:
        unit = self.options[0].unit
        deeds = [str(option).removeprefix(f"can {unit} ").removesuffix("?") for option in self.options]
        return f"can {unit} {', '.join(deeds[:-1])} {'or' if self.either else 'and'} {deeds[-1]}?"


@dataclass(frozen=True)
class Distance:
    """How far two units are from each other, in inches, as measured at the table."""

    unit: str
    other: str
    inches: float

    def __str__(self) -> str:
        return f"{self.unit} are {self.inches:g} from {self.other}"


@dataclass(frozen=True)
class HowFar:
    """How far two units are from each other, as far as anybody said."""

    unit: str
    other: str

    def __str__(self) -> str:
        return f"how far are {self.unit} from {self.other}"


@dataclass(frozen=True)
class Allocate:
    """The order in which a unit loses its groups."""

    unit: str
    groups: tuple[str, ...]

    def __str__(self) -> str:
        return f"allocate {self.unit}: {' then '.join(self.groups)}"


@dataclass(frozen=True, kw_only=True)
class SetModels:
    """By hand: so many models left, in all or in one group; or so many fewer (`lost`) or more."""

    unit: str
    models: int
    lost: bool = False
    group: str | None = None
    because: str | None = None

    def __str__(self) -> str:
        what = f"{self.models} {'model' if self.models == 1 else 'models'}"
        group = f" of {self.group}" if self.group else ""
        said = f"{self.unit} lost {what}{group}" if self.lost else f"{self.unit} has {what}{group} left"
        return said + _tail(False, self.because)


@dataclass(frozen=True, kw_only=True)
class LoseWounds:
    """By hand: wounds lost by a unit, or regained."""

    unit: str
    wounds: int
    back: bool = False
    group: str | None = None
    because: str | None = None

    def __str__(self) -> str:
        what = f"{self.wounds} {'wound' if self.wounds == 1 else 'wounds'}"
        group = f" of {self.group}" if self.group else ""
        return f"{self.unit} {'regained' if self.back else 'lost'} {what}{group}" + _tail(False, self.because)


@dataclass(frozen=True, kw_only=True)
class SetDeed:
    """By hand: a unit did something this turn after all, or did not."""

    unit: str
    what: str
    done: bool = True
    because: str | None = None

    def __str__(self) -> str:
        said = f"note {self.unit} {self.what}" if self.done else f"note {self.unit} has not {self.what}"
        return said + _tail(False, self.because)


@dataclass(frozen=True, kw_only=True)
class SetEngaged:
    """By hand: two units are engaged or not; without `other`, one unit is engaged with nobody."""

    unit: str
    other: str | None = None
    engaged: bool = True
    because: str | None = None

    def __str__(self) -> str:
        verb = "are engaged" if self.engaged else "are not engaged"
        return (
            f"{self.unit} {verb}" + (f" with {self.other}" if self.other else "") + _tail(False, self.because)
        )


@dataclass(frozen=True)
class Correct:
    """Mend a recorded roll (the last one if no number is given): the same faces under the right numbers."""

    entry: int | None
    change: str

    def __str__(self) -> str:
        which = "the last roll:" if self.entry is None else f"#{self.entry}"
        return f"correct {which} {self.change}"


@dataclass(frozen=True)
class Undo:
    """Pass over a recorded event; the last one if no number is given."""

    entry: int | None = None

    def __str__(self) -> str:
        return "undo" if self.entry is None else f"undo #{self.entry}"


@dataclass(frozen=True)
class StepByStep:
    """Play one attack a step at a time; `attack` is the message of the attack."""

    attack: str

    def __str__(self) -> str:
        return f"step by step {self.attack}"


@dataclass(frozen=True)
class Lesson:
    """A word within a lesson: roll this handful, finish the rest, leave, repeat the step."""

    word: str

    def __str__(self) -> str:
        return self.word


@dataclass(frozen=True)
class LessonFix:
    """One die of the handful just typed put right: its place from 1, and its face."""

    die: int
    face: int

    def __str__(self) -> str:
        return f"die {self.die} was {self.face}"


@dataclass(frozen=True)
class LessonDice:
    """The faces of the handful that the lesson asked for."""

    faces: tuple[int, ...]

    def __str__(self) -> str:
        return " ".join(map(str, self.faces))
