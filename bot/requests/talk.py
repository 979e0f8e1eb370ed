"""Requests that people make in passing: a kind word, a dispute, a mend in plain words, whether to close in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.requests.action import Strike  # only where an attack by name is spoken of


@dataclass(frozen=True)
class Remark:
    """A word of thanks or the like, that asks for nothing."""

    words: str

    def __str__(self) -> str:
        return self.words


@dataclass(frozen=True)
class Dispute:
    """The players disagree, about an entry if one is named."""

    entry: int | None = None

    def __str__(self) -> str:
        return "we disagree" if self.entry is None else f"dispute #{self.entry}"


@dataclass(frozen=True)
class Mend:
    """Something that should have been said of the last roll: how to mend it is asked back."""

    change: str

    def __str__(self) -> str:
        return f"it was {self.change}"


@dataclass(frozen=True)
class Closer:
    """Whether to close in: the attack by name at its distance, and at the half range of its weapons."""

    attack: Strike

    def __str__(self) -> str:
        return "should I close to half range"
