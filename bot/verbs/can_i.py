"""can I …: yes, no, depends or the fact, with the reason; what no ruling covers is said to be uncovered."""

from __future__ import annotations

import re

from bot.asked import Asked
from bot.house import House
from bot.questions.question import FACT
from bot.reply import Reply
from bot.requests.questions import CanI
from bot.verbs.ruling_answer import asked_question, ruled, unknown
from bot.verbs.what_is import entry_reply, two_things

_WORKS = re.compile(r"(?:so |and )?how (?:does|do|did) (?P<name>.+?) (?:work|function)", re.IGNORECASE)

_VERSUS = re.compile(r" (?:vs\.?|versus) ", re.IGNORECASE)


def answer(request: CanI, asked: Asked, house: House) -> Reply:
    """The ruling; or the entry whose name the question is, or which it asks a fact about; or the nearest entries."""
    reply = ruled(request.words, asked, house)
    if reply is not None:
        return reply
    works = _WORKS.fullmatch(request.words)
    named = house.glossary.lookup.bearing(works["name"] if works else request.words)
    if len(named) == 1:
        return entry_reply(named[0], house)
    two_things(_VERSUS.sub(" and ", request.words), house)
    question = asked_question(request.words, asked, house)
    words = " ".join(word.said for word in question.content if word.concept != question.fact)
    found = house.glossary.lookup.find(words)
    if question.asked == FACT and len(found.exact) == 1:
        return entry_reply(found.exact[0], house)
    near = tuple(entry.title for entry in found.exact) or found.near
    not_known = f" (not understood: {', '.join(question.unknown)})" if question.unknown else ""
    return unknown(f"no ruling of {house.ruleset(asked.where).title} covers this{not_known}", near)
