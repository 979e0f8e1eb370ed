"""Which plain messages are meant for the umpire in a channel that opted in: those that open with a verb."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.reading.message import Message

VERBS = [
    "advance",
    "agreed",
    "attack",
    "audit",
    "call",
    "charge",
    "compare",
    "correct",
    "cut",
    "dice",
    "explain",
    "help",
    "log",
    "needs",
    "odds",
    "page",
    "phase",
    "reach",
    "recheck",
    "reveal",
    "roll",
    "rolls",
    "score",
    "show",
    "sit",
    "undo",
    "units",
    "words",
    "why",
]
_VERB = re.compile(
    rf"\s*(?:{'|'.join(VERBS)}|what (?:is|does|now)|what's|can (?:i|we|they)|where are we|end (?:turn"
    rf"|phase)|next phase)\b"
)


def opens_with_verb(text: str, context: Context) -> bool:
    """Whether a plain message begins with a verb or the name of a unit, and reads completely."""
    if _VERB.match(Message(text).plain) is None and not _names_a_unit(text, context):
        return False
    try:
        read(text, replace(context, memory={}))
    except (Misread, Unsure):
        return False
    return True


def _names_a_unit(text: str, context: Context) -> bool:
    plain = re.sub(r"^\s*(?:\d{1,3} )?(?:the )?", "", Message(text).plain)
    names = (Message(name).plain for name in context.units)
    return any(re.match(rf"{re.escape(name)}\b", plain) for name in names if name)
