"""An entry of the glossary and the file of one family, as plain values that a YAML file fills."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from resolver.refused import Refused

LONGEST_SHORT = 140
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class Level(StrEnum):
    """For whom an entry is meant: the first game, any game, or whoever settles things."""

    LEARNER = "learner"
    PLAYER = "player"
    UMPIRE = "umpire"


@dataclass(frozen=True, kw_only=True)
class Example:
    """A message to the umpire, and what its answer must hold.

    `finds` maps a dotted path into the machine form ("mean.unsaved", "needs.0.save.0") to the value as
    text: a fraction ("5/3"), a decimal or a percentage to the digits given ("2.5", "28%"), or words ("4+").
    The last part of a path into a distribution may be "2+" or "2-": the chance of at least or at most two.
    """

    ask: str
    finds: dict[str, str]

    def __post_init__(self) -> None:
        if not self.ask or not self.finds:
            raise Refused("finds", "an example asks something and finds something")


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One idea. `short` is a sentence for a phone; `see` are the ids of related entries.

    `like` are phrases by which people describe it who do not know the name; they only bring the entry nearer.
    """

    id: str
    title: str
    level: Level
    short: str
    text: str
    abbreviations: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    like: tuple[str, ...] = ()
    see: tuple[str, ...] = ()
    example: Example | None = None

    def __post_init__(self) -> None:
        if not _ID.fullmatch(self.id):
            raise Refused("id", f"an id is made of small letters, digits and hyphens, got {self.id}")
        length = len(self.short)
        if length > LONGEST_SHORT:
            raise Refused("short", f"a short text has at most {LONGEST_SHORT} characters, got {length}")


@dataclass(frozen=True, kw_only=True)
class TermFile:
    """One family of entries: one file."""

    family: str
    title: str
    entries: tuple[Entry, ...]
