"""Whether a message among table talk is one to act on: it begins with a verb or a unit's action and reads whole."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.reading.message import Message
from bot.requests.action import Undo
from bot.requests.record import ForgetMe, Reveal
from bot.requests.table import (
    Agreed,
    BackPhase,
    Close,
    Decline,
    EndTurn,
    Leave,
    NextPhase,
    OwnDice,
    Report,
    Rest,
    Score,
    Sit,
)
from resolver.refused import Refused

_FIRST = re.compile(r"\W*(?:the )?([a-z0-9']+)")
_ALSO = {"attack": ("roll",), "roll": ("roll", "dice")}  # "roll 3d6" is "dice 3d6" in its own words
# What people say to each other in words that are verbs of ours too.
_TALK = re.compile(r"\W*(?:sit (?:down|here|tight|still|back|up)|cut(?: [\w']+){2,}|rules? (?:are|is|say|says) .*)\W*")
# What cannot be taken back is done only for those who speak to the umpire.
_FOR_GOOD = (ForgetMe, Reveal)
# Without a table these are not of the game.
_OF_A_GAME = (
    Agreed, BackPhase, Close, Decline, EndTurn, Leave, NextPhase, OwnDice, Report, Rest, Score, Sit, Undo
)  # fmt: skip


def opens(text: str, context: Context) -> bool:
    """Whether the message begins as its own canonical form does. What is left open before plays no part."""
    try:
        request = read(text, replace(context, memory={}))
    except (Misread, Unsure, Refused):
        return False
    said = _first(text)
    if said is None or _TALK.fullmatch(Message(text).plain):
        return False
    if isinstance(request, _FOR_GOOD):
        return False
    if isinstance(request, _OF_A_GAME) and not context.units:
        return False
    return _first(str(request)) in _ALSO.get(said, (said,))


def _first(text: str) -> str | None:
    match = _FIRST.match(Message(text).plain)
    return None if match is None else match[1]
