"""What can be said next, as buttons: each carries its whole message, or a key under which the ledger keeps it.

So a button works after any restart, and means exactly what it meant when it was shown, whoever presses it.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from bot.ledger import Memory
from bot.reply import Line, Reply

MOST_ID = 100
MOST_LABEL = 80
MOST_BUTTONS = 5
MOST_OPTIONS = 25
KEPT = "offer\n"  # where an offer is remembered in its channel, followed by its key; no person can be called so
_ID = re.compile(r"(?P<act>say|own|tell)(?P<kept>\+?):(?P<rest>.+)", re.DOTALL)
# What must happen once only, however often and by whomever its button is pressed.
_ONCE = re.compile(r"(?:roll|dice|next phase|end turn|undo|first turn)\b|.* anyway$", re.DOTALL)


class Act(StrEnum):
    """What a button does: say its message, ask for own dice for it, or ask for an answer to its question."""

    SAY = "say"
    OWN_DICE = "own"
    TELL = "tell"


@dataclass(frozen=True)
class Offer:
    """A button: its label, and the message behind it."""

    label: str
    text: str
    act: Act = Act.SAY

    @property
    def once(self) -> bool:
        """Whether pressing it a second time must not do it again."""
        return self.act is Act.SAY and _ONCE.match(self.text) is not None


def offers_of(reply: Reply, asked: str = "") -> tuple[Offer, ...]:
    """The buttons under a reply: what it offers, and what is done all night; the choices if it asks.

    What was asked just now is not offered again.
    """
    if reply.kind == "choice":
        choices = reply.offers[:MOST_OPTIONS]
        return tuple(Offer(f"{i}. {choice}", choice) for i, choice in enumerate(choices, 1))
    found = {offer.text + offer.act: offer for offer in (*_offered(reply), *_usual(reply)) if offer.text != asked}
    return tuple(found.values())[:MOST_BUTTONS]


def _offered(reply: Reply) -> Iterable[Offer]:
    for text in reply.offers:
        yield Offer(text, exactly(reply, text))
        if text.startswith("roll ") and reply.kind == "odds":
            yield Offer("own dice", exactly(reply, text), Act.OWN_DICE)


def _usual(reply: Reply) -> Iterable[Offer]:
    data = reply.data or {}
    number = data.get("id")
    if reply.kind == "attack":
        yield Offer("why", f"why #{number}")
    if reply.kind == "misread" and data.get("missing"):
        yield Offer("answer", reply.title, Act.TELL)
    lesson = data.get("lesson")
    if isinstance(lesson, Mapping) and lesson.get("next"):
        yield Offer("my own dice", _first_line(reply), Act.TELL)
    if data.get("state", {}) and data["state"].get("open"):
        yield Offer("what now", "what now")
        if isinstance(number, int):
            yield Offer("undo", f"undo #{number}")


def _first_line(reply: Reply) -> str:
    """What a lesson asks for: how many dice to pick up."""
    return next((block.text for block in reply.blocks if isinstance(block, Line)), reply.title)


def exactly(reply: Reply, offer: str) -> str:
    """The message that the offer makes beside this very reply, whatever is said in between."""
    read = str((reply.data or {}).get("read") or "")
    if offer == "roll it" and read.startswith("odds "):
        return f"roll {read.removeprefix('odds ')}"
    return offer


def plain_id(offer: Offer) -> str | None:
    """The custom id of an offer whose message is short enough to stand in it."""
    id = f"{offer.act}:{offer.text}"
    return id if len(id) <= MOST_ID else None


class Shelf:
    """Custom ids of offers, and back. Asked from worker threads."""

    def __init__(self, memory: Memory) -> None:
        self._memory = memory

    def id_of(self, where: str, offer: Offer) -> str:
        """The custom id; a message too long for it is kept in the ledger."""
        plain = plain_id(offer)
        if plain is not None:
            return plain
        key = hashlib.sha256(offer.text.encode()).hexdigest()[:32]
        self._memory.remember(where, KEPT + key, {"text": offer.text})
        return f"{offer.act}+:{key}"

    def offer(self, where: str, custom_id: str) -> Offer | None:
        """The offer behind a custom id, if it is one of ours and still kept."""
        match = _ID.fullmatch(custom_id)
        if match is None:
            return None
        text = match["rest"]
        if match["kept"]:
            text = self._memory.recall(where, KEPT + text).get("text")
        return None if text is None else Offer("", text, Act(match["act"]))
