"""what is X: the entry that bears the name; a ruling if the question is one; else the nearest, marked as such."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.lookup import sorted_words
from bot.misread import Unsure
from bot.reply import Line, Note, Reply
from bot.requests.questions import WhatIs
from bot.terms import Entry
from bot.verbs.ruling_answer import asked_question, ruled, unknown

MOST_OFFERS = 3


def answer(request: WhatIs, asked: Asked, house: House) -> Reply:
    """Exact names answer, and names that only say where they stand; what merely comes near is never taken for exact."""
    lookup = house.glossary.lookup
    found = lookup.find(request.words)
    if len(found.exact) == 1:
        return entry_reply(found.exact[0], house)
    if found.exact:
        meanings = tuple(f"what is {lookup.own_name(entry)}" for entry in found.exact)
        raise Unsure(f'"{request.words}" has more than one meaning', meanings)
    two_things(request.words, house)
    reply = None if _misspelt(request, asked, house) else ruled(str(request), asked, house)
    if reply is None and len(loosely := lookup.loosely(request.words)) == 1:
        return entry_reply(loosely[0], house)
    return reply or unknown(_nothing(request.words), found.near)


def two_things(words: str, house: House) -> None:
    """Ask which of two entries is meant first, if the words name two."""
    lookup = house.glossary.lookup
    both = lookup.pair(words)
    if both:
        raise Unsure("two things; which first?", tuple(f"what is {lookup.own_name(entry)}" for entry in both))


def _misspelt(request: WhatIs, asked: Asked, house: House) -> bool:
    """A word or two with a slip in them is a name misspelt, not a question about the rules."""
    question = asked_question(request.words, asked, house)
    return bool(question.mended) and len(sorted_words(request.words)) <= 2


def _nothing(words: str) -> str:
    return f'the glossary has no entry called "{words}"'


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
