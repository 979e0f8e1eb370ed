"""Requests about whole attacks, each with what the reading assumed and which words gave which clause."""

from __future__ import annotations

from dataclasses import dataclass, field

from bot.level import Level
from bot.misread import Span
from bot.wording import attack_text, own_dice_text
from resolver.attack import Attack

# `notes` say what the reading assumed; `trace` gives for each clause the place of its words in the message.
Trace = tuple[tuple[Span, str], ...]


@dataclass(frozen=True)
class Roll:
    """Roll the attack; `faces` are the player's own dice in the order asked, None for the umpire's dice.

    Without a face (an empty tuple) they are asked for, step after step.
    """

    attack: Attack
    faces: tuple[int, ...] | None = None
    notes: tuple[str, ...] = field(default=(), compare=False)
    trace: Trace = field(default=(), compare=False)

    def __str__(self) -> str:
        return f"roll {attack_text(self.attack)}{own_dice_text(self.faces)}"


@dataclass(frozen=True)
class Odds:
    """Reckon the attack, and the chance of a level if one is asked for. Changes nothing."""

    attack: Attack
    level: Level | None = None
    notes: tuple[str, ...] = field(default=(), compare=False)
    trace: Trace = field(default=(), compare=False)

    def __str__(self) -> str:
        return f"odds {attack_text(self.attack)}{_asked(self.level)}"


@dataclass(frozen=True)
class Compare:
    """Two or more whole attacks side by side, each with its chance of the level if one is asked for."""

    options: tuple[Attack, ...]
    level: Level | None = None
    notes: tuple[str, ...] = field(default=(), compare=False)
    trace: Trace = field(default=(), compare=False)

    def __str__(self) -> str:
        return "compare " + " or ".join(map(attack_text, self.options)) + _asked(self.level)


def _asked(level: Level | None) -> str:
    return "" if level is None else f": {level}"
