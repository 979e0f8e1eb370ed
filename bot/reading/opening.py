"""Whether a message among table talk is one to act on: it begins with a verb or a unit's action and reads whole."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.reading.message import Message
from resolver.refused import Refused

_FIRST = re.compile(r"\W*(?:the )?([a-z0-9']+)")
_ALSO = {"attack": "roll"}


def opens(text: str, context: Context) -> bool:
    """Whether the message begins as its own canonical form does. What is left open before plays no part."""
    try:
        request = read(text, replace(context, memory={}))
    except (Misread, Unsure, Refused):
        return False
    said = _first(text)
    return said is not None and _ALSO.get(said, said) == _first(str(request))


def _first(text: str) -> str | None:
    match = _FIRST.match(Message(text).plain)
    return None if match is None else match[1]
