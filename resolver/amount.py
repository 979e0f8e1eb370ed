"""An amount: a fixed number, or dice and a number ("3", "d6", "2d6+1"). Nothing else is notation here."""

from __future__ import annotations

from dataclasses import dataclass

from resolver.refused import Refused, within

MOST_DICE = 100
MOST_SIDES = 100


@dataclass(frozen=True)
class Amount:
    """`dice` dice of `sides` faces, added up, plus `plus`. A fixed number has no dice (and sides 0)."""

    dice: int = 0
    sides: int = 0
    plus: int = 0

    def __post_init__(self) -> None:
        within("number of dice in one expression", self.dice, 0, MOST_DICE)
        if self.dice:
            within("number of faces", self.sides, 2, MOST_SIDES)
        elif self.sides:
            raise ValueError("a fixed amount has no faces")
        within("added number", self.plus, -1000, 1000)
        if self.low < 0:
            raise Refused("amount", f"{self} can come to {self.low}; an amount is never below 0")

    @property
    def low(self) -> int:
        return self.dice + self.plus

    @property
    def high(self) -> int:
        return self.dice * self.sides + self.plus

    @property
    def mean(self) -> float:
        return self.dice * (self.sides + 1) / 2 + self.plus

    def __str__(self) -> str:
        if not self.dice:
            return str(self.plus)
        dice = f"{self.dice if self.dice > 1 else ''}d{self.sides}"
        return dice + (f"{self.plus:+d}" if self.plus else "")


def fixed(number: int) -> Amount:
    """The amount that is always `number`."""
    return Amount(plus=number)
