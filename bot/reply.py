"""A reply: a title and blocks, and the same answer as data. No author, channel, colour or width lives here.

Painters (bot/channels) decide how each block looks; `data` is the machine form that other programs rely on.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bot.asked import Question

# A machine form is JSON: the values are whatever JSON can hold.
Data = Mapping[str, Any]


@dataclass(frozen=True)
class Line:
    """One sentence or result. `strong` is the line a hurried reader should see."""

    text: str
    strong: bool = False


BETWEEN = "; "  # between the reasons of one step


@dataclass(frozen=True)
class Dice:
    """The dice of one step beside the number they needed and why: faces as text, successes told by text too.

    Each die is its face, then the face of its re-roll if it had one. `good` marks the dice that succeed.
    """

    step: str
    needed: str | None
    why: str
    faces: tuple[tuple[int, ...], ...]
    good: tuple[bool, ...]
    outcome: str


@dataclass(frozen=True)
class Table:
    """A small table; the first column is the row's name."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Bars:
    """Shares between 0 and 1, each with its label and its honest wording."""

    title: str
    rows: tuple[tuple[str, float, str], ...]


@dataclass(frozen=True)
class Caret:
    """A message as typed, with one or two guilty places."""

    text: str
    at: tuple[int, int]
    also: tuple[int, int] | None = None


@dataclass(frozen=True)
class Note:
    """Something beside the point: an assumption, a limit, where to read on."""

    text: str


@dataclass(frozen=True)
class Shell:
    """What only whoever runs the umpire can do, at the shell of its machine; a chat leaves it out."""

    text: str


@dataclass(frozen=True)
class Picture:
    """Series of bars worth drawing where a channel can; `alt` says the same in words."""

    title: str
    series: tuple[tuple[str, tuple[float, ...]], ...]
    alt: str


Block = Line | Dice | Table | Bars | Caret | Note | Shell | Picture


@dataclass(frozen=True)
class Reply:
    """One answer. `offers` are messages worth sending next; `private` answers concern only the asker,
    `shared` ones everybody in the channel, though nothing is recorded.

    `asks` is the question that it asks back, by which a channel knows later what was answered; what was asked back
    before stays open behind an answer that `leaves_open`.
    """

    kind: str
    title: str
    blocks: tuple[Block, ...] = ()
    data: Data | None = None
    offers: tuple[str, ...] = ()
    private: bool = False
    shared: bool = False
    asks: Question | None = None
    leaves_open: bool = False

    @property
    def machine(self) -> dict[str, Any]:
        """The machine form: `kind` first, then the data."""
        return {"kind": self.kind, **(self.data or {})}
