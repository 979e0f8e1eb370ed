"""What can be said next, as buttons: each carries its whole message, or a key under which the ledger keeps it.

So a button works after any restart, and means exactly what it meant when it was shown, whoever presses it.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from enum import StrEnum
from string import ascii_uppercase
from typing import Any

from bot.asked import Question
from bot.differing import briefly
from bot.ledger import Memory
from bot.left_open import answering
from bot.reply import Line, Reply
from bot.requests.table import NextPhase
from bot.wording import OWN_DICE

MOST_ID = 100
MOST_LABEL = 80
MOST_CHOICE = MOST_LABEL - len("25. ")  # characters of a choice behind its number
MOST_BUTTONS = 5
MOST_OPTIONS = 25
KEPT = "offer\n"  # where an offer is remembered in its channel, followed by its key; no person can be called so
_ID = re.compile(r"(?P<act>say|own|tell)(?P<kept>\+?):(?P<rest>.+)", re.DOTALL)
# What must happen once only, however often and by whomever its button is pressed.
_ONCE = re.compile(r"(?:roll|dice|end .* phase of round|next phase|end turn|undo|first turn)\b|.* anyway$", re.DOTALL)
# What may well be done again right after it was done.
_AGAIN = re.compile(r"next phase|next lesson|end turn|undo\b.*", re.DOTALL)


class Act(StrEnum):
    """What a button does: say its message, ask for own dice for it, or ask for an answer to its question."""

    SAY = "say"
    OWN_DICE = "own"
    TELL = "tell"


@dataclass(frozen=True)
class Offer:
    """A button: its label, and the message behind it; `question` is the one it answers."""

    label: str
    text: str
    act: Act = Act.SAY
    question: Question | None = None

    @property
    def once(self) -> bool:
        """Whether pressing it a second time must not do it again."""
        return self.act is Act.SAY and _ONCE.match(self.text) is not None

    def shared_event(self, message: int, id: str) -> str | None:
        """The event of all presses that do the same thing once: of the answers to a question, or of one button."""
        if self.question is not None:
            return answering(self.question)
        return f"press {message} {hashlib.sha256(id.encode()).hexdigest()[:16]}" if self.once else None

    def kept(self) -> dict[str, Any]:
        """What is remembered of it."""
        return {"text": self.text} | ({} if self.question is None else {"question": asdict(self.question)})


def offers_of(reply: Reply, asked: str = "", form: Offer | None = None) -> tuple[Offer, ...]:
    """The buttons under a reply: what it offers, and what is done all night; the choices if it asks.

    The very roll or look-up that was asked just now is not offered again; a `form` is, if it was filled in in vain.
    """
    if form is not None and reply.kind == "misread" and reply.asks in (None, form.question):
        return (replace(form, label="own dice" if form.act is Act.OWN_DICE else "answer"),)
    if reply.kind == "choice":
        choices = reply.offers[:MOST_OPTIONS]
        labels = enumerate(zip(briefly(choices, MOST_CHOICE), choices, strict=True), 1)
        return tuple(Offer(f"{i}. {label}", choice, question=reply.asks) for i, (label, choice) in labels)
    offers = (*_offered(reply), *_usual(reply))
    found = {offer.text + offer.act: offer for offer in offers if offer.text != asked or _sensible_again(offer)}
    return tuple(found.values())[:MOST_BUTTONS]


def _sensible_again(offer: Offer) -> bool:
    return offer.question is not None or _AGAIN.fullmatch(offer.text) is not None


def _offered(reply: Reply) -> Iterable[Offer]:
    for text in reply.offers:
        if text.endswith(OWN_DICE):
            yield Offer("own dice", text.removesuffix(OWN_DICE), Act.OWN_DICE)
            continue
        yield Offer(text, exactly(reply, text), question=reply.asks)
        if text.startswith("roll ") and reply.kind == "odds":
            yield Offer("own dice", exactly(reply, text), Act.OWN_DICE)


def _usual(reply: Reply) -> Iterable[Offer]:
    data = reply.data or {}
    number = data.get("id")
    if reply.kind == "attack":
        yield Offer("why", f"why #{number}")
    if reply.asks is not None and reply.asks.missing:
        yield Offer("answer", reply.title, Act.TELL, reply.asks)
    lesson = data.get("lesson")
    if isinstance(lesson, Mapping) and lesson.get("next") and lesson.get("own_dice"):
        yield Offer("my own dice", _first_line(reply), Act.TELL, reply.asks)
    if data.get("state", {}) and data["state"].get("open"):
        yield Offer("what now", "what now")
        if isinstance(number, int):
            yield Offer("undo", f"undo #{number}")


def _first_line(reply: Reply) -> str:
    """What a lesson asks for: how many dice to pick up."""
    return next((block.text for block in reply.blocks if isinstance(block, Line)), reply.title)


def exactly(reply: Reply, offer: str) -> str:
    """The message that the offer makes beside this very reply, whatever is said in between."""
    level = (reply.data or {}).get("level") or {}
    read = str((reply.data or {}).get("read") or "").removesuffix(f": {level.get('read')}")
    if offer == "roll it" and read.startswith("odds "):
        return f"roll {read.removeprefix('odds ')}"
    letter = offer.removeprefix("roll ")
    if reply.kind == "compare" and len(letter) == 1:
        return str((reply.data or {})["rolls"][ascii_uppercase.index(letter)])
    state = (reply.data or {}).get("state") or {}
    if offer == "next phase" and state.get("phase"):
        return str(NextPhase(ends=state["phase"], side=state["turn"], round=state["round"]))
    return offer


def plain_id(offer: Offer) -> str | None:
    """The custom id of an offer whose message is short enough to stand in it, if it answers no question."""
    id = f"{offer.act}:{offer.text}"
    return id if len(id) <= MOST_ID and offer.question is None else None


class Shelf:
    """Custom ids of offers, and back. Asked from worker threads."""

    def __init__(self, memory: Memory) -> None:
        self._memory = memory

    def id_of(self, where: str, offer: Offer) -> str:
        """The custom id; a message too long for it is kept in the ledger, and so is a question."""
        plain = plain_id(offer)
        if plain is not None:
            return plain
        kept = offer.kept()
        key = hashlib.sha256(json.dumps(kept).encode()).hexdigest()[:32]
        self._memory.remember(where, KEPT + key, kept)
        return f"{offer.act}+:{key}"

    def offer(self, where: str, custom_id: str) -> Offer | None:
        """The offer behind a custom id, if it is one of ours and still kept."""
        match = _ID.fullmatch(custom_id)
        if match is None:
            return None
        act, rest = Act(match["act"]), match["rest"]
        if not match["kept"]:
            return Offer("", rest, act)
        kept = self._memory.recall(where, KEPT + rest)
        question = Question(**kept["question"]) if "question" in kept else None
        return Offer("", kept["text"], act, question) if kept else None
