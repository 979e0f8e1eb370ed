"""Typed options of slash commands as the one message that says the same; the reading is left to the umpire."""

from __future__ import annotations

import re
from dataclasses import dataclass

_TARGET = re.compile(r"(?:^|\s)(?:into|vs|v|against)\s", re.IGNORECASE)

_ASKS = re.compile(
    r"(?:what|where|who|which|how|can|may|is|are|does|do|show|log|units?|phase|page|help|odds|needs?|compare|charge|reach|why"
    r"|luck|audit|rolls|recheck|rules|words|should|explain|report|export)\b|.*\?$",
    re.IGNORECASE | re.DOTALL,
)


@dataclass(frozen=True, kw_only=True)
class AttackOptions:
    """What /roll and /odds may be given; None for what was left out."""

    attack: str | None = None
    attacks: str | None = None
    hit: int | None = None
    strength: int | None = None
    ap: int | None = None
    damage: str | None = None
    toughness: int | None = None
    save: int | None = None
    wounds: int | None = None
    models: int | None = None
    dice: str | None = None

    def message(self, verb: str) -> str:
        """The whole message, beginning with the verb."""
        own = f" with dice {self.dice}" if self.dice else ""
        clauses = self._clauses() or ("of" if verb == "odds" else "")  # "odds" alone asks what odds are
        return f"{verb} {clauses}{own}".strip()

    def _clauses(self) -> str:
        weapon = said(
            self.attack, (self.attacks, "{} attacks"), (self.hit, "hit {}+"), (self.strength, "S{}"),
            (self.ap, "AP-{}"), (self.damage, "damage {}"),
        )  # fmt: skip
        target = said(
            None, (self.toughness, "T{}"), (self.save, "save {}+"), (self.wounds, "W{}"), (self.models, "{} models")
        )
        if not target:
            return weapon
        between = ", " if self.attack and _TARGET.search(self.attack) else " into "
        return f"{weapon}{between}{target}".strip()


def said(first: str | None, *clauses: tuple[object, str]) -> str:
    """The clauses that have a value, behind the first words."""
    parts = [first.strip()] if first else []
    parts += [pattern.format(value) for value, pattern in clauses if value is not None]
    return ", ".join(parts)


def needs_message(
    question: str | None, strength: int | None, toughness: int | None, save: int | None, ap: int | None
) -> str:
    """A question about needed numbers: what was typed, with every option beside it."""
    asked = opened(question or "", "needs", "what", "which")
    clauses = said(
        None, (strength, "S{}"), (toughness, "T{}"), (save, "save {}+"), (ap, "AP-{}")
    )  # fmt: skip
    return f"{asked.rstrip(' ?.!')}{', ' if question else ' '}{clauses}" if clauses else asked


def charge_message(number: int | None, measured: float | None, roll: bool) -> str:
    """A charge by the number on the dice, or by the tape."""
    verb = "roll charge" if roll else "charge"
    by_number = None if number is None else f"needing {number}"
    by_tape = None if measured is None else f"from {measured:g}"
    if by_number or by_tape:  # given both, the umpire says that they contradict each other
        return " ".join(filter(None, (verb, by_number, by_tape)))
    return f"{verb} from" if roll else verb


def asks(text: str) -> bool:
    """Whether a message looks like a question, whose answer is for the asker alone."""
    return _ASKS.match(text.strip()) is not None


def opened(text: str, verb: str, *also: str) -> str:
    """The text with the verb before it, unless it begins so already."""
    words = text.strip()
    begins = tuple(f"{word} " for word in (verb, *also))
    return words if words.lower().startswith(begins) else f"{verb} {words}"
