"""Requests about whole attacks."""

from __future__ import annotations

from dataclasses import dataclass

from bot.wording import attack_text
from resolver.attack import Attack


@dataclass(frozen=True)
class Roll:
    """Roll the attack; `faces` are the player's own dice in the order asked, None for the umpire's dice."""

    attack: Attack
    faces: tuple[int, ...] | None = None

    def __str__(self) -> str:
        own = "" if self.faces is None else " with dice " + " ".join(map(str, self.faces))
        return f"roll {attack_text(self.attack)}{own}"


@dataclass(frozen=True)
class Odds:
    """Reckon the attack. Changes nothing. `notes` are what the reading assumed, for the answer to say."""

    attack: Attack

    def __str__(self) -> str:
        return f"odds {attack_text(self.attack)}"


@dataclass(frozen=True)
class Compare:
    """Two or more whole attacks side by side."""

    options: tuple[Attack, ...]

    def __str__(self) -> str:
        return "compare " + " or ".join(map(attack_text, self.options))
