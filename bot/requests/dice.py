"""Requests about single numbers and loose dice: needs, dice, charge, reach, advance, roll-off."""

from __future__ import annotations

from dataclasses import dataclass, field

from bot.wording import CLAUSES, signed
from resolver.amount import Amount
from resolver.attack import Reroll
from resolver.movement import ChargeReroll as ChargeReroll
from resolver.refused import within

MOST_CHARGES = 12  # together


@dataclass(frozen=True, kw_only=True)
class Needs:
    """What one die needs. `check` is hit, wound or save; only the fields of that check are set.

    `notes` say what the reading assumed.
    """

    check: str
    number: int | None = None
    strength: int | None = None
    toughness: int | None = None
    ap: int = 0
    fixed_save: int | None = None
    cover: bool = False
    modifier: int = 0
    reroll: Reroll | None = None
    critical: int | None = None
    melee: bool = False
    notes: tuple[str, ...] = field(default=(), compare=False)

    def __str__(self) -> str:
        return f"needs {self.clauses()}"

    def clauses(self, among: bool = False) -> str:
        """The words behind the verb; `among` those of other steps a re-roll names its own."""
        parts = [self.check]
        if self.number is not None:
            parts.append(f"{self.number}+")
        if self.strength is not None:
            parts.append(f"S{self.strength}")
        if self.toughness is not None:
            parts.append(f"against T{self.toughness}")
        if self.ap:
            parts.append(f"AP-{self.ap}")
        if self.fixed_save is not None:
            parts.append(f"fixed save {self.fixed_save}+")
        if self.cover:
            parts.append("cover")
        if self.melee:
            parts.append("melee")
        if self.modifier:
            parts.append(f"{signed(self.modifier)} to {self.check}")
        if self.reroll is not None:
            parts.append(CLAUSES[f"reroll_{self.check}"](self.reroll) if among else f"re-roll {self.reroll}")
        if self.critical is not None:
            parts.append(CLAUSES[f"critical_{self.check}"](self.critical))
        return " ".join(parts)


@dataclass(frozen=True)
class SeveralNeeds:
    """What each of several dice needs, in the order in which they are thrown."""

    options: tuple[Needs, ...]

    def __str__(self) -> str:
        return "needs " + ", ".join(one.clauses(among=True) for one in self.options)


@dataclass(frozen=True)
class RollDice:
    """Loose dice, rolled and recorded."""

    amount: Amount

    def __str__(self) -> str:
        return f"dice {self.amount}"


@dataclass(frozen=True, kw_only=True)
class DiceChance:
    """The chance that dice show a total from `least` to `most`; with neither, what they show on average."""

    amount: Amount
    least: int | None = None
    most: int | None = None

    @property
    def level(self) -> str:
        """What is asked of the total, in words."""
        if self.least is None:
            return "" if self.most is None else f"at most {self.most}"
        return f"at least {self.least}" if self.most is None else f"exactly {self.least}"

    def __str__(self) -> str:
        return f"odds {self.amount} {self.level}".rstrip()


@dataclass(frozen=True, kw_only=True)
class Charge:
    """The chance of a charge. Exactly one of `number` (a bare number, both readings shown), `needs`
    (the number on the dice) and `distance` (inches measured) is set. `roll` throws the dice too.
    """

    number: float | None = None
    needs: int | None = None
    distance: float | None = None
    modifier: int = 0
    reroll: ChargeReroll | None = None
    roll: bool = False

    def __str__(self) -> str:
        if self.number is not None:
            what = f"{self.number:g}"
        elif self.needs is not None:
            what = f"needing {self.needs}"
        else:
            what = f"from {self.distance:g}"
        parts = ["roll charge" if self.roll else "charge", what]
        if self.modifier:
            parts.append(f"{signed(self.modifier)} to charge")
        if self.reroll is not None:
            parts.append(f"re-roll {self.reroll}")
        return " ".join(parts)


@dataclass(frozen=True, kw_only=True)
class Charges:
    """The chance that at least so many of several charges succeed, or none if `least` is 0; each is a whole Charge."""

    options: tuple[Charge, ...]
    least: int = 1

    def __post_init__(self) -> None:
        within("number of charges", len(self.options), 2, MOST_CHARGES)

    @property
    def what(self) -> str:
        """How many of them are asked for, in words."""
        few = {0: "none", 1: "at least one", len(self.options): "all"}
        return few.get(self.least, f"at least {self.least}")

    def __str__(self) -> str:
        return f"{self.what} of " + " and ".join(map(str, self.options))


@dataclass(frozen=True, kw_only=True)
class Reach:
    """The chance that a unit at `distance` with move `move` can charge next turn after a normal move."""

    distance: float
    move: float
    modifier: int = 0
    reroll: ChargeReroll | None = None

    def __str__(self) -> str:
        parts = [f"reach from {self.distance:g} with M{self.move:g}"]
        if self.modifier:
            parts.append(f"{signed(self.modifier)} to charge")
        if self.reroll is not None:
            parts.append(f"re-roll {self.reroll}")
        return " ".join(parts)


@dataclass(frozen=True, kw_only=True)
class AdvanceDice:
    """An advance: move plus the advance dice. `roll` throws them; otherwise the chances are told."""

    move: float | None = None
    reroll: bool = False
    roll: bool = False

    def __str__(self) -> str:
        parts = ["roll advance" if self.roll else "advance"]
        if self.move is not None:
            parts.append(f"with M{self.move:g}")
        if self.reroll:
            parts.append("re-roll")
        return " ".join(parts)


@dataclass(frozen=True)
class RollOff:
    """Both sides throw a die; ties are thrown again."""

    def __str__(self) -> str:
        return "roll off"
