"""Requests about whole attacks, each with what the reading assumed and which words gave which clause."""

from __future__ import annotations

from dataclasses import dataclass, field

from bot.misread import Span
from bot.wording import attack_text
from resolver.attack import Attack

# `notes` say what the reading assumed; `trace` gives for each clause the place of its words in the message.
Trace = tuple[tuple[Span, str], ...]


@dataclass(frozen=True)
class Roll:
    """Roll the attack; `faces` are the player's own dice in the order asked, None for the umpire's dice."""

    attack: Attack
    faces: tuple[int, ...] | None = None
    notes: tuple[str, ...] = field(default=(), compare=False)
    trace: Trace = field(default=(), compare=False)

    def __str__(self) -> str:
        own = "" if self.faces is None else " with dice " + " ".join(map(str, self.faces))
        return f"roll {attack_text(self.attack)}{own}"


@dataclass(frozen=True)
class Odds:
    """Reckon the attack. Changes nothing."""

    attack: Attack
    notes: tuple[str, ...] = field(default=(), compare=False)
    trace: Trace = field(default=(), compare=False)

    def __str__(self) -> str:
        return f"odds {attack_text(self.attack)}"


@dataclass(frozen=True)
class Compare:
    """Two or more whole attacks side by side."""

    options: tuple[Attack, ...]
    notes: tuple[str, ...] = field(default=(), compare=False)
    trace: Trace = field(default=(), compare=False)

    def __str__(self) -> str:
        return "compare " + " or ".join(map(attack_text, self.options))
