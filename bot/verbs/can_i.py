"""can I …: yes, no, depends or the fact, with the reason; what no ruling covers is said to be uncovered."""

from __future__ import annotations

import re

from bot.asked import Asked
from bot.house import House
from bot.questions.question import FACT, FORBIDDEN, MAY, MUST, Question
from bot.reply import Reply
from bot.requests.questions import CanI
from bot.verbs.ruling_answer import asked_question, ruled, unknown
from bot.verbs.what_is import chattered, described, entry_reply, fitting, is_description, near_only, two_things

_WORKS = re.compile(r"(?:so |and )?how (?:does|do|did) (?P<name>.+?) (?:work|function)", re.IGNORECASE)

_ON_EARTH = re.compile(
    r"\bwhat (?:on earth|in the world|the \w+|exactly) (?:is|are|does)\b"
    r"|\bwhat(?:s|'s| is| are) (?:it|that|this|they)\b|\bwhat does (?:it|that|this) (?:do|mean)\b",
    re.IGNORECASE,
)
_LOOKS_UP = re.compile(
    r"(?:so |and |ok |hey )*(?:what(?:'s|s| is| are)|explain|define|tell me"
    r"|how (?:do|does) (?:you|one|i) (?:roll|throw|read)|how (?:do|does) (?:the |a )?\w+(?: \w+)? work)\b",
    re.IGNORECASE,
)
_VERSUS = re.compile(r" (?:vs\.?|versus) ", re.IGNORECASE)


def answer(request: CanI, asked: Asked, house: House) -> Reply:
    """The ruling; or the entry whose name the question is, or which it asks a fact about; or the nearest entries."""
    reply = fitting(ruled(request.words, asked, house), request.words)
    if reply is not None and not (is_description(request.words) and near_only(reply)):
        return reply
    works = _WORKS.fullmatch(request.words)
    bearing = house.glossary.lookup.bearing(works["name"] if works else request.words)
    if len(bearing) == 1:
        return entry_reply(bearing[0], house)
    two_things(_VERSUS.sub(" and ", request.words), house)
    question = asked_question(request.words, asked, house)
    words = " ".join(word.said for word in question.content if word.concept != question.fact)
    found = house.glossary.lookup.find(words)
    if question.asked == FACT and len(found.exact) == 1:
        return entry_reply(found.exact[0], house)
    named = None if _permits(question) else chattered(request.words, house)
    if named is not None:
        return named
    if _looks_up(request.words, question):
        described(request.words, house)
    if reply is not None:
        return reply
    near = tuple(entry.title for entry in found.exact) or found.near
    near = near or tuple(entry.title for entry in house.glossary.describing.nearest(request.words))
    not_known = f" (not understood: {', '.join(question.unknown)})" if question.unknown else ""
    return unknown(f"no ruling of {house.ruleset(asked.where).title} covers this{not_known}", near)


def _permits(question: Question) -> bool:
    """Whether it asks what may or must be done."""
    return question.asked in (MAY, MUST, FORBIDDEN)


def _looks_up(words: str, question: Question) -> bool:
    """Whether it asks what something is, and not whether or how much of it: a permission is no look-up."""
    if is_description(words) or _ON_EARTH.search(words):
        return True
    return not _permits(question) and _LOOKS_UP.match(words) is not None
