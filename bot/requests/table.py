"""Requests about the table itself: opening and closing, people, rosters, turn and phase, what is where."""

from __future__ import annotations

from dataclasses import dataclass

from bot.naming import possessive
from bot.roster import Unit
from bot.unit_text import unit_text


@dataclass(frozen=True)
class Open:
    """Open a table; `sides` may name rosters on the shelf, which are then loaded at once."""

    sides: tuple[str, ...] = ()
    ruleset: str | None = None

    def __str__(self) -> str:
        sides = f" {' against '.join(self.sides)}" if self.sides else ""
        return f"open table{sides}" + (f" with {self.ruleset}" if self.ruleset else "")


@dataclass(frozen=True)
class Close:
    """End the game; its record stays."""

    def __str__(self) -> str:
        return "close table"


@dataclass(frozen=True)
class Rest:
    """Leave the game as it is, for another day."""

    def __str__(self) -> str:
        return "rest"


@dataclass(frozen=True)
class Where:
    """Round, side, phase, what is left, the last events."""

    def __str__(self) -> str:
        return "where are we"


@dataclass(frozen=True)
class WhatNow:
    """What each unit of the side in turn (or of the named side, or the asker's: `mine`) may still do, and why not."""

    side: str | None = None
    mine: bool = False

    def __str__(self) -> str:
        return "what can my units do" if self.mine else "what now" + (f" for {self.side}" if self.side else "")


@dataclass(frozen=True)
class WhatToRoll:
    """Which dice the asker is to roll now, if any, and how to say it."""

    def __str__(self) -> str:
        return "what do I roll"


@dataclass(frozen=True)
class WhoseTurn:
    """Whose turn it is and whose comes next; whether it is that of a named side, or the asker's (`mine`)."""

    side: str | None = None
    mine: bool = False

    def __str__(self) -> str:
        if self.mine:
            return "is it my turn"
        return "whose turn is it" if self.side is None else f"is it {possessive(self.side)} turn"


@dataclass(frozen=True)
class Units:
    """Every unit, or those of one side."""

    side: str | None = None

    def __str__(self) -> str:
        return "units" + (f" of {self.side}" if self.side else "")


@dataclass(frozen=True)
class ShowUnit:
    """One unit: its stat lines, what is left, what it did."""

    unit: str

    def __str__(self) -> str:
        return f"unit {self.unit}"


@dataclass(frozen=True)
class Sit:
    """Sit on a side; `who` is another person, whom only the opener or a moderator may seat."""

    side: str
    who: str | None = None

    def __str__(self) -> str:
        return f"seat {self.who} with {self.side}" if self.who else f"sit with {self.side}"


@dataclass(frozen=True)
class Leave:
    """Leave one's seat; `who` is another person, whom only the opener or a moderator may unseat."""

    who: str | None = None

    def __str__(self) -> str:
        return f"unseat {self.who}" if self.who else "leave"


@dataclass(frozen=True)
class LoadRoster:
    """Put a roster from the shelf on the table, as the side it names or as another."""

    roster: str
    side: str | None = None

    def __str__(self) -> str:
        return f"load {self.roster}" + (f" as {self.side}" if self.side else "")


@dataclass(frozen=True)
class PasteRoster:
    """A roster as YAML text, pasted or attached."""

    text: str
    side: str | None = None

    def __str__(self) -> str:
        return "roster" + (f" for {self.side}" if self.side else "") + f"\n{self.text}"


@dataclass(frozen=True)
class TypeRoster:
    """Units typed as one reads them off a card, one a line."""

    units: tuple[Unit, ...]
    side: str | None = None

    def __str__(self) -> str:
        side = f" for {self.side}" if self.side else ""
        return "\n".join((f"roster{side}", *map(unit_text, self.units)))


@dataclass(frozen=True)
class ExportRoster:
    """A side's roster as YAML that can be loaded again."""

    side: str

    def __str__(self) -> str:
        return f"export roster of {self.side}"


@dataclass(frozen=True)
class FirstTurn:
    """Who has the first turn: rolled off, or the side named."""

    side: str | None = None

    def __str__(self) -> str:
        return f"first turn {self.side}" if self.side else "roll off for the first turn"


@dataclass(frozen=True)
class NextPhase:
    """End the phase; `to` names the phase to go on to, `ends` the one that ends, maybe with its side and round."""

    to: str | None = None
    ends: str | None = None
    side: str | None = None
    round: int | None = None

    def __str__(self) -> str:
        if self.ends is not None:
            whose = possessive(self.side) if self.side else "the"
            return f"end {whose} {self.ends} phase" + (f" of round {self.round}" if self.round else "")
        return f"go to the {self.to} phase" if self.to else "next phase"


@dataclass(frozen=True)
class EndTurn:
    """End the turn: every phase that is left of it; or every turn that is left of the round."""

    whole_round: bool = False

    def __str__(self) -> str:
        return "end round" if self.whole_round else "end turn"


@dataclass(frozen=True)
class BackPhase:
    """Step the phase back."""

    def __str__(self) -> str:
        return "back"


@dataclass(frozen=True)
class Score:
    """The score of a side (of the asker's own, if none is named), set, or raised by `add`."""

    side: str
    points: int
    add: bool = False

    def __str__(self) -> str:
        side = f" {self.side}" if self.side else ""
        return f"score{side} {self.points:+d}" if self.add else f"score{side} {self.points}"


@dataclass(frozen=True)
class OwnDice:
    """Whether dice thrown by the players count; on when every side has said yes."""

    value: bool

    def __str__(self) -> str:
        return f"own dice {'yes' if self.value else 'no'}"


@dataclass(frozen=True)
class Explain:
    """How much explanation a person wants with a roll: full, short or off."""

    how: str

    def __str__(self) -> str:
        return f"explain {self.how}"


@dataclass(frozen=True)
class Agreed:
    """Yes to what was asked of one's side, in that entry if several wait; `what` repeats what that was."""

    entry: int | None = None
    what: str = ""

    def __str__(self) -> str:
        return f"agreed{_of_which(self)}"


@dataclass(frozen=True)
class Decline:
    """No to what was asked of one's side, or the asker's second thoughts; in that entry if several wait."""

    entry: int | None = None
    what: str = ""

    def __str__(self) -> str:
        return f"not agreed{_of_which(self)}"


def _of_which(answer: Agreed | Decline) -> str:
    return "" if answer.entry is None else f" #{answer.entry}" + (f": {answer.what}" if answer.what else "")


@dataclass(frozen=True)
class Report:
    """The battle report."""

    def __str__(self) -> str:
        return "report"
