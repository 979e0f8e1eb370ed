"""The asking sentence of a message, answered by itself where the whole message is not covered.

What is told beside it may be the condition on which a yes or a no hangs: by itself it never gets one.
"""

from __future__ import annotations

import re

from bot.asked import Asked
from bot.describing import EVERYDAY, telling
from bot.house import House
from bot.misread import Unsure
from bot.questions.question import Question
from bot.reply import Reply
from bot.requests.questions import CanI, Phase, WhatIs
from bot.verbs.phase import answer as phase_reply
from bot.verbs.ruling_answer import nearest, settled
from bot.verbs.what_is import answer as look_up
from bot.verbs.what_is import asks_a_name, entry_reply, is_description

_MEANING = re.compile(r"(?:and |so |but )?(?:(?:what|wat|wot)(?:'?s| is| are| was|.*\b(?:mean|stand|about))\b|explain)")

_MINE = re.compile(r"(?:my|our|his|her|their) ")
_IT = re.compile(r"\b(?:it|this|that|they|them|those|these)\b")


def named_by_itself(request: CanI, asked: Asked, house: House) -> Reply | None:
    """The entry whose name the asking sentence asks for, or points back to: "he said D3. What is that?"."""
    if not isinstance(request.asking, WhatIs):
        return None
    if _points_back(str(request.asking)):
        return _told_of(request, asked, house)
    if _MINE.match(request.asking.words) and any(map(str.isdigit, request.words)):
        return None  # "a 4+ against AP-2, what is my save" asks for the number
    bearing = house.glossary.lookup.bearing(request.asking.words)
    return entry_reply(bearing[0], house) if len(bearing) == 1 else None


def looked_up_by_itself(asking: CanI | WhatIs | Phase, asked: Asked, house: House) -> Reply | None:
    """The phase or the entry that the asking sentence asks for."""
    if isinstance(asking, Phase):
        return phase_reply(asking, asked, house)
    return _looked_up(asking, asked, house) if isinstance(asking, WhatIs) else None


def ruled_by_itself(request: CanI, whole: Question, asked: Asked, house: House) -> Reply | None:
    """The nearest ruling on what the asking sentence asks; nothing if it asks about what was not understood."""
    if not isinstance(request.asking, CanI) or (whole.unknown and _IT.search(request.asking.words)):
        return None
    return nearest(settled(request.asking.words, asked, house), asked, house)


def _points_back(asking: str) -> bool:
    """ "What is that": it asks for a meaning, and no word of it says of what."""
    return _MEANING.match(asking) is not None and not telling(asking) and not asks_a_name(asking)


def _told_of(request: CanI, asked: Asked, house: House) -> Reply | None:
    """The entry named beside "what is that": the only one, or a choice with the likeliest first; or a name misspelt."""
    if is_description(request.words):
        return None
    found = house.glossary.describing.named(request.words)
    if not found or found[0].id in EVERYDAY:
        slips = (word for word in _strange(request.words, house) if house.glossary.lookup.misspells(word))
        slip = next(slips, None)
        if slip is not None:
            return look_up(WhatIs(slip), asked, house)
    if len(found) == 1:
        return entry_reply(found[0], house)
    if found:
        choices = tuple(f"what is {house.glossary.lookup.own_name(entry)}" for entry in found)
        raise Unsure("several things are named there; which is meant?", choices)
    return None


def _strange(words: str, house: House) -> tuple[str, ...]:
    """The words that are none of ours, the last first: one of them may be a name misspelt."""
    return tuple(word for word in reversed(telling(words)) if house.glossary.lexicon.form(word) is None)


def _looked_up(asking: WhatIs, asked: Asked, house: House) -> Reply | None:
    reply = look_up(asking, asked, house)
    return None if reply.kind == "unknown" else reply
