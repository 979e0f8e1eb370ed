"""A level of one of the counts of an attack, whose chance is asked for: "at least 2 slain", "all slain"."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

MOST = 100_000  # no count of an attack goes beyond


class Bound(StrEnum):
    """How a count must lie to its number; ALL is every model of the target slain, however many they are."""

    AT_LEAST = "at least"
    AT_MOST = "at most"
    EXACTLY = "exactly"
    ALL = "all"


@dataclass(frozen=True)
class Level:
    """`count` is one of hits, wounds, unsaved, damage, slain; `number` None belongs to ALL."""

    count: str
    bound: Bound
    number: int | None = None

    def __str__(self) -> str:
        if self.number is None:
            return f"{self.bound} {self.count}"
        return f"{self.bound} {self.number} {self.count.rstrip('s') if self.number == 1 else self.count}"


ALL_SLAIN = Level("slain", Bound.ALL)
