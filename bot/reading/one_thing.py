"""One message makes one request: a second verb is asked about, or complained of, and never taken for the first one."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice
from typing import Any

from bot.misread import Misread, Unsure
from bot.reading.context import Context
from bot.reading.message import Message
from bot.requests.dice import Needs
from bot.requests.questions import WhatIs
from resolver.refused import Refused

Reader = Callable[[str, Context], Any]
ONE = "One thing at a time: which one now?"
MOST = 20  # lines and sentences that are looked at
_VERBS = (
    "roll", "attack", "odds", "compare", "needs", "dice", "charge", "reach", "advance", "show", "log", "why", "luck",
    "audit", "what", "what's", "can", "may", "phase", "undo", "correct", "next", "end", "page", "cut", "units",
)  # fmt: skip
_POLITE = r"\s*(?:(?:please|pls|ok|okay|now|so|and|then|also|right|hey)\b[,.!\s]*)*"
_OPENS = re.compile(rf"{_POLITE}(?P<verb>{'|'.join(_VERBS)}|how(?= (?:far|many|much)\b))\b")
# Within a line that rolls or reckons, where another such request may begin: behind a joint, or with its own number.
_LINE = re.compile(r"[^\n?]+\??|\?")
_RECKONS = re.compile(rf"{_POLITE}(?:roll|attack|odds|compare|show|dice)\b")
_JOINT = re.compile(
    r"(?:[.,;!?]|\b(?:and|then|also))\s+(?:(?:and|then|also|please)\s+)*(?=(?:roll|odds|compare|show)\b)"
    r"|\s(?=roll \d+ ?(?:d\d|shots?|attacks?|dice|models)\b)"
)
# Within a line that asks, where another question begins.
_ASKS = re.compile(rf"{_POLITE}(?:what|what's|can|may)\b")
_AND_ASKS = re.compile(
    r",?\s+(?:and|or)\s+(?=(?:what|what's|can|may)\b)"
    # behind a bare comma only what asks of something else: "what is AP, what does it do" is one question
    r"|,\s+(?=what(?:'s| is| are| does)\b(?! (?:it|that|this|they|those|these|the (?:point|use))\b)"
    r"|(?:can|may) (?:i|we|my|the|an?) (?:(?!it\b)\w+ )+after\b|how (?:far|many|much)\b)"
)
# "can I charge after shooting, and shoot after advancing": two deeds, each after another one.
_TWICE = re.compile(
    rf"{_POLITE}(?P<asks>(?:can|may) (?:i|we|they|it|(?:my|the|an?) \w+(?: \w+)?)) (?P<one>\w+ after \w+),? and"
    r" (?P<two>\w+ after \w+)\W*"
)


def one_thing(message: Message, context: Context, read: Reader) -> None:
    """Complain of a message in which two whole requests or more stand, each with its verb."""
    twice = _TWICE.fullmatch(message.plain)
    if twice is not None:
        raise Unsure(ONE, (f"{twice['asks']} {twice['one']}", f"{twice['asks']} {twice['two']}"))
    joined = _JOINT.search(message.plain) or _AND_ASKS.search(message.plain)
    if message.text.count("?") < 2 and "\n" not in message.text and not joined:
        return
    pieces, alone = list(_pieces(message)), replace(context, memory={})
    if len(pieces) < 2:
        return
    found = [(start, text, request) for start, text in pieces if (request := _whole(text, alone, read))]
    if len(found) < 2 or _told_together([request for *_, request in found]):
        return
    choices = tuple({str(request): text for _, text, request in reversed(found)}.values())[::-1]
    if len(choices) > 1:
        raise Unsure(ONE, choices)
    start, text, _ = found[1]
    raise Misread("one thing at a time, please", (start, start + len(text.split(maxsplit=1)[0])), hint=choices[0])


def _told_together(requests: list[object]) -> bool:
    """Whether they are needed numbers, each of another die."""
    checks = [request.check for request in requests if isinstance(request, Needs)]
    alike = all(str(request).startswith("needs") for request in requests)
    return alike and len(set(checks)) == len(checks)


def _pieces(message: Message) -> Iterator[tuple[int, str]]:
    """The first few pieces that open with a verb: where it stands, and the words from there as typed."""
    for start, end in islice(_places(message), MOST):
        opens = _OPENS.match(message.plain, start, end)
        if opens is not None:
            yield opens.start("verb"), message.text[opens.start("verb") : end].strip()


def _places(message: Message) -> Iterator[tuple[int, int]]:
    """The lines and their questions, and the parts of those that roll, reckon or ask."""
    for line in _LINE.finditer(message.text):
        start, end = line.span()
        asks = _AND_ASKS if _ASKS.match(message.plain, start) else None
        joints = _JOINT if _RECKONS.match(message.plain, start) else asks
        for joint in joints.finditer(message.plain, start, end) if joints else ():
            yield start, joint.start()
            start = joint.end()
        yield start, end


def _whole(text: str, context: Context, read: Reader) -> object | None:
    """The request that the piece makes by itself, if it makes one in its own words."""
    try:
        request = read(text, context)
    except (Misread, Unsure, Refused):
        return None
    if isinstance(request, WhatIs) and not context.is_term(request.words):
        return None
    first = Message(text.split(maxsplit=1)[0]).plain.removesuffix("'s")
    if isinstance(request, Needs) and first == "what":
        return request
    return request if str(request).split(maxsplit=1)[0].lower() == first or first in ("roll", "attack", "may") else None
