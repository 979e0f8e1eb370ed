"""what is X: the entry that bears the name; a ruling if the question is one; else the nearest, marked as such."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.asked import Asked
from bot.house import House
from bot.lookup import sorted_words
from bot.misread import Unsure
from bot.naming import clipped
from bot.reply import Line, Note, Reply
from bot.requests.questions import WhatIs
from bot.terms import Entry

MOST_OFFERS = 3
_TWICE = re.compile(r"\band (?:what|how)\b(?! (?:does|do|is|are) (?:it|that|they)\b)", re.IGNORECASE)
_NAME_ASKED = re.compile(
    r"\b(?:how|what|whats|what's|wat)\b[^,.?]{0,40}?\b(?:called|call|named|name|word|term)\b"
    r"(?: (?:it|that|this|for|when|if))*"
    r"|[,;.?] *(?:the )?(?:name|word|term)\b|\b(?:the |a )?(?:words?|names?|terms?) for\b"
    r"|\b(?:is|are|its|it's) (?:called|named)(?: what)?[\s?.!]*$",
    re.IGNORECASE,
)
_THING = re.compile(
    r"(?:what(?:'s|s| is| are) )?(?:the|that|those|an?) (?:\w+ ){1,4}?"
    r"(?:that|which|where|when|who|you)\b"
    r"|(?:the |that |this )?(?:thing|bit|stuff|part|moment) (?:at|where|when|with|that|in|before|after|you|we)\b"
    r"|(?:the )?\w+ing (?:the|a|your|my|models?|units?|close|up|dice|onto|on)\b",
    re.IGNORECASE,
)


def answer(request: WhatIs, asked: Asked, house: House) -> Reply:
    """Exact names answer, and names that only say where they stand; what merely comes near is never taken for exact."""
    lookup = house.glossary.lookup
    exact = lookup.bearing(request.words)
    if exact:
        return _one_of(request.words, exact, house)
    two_things(request.words, house)
    return _unnamed(request, asked, house)


def _one_of(words: str, found: Sequence[Entry], house: House) -> Reply:
    """The entry that the words name, or a choice where several bear the name."""
    if len(found) == 1:
        return entry_reply(found[0], house)
    meanings = tuple(f"what is {house.glossary.lookup.own_name(entry)}" for entry in found)
    raise Unsure(f'"{clipped(words)}" has more than one meaning', meanings)


def two_things(words: str, house: House) -> None:
    """Ask which of two entries is meant first, if the words name two."""
    lookup = house.glossary.lookup
    both = lookup.pair(words)
    if both:
        raise Unsure("two things; which first?", tuple(f"what is {lookup.own_name(entry)}" for entry in both))


def _unnamed(request: WhatIs, asked: Asked, house: House) -> Reply:
    """What no entry is called may be a question about the rules, or a name with words round it.

    A word or two with a slip in them is a name misspelt.
    """
    from bot.verbs.ruling_answer import asked_question, ruled, unknown  # a plain name needs none of it

    short = len(sorted_words(request.words)) <= 2
    slipped = bool(asked_question(request.words, asked, house).mended) or house.glossary.lookup.misspells(request.words)
    misspelt = short and slipped
    reply = None if misspelt else fitting(ruled(str(request), asked, house), request.words)
    loosely = house.glossary.lookup.loosely(request.words) if reply is None else []
    if loosely:
        return _one_of(request.words, loosely, house)
    if reply is not None and not (is_description(request.words) and near_only(reply)):
        return reply
    _slipped(request.words, house)
    named = chattered(request.words, house)
    if named is not None:
        return named
    described(request.words, house)
    if reply is not None:
        return reply
    said = f'the glossary has no entry called "{clipped(request.words)}"'
    return unknown(said, house.glossary.lookup.near(request.words))


def is_description(words: str) -> bool:
    """ "The save that AP can't make worse", "staying close, whats the word": a thing, told without its name."""
    return _NAME_ASKED.search(words) is not None or _THING.match(words) is not None


def asks_a_name(words: str) -> bool:
    """ "What do you call that"."""
    return _NAME_ASKED.search(words) is not None


def fitting(reply: Reply | None, words: str) -> Reply | None:
    """The ruling, unless it says yes or no to words that ask what something is called."""
    decides = reply is not None and not near_only(reply)
    return None if decides and _NAME_ASKED.search(words) else reply


def near_only(reply: Reply) -> bool:
    """Whether a ruling gives no yes or no, so that it may stand behind the entry that is described."""
    return (reply.data or {}).get("answer") not in ("yes", "no")


def chattered(words: str, house: House) -> Reply | None:
    """The entry whose name is all that the words say beside asking ("the T on my stat card again")."""
    from bot.describing import bare  # a plain name needs none of it

    name = "" if _TWICE.search(words) else bare(words)
    found = house.glossary.lookup.bearing(name) if name else []
    if len(found) == 1:
        return entry_reply(found[0], house)
    if name and name != words.casefold():
        _slipped(name, house)
    return None


def described(words: str, house: House) -> None:
    """Offer the entries that the words describe best, if they come near any."""
    near = house.glossary.describing.nearest(_NAME_ASKED.sub(" ", words))
    if near:
        choices = tuple(f"what is {house.glossary.lookup.own_name(entry)}" for entry in near)
        raise Unsure(f"nothing is called that here; the nearest is {near[0].title}: {near[0].short}", choices)


def _slipped(words: str, house: House) -> None:
    """Offer the entries whose name is only misspelt; a single one with its sentence, so that nobody asks twice."""
    meant = house.glossary.lookup.misspelt(words)
    if meant:
        first = f" (did you mean {meant[0].title}? {meant[0].short})" if len(meant) == 1 else "; which is meant?"
        choices = tuple(f"what is {house.glossary.lookup.own_name(entry)}" for entry in meant)
        raise Unsure(f'nothing is called "{clipped(words)}" here{first}', choices)


def entry_reply(entry: Entry, house: House) -> Reply:
    """One entry: its sentence, its text, what to read next."""
    abbreviations = f" ({', '.join(entry.abbreviations)})" if entry.abbreviations else ""
    see = tuple(house.glossary.entries[id].title for id in entry.see)
    notes = (Note(f"See also: {', '.join(see)}"),) if see else ()
    tries = (entry.example.ask,) if entry.example else ()
    data = {
        "id": entry.id,
        "title": entry.title,
        "text": f"{entry.short} {entry.text}",
        "abbreviations": list(entry.abbreviations),
        "see": list(entry.see),
    }
    offers = (*tries, *(f"what is {title.lower()}" for title in see[:MOST_OFFERS]))
    blocks = (Line(entry.short, strong=True), Line(entry.text), *notes)
    return Reply("entry", f"{entry.title}{abbreviations}", blocks, data, offers=offers)
