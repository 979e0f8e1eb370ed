"""Requests about the record and its dice: page, cut, reveal, audit, show, log, and disputes."""

from __future__ import annotations

from dataclasses import dataclass

from resolver.refused import within

LONGEST_LOG = 100


@dataclass(frozen=True)
class ShowPage:
    """The page that is written on now; `whole` shows the commitment in full."""

    whole: bool = False

    def __str__(self) -> str:
        return "page whole" if self.whole else "page"


@dataclass(frozen=True)
class Cut:
    """A player's own words, mixed into the dice of the page."""

    words: str

    def __str__(self) -> str:
        return f"cut {self.words}"


@dataclass(frozen=True)
class Reveal:
    """Close the page, show its secret, open the next."""

    def __str__(self) -> str:
        return "reveal"


@dataclass(frozen=True)
class Audit:
    """Are the dice fair? Of the newest page with rolls, or of every page."""

    whole: bool = False

    def __str__(self) -> str:
        return "audit all" if self.whole else "audit"


@dataclass(frozen=True)
class Show:
    """One entry, whole; the last one if there is no number."""

    number: int | None = None

    def __str__(self) -> str:
        return "show last" if self.number is None else f"show #{self.number}"


@dataclass(frozen=True)
class Log:
    """The last entries, one line each."""

    count: int = 10

    def __post_init__(self) -> None:
        within("number of entries in a log", self.count, 1, LONGEST_LOG)

    def __str__(self) -> str:
        return "log" if self.count == 10 else f"log {self.count}"


@dataclass(frozen=True)
class WhoRolled:
    """Who made one entry; the last one with dice if no number is given."""

    number: int | None = None

    def __str__(self) -> str:
        return "who rolled" if self.number is None else f"who rolled #{self.number}"


@dataclass(frozen=True)
class RollsOf:
    """The rolls of a side, a unit or a person; None for everybody's."""

    name: str | None = None
    this_round: bool = False

    def __str__(self) -> str:
        of = "" if self.name is None else f" of {self.name}"
        return f"rolls{of}{' this round' if self.this_round else ''}"


@dataclass(frozen=True)
class Recheck:
    """Replay the recorded faces through today's rules."""

    number: int

    def __str__(self) -> str:
        return f"recheck #{self.number}"


@dataclass(frozen=True)
class Why:
    """The needs and reasons of one roll; of the last attack spoken of if no number is given."""

    number: int | None = None

    def __str__(self) -> str:
        return "why" if self.number is None else f"why #{self.number}"


@dataclass(frozen=True)
class Luck:
    """The running luck of the attacks on record: of every side, or of one side, unit or person."""

    name: str | None = None

    def __str__(self) -> str:
        return "luck" if self.name is None else f"luck of {self.name}"


@dataclass(frozen=True)
class LuckOfOne:
    """The luck of one attack; if there is no number, of the last roll, or of the last `attack` whatever came after."""

    number: int | None = None
    attack: bool = False

    def __str__(self) -> str:
        last = "luck of the last attack" if self.attack else "luck of the last roll"
        return last if self.number is None else f"luck of #{self.number}"


@dataclass(frozen=True)
class ForgetMe:
    """Remove the asker's name and messages from the channel's record."""

    def __str__(self) -> str:
        return "forget me"
