"""A situation and then a question: what the asking sentence of a message asks by itself.

"I only have normal dice, what is a D3"          asks what a D3 is
"Shooting is done. What comes next?"             asks for the phase after shooting
"We went second. Does the order change?"         asks whether the order changes
"""

from __future__ import annotations

import re
from collections.abc import Callable

from bot.questions.tags import parted
from bot.questions.told import Told, points_back, told
from bot.reading import question_shapes as shapes
from bot.reading.context import Context
from bot.reading.message import Message
from bot.reading.phases_asked import phase_told
from bot.requests.questions import CanI, Phase, WhatIs

One = Callable[[Message, Context], object | None]
_FOR_ME = re.compile(
    r"(?:can|could|would|will) (?:you|u) (?!(?:please |pls )?(?:explain|tell|remind|say|define|describe)\b)"
)

SHORT = 4  # words that may be a name and no sentence
_COMPARED = re.compile(r"(?:my |his )?(?:strength|s) ?\d+ \w+ (?:my |his )?(?:toughness|t) ?\d+\W*")  # and nothing else
_MEANING = re.compile(r"\b(?:what|wat|wot|whats)(?:'?s| is| are)?\b.*\b(?:that|it|this|they|those|these)\b|\bmeans?\b")
_NAME = re.compile(r"\b(?:call|called|named?|word|term|diff[a-z]*)\b")


def with_its_sentences(whole: object | None, message: Message, context: Context, one: One) -> object | None:
    """The request of the whole message, with what its asking sentence asks; `one` reads one sentence."""
    if whole is not None and not isinstance(whole, CanI | WhatIs | Phase):
        return whole
    parts = told(message.plain)
    if isinstance(whole, Phase):
        return whole if whole.id or not parts.rest else phase_told(parts) or whole
    if parted(f"{parts.asks} {parts.behind}")[1] or (_is_name(whole, context) and not _names(parts, context, one)):
        return whole
    if not parts.rest:
        return whole if parts.asks == message.plain else one(Message(parts.asks), context) or whole
    reckoned = whole is None and shapes.RECKONED.search(message.plain)
    if reckoned and (_of_an_attack(parts.rest) or not _names(parts, context, one)):
        return None
    if _NAME.search(parts.asks) and (whole is not None or len(parts.rest.split()) <= SHORT):
        return whole  # "…, what is that called", "A vs B, what's the difference" ask about the whole
    asking = phase_told(parts) or _asked(parts, context, one)
    named = isinstance(asking, WhatIs) and context.is_term(asking.words)
    if asking is None or (whole is None and not named and _of_an_attack(parts.rest)):
        return whole
    return CanI(message.text.strip().rstrip("?!. "), asking)


def _is_name(whole: object | None, context: Context) -> bool:
    """ "Coherency, what is that": the whole is a name already, if only with words of asking in it."""
    if not isinstance(whole, WhatIs):
        return False
    from bot.describing import bare

    return context.is_term(whole.words) or context.misspells_term(whole.words) or context.is_term(bare(whole.words))


def _names(parts: Told, context: Context, one: One) -> bool:
    """ "What's a charge? My mate just did one": the asking sentence asks for a name."""
    asking = one(Message(parts.asks), context) if parts.rest else None
    return isinstance(asking, WhatIs) and context.is_term(asking.words)


def _asked(parts: Told, context: Context, one: One) -> WhatIs | CanI | Phase | None:
    if _FOR_ME.match(parts.asks):
        return None
    if points_back(parts.asks) and _MEANING.search(parts.asks) and "roll" not in parts.asks:
        return WhatIs("that")
    asking = one(Message(parts.asks), context)
    return asking if isinstance(asking, WhatIs | CanI | Phase) else None


def _of_an_attack(rest: str) -> bool:
    """Whether the rest tells of an attack: a number of dice, or more than one statistic."""
    if _COMPARED.fullmatch(rest):
        return False
    return shapes.COUNTED.search(rest) is not None or len(shapes.STATISTIC.findall(rest)) > 1
