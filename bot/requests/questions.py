"""Requests about meaning and rules: what is X, may I, which phase, house rules, lessons, rulesets."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class WhatIs:
    """What a word means."""

    words: str

    def __str__(self) -> str:
        return f"what is {self.words}"


@dataclass(frozen=True)
class CanI:
    """A question about the rules, in the words of the player.

    Where it has several sentences, `asking` is what the asking one alone asks.
    """

    words: str
    asking: WhatIs | CanI | Phase | None = None

    def __str__(self) -> str:
        return f"{self.words}?"


@dataclass(frozen=True)
class Phase:
    """The steps of a phase; `step` 1 is the phase after it, -1 the one before. None is the whole turn."""

    id: str | None = None
    step: int = 0

    def __str__(self) -> str:
        if self.id is None:
            return "phase"
        place = {0: "phase {}", 1: "what comes after {}", -1: "what comes before {}"}[self.step]
        return place.format(self.id)


@dataclass(frozen=True)
class HouseRule:
    """The table's own ruling, and who agreed to it besides whoever says it."""

    words: str
    agreed: tuple[str, ...] = ()

    def __str__(self) -> str:
        agreed = f" (agreed by {', '.join(self.agreed)})" if self.agreed else ""
        return f"house rule: {self.words}{agreed}"


@dataclass(frozen=True)
class HouseRules:
    """Every house rule of this channel."""

    def __str__(self) -> str:
        return "house rules"


@dataclass(frozen=True)
class NextLesson:
    """Explain the next feature that the first game leaves out; `again` repeats the last one, `first` the first."""

    again: bool = False
    first: bool = False

    def __str__(self) -> str:
        return "lesson again" if self.again else "first lesson" if self.first else "next lesson"


@dataclass(frozen=True)
class Rules:
    """The rulesets on the shelf, or the choice of one for this channel."""

    name: str | None = None

    def __str__(self) -> str:
        return f"rules {self.name}" if self.name else "rules"
