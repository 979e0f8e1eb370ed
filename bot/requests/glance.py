"""Requests about one thing of the game as it stands: the score, the round, a number of a unit or weapon."""

from __future__ import annotations

from dataclasses import dataclass

_ASKED = {
    "score": "what is the score",
    "round": "what round is it",
    "first": "who goes first",
    "losses": "what are the losses",
}


@dataclass(frozen=True)
class Glance:
    """The score, the round with its phase, who goes first, or the models lost."""

    what: str

    def __str__(self) -> str:
        return _ASKED[self.what]


@dataclass(frozen=True)
class StatOf:
    """One statistic of a unit, of models in it or of a weapon, or all of it."""

    stat: str
    unit: str

    def __str__(self) -> str:
        return f"{self.stat} of {self.unit}"
