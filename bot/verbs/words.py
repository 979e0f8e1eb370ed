"""call X Y and words: a channel's own words for our clauses; they apply to that channel only."""

from __future__ import annotations

from collections.abc import Mapping

from bot.asked import Asked
from bot.house import House
from bot.reading.synonyms import MOST_WORDS
from bot.reply import Line, Note, Reply
from bot.requests.words import CallWord, Words
from bot.rights import of_the_opener
from resolver.refused import Refused


def call(request: CallWord, asked: Asked, house: House) -> Reply:
    """Keep one word, or take it back."""
    of_the_opener(house, asked, "changes the words of the channel while it is open")
    settings = house.memory.recall(asked.where)
    words: dict[str, str] = dict(settings.get("synonyms", {}))
    before = words.pop(request.word, None)
    if request.meaning is not None:
        words[request.word] = request.meaning
    if len(words) > MOST_WORDS:
        raise Refused("words", f"a channel has at most {MOST_WORDS} words of its own; take one back first")
    house.memory.remember(asked.where, "", settings | {"synonyms": words})
    return Reply("words", _said(request, before), (), {"words": words, "said": _said(request, before)}, shared=True)


def _said(request: CallWord, before: str | None) -> str:
    if request.meaning is None:
        return f'"{request.word}" means nothing here' + (f" any more (it was: {before})" if before else "")
    changed = f" (before: {before})" if before and before != request.meaning else ""
    return f'in this channel "{request.word}" now means: {request.meaning}{changed}'


def show(request: Words, asked: Asked, house: House) -> Reply:
    """The channel's own words."""
    words: Mapping[str, str] = house.memory.recall(asked.where).get("synonyms", {})
    lines = tuple(Line(f"{word}: {meaning}") for word, meaning in sorted(words.items()))
    note = Note('`call "sweep" half range double attacks` adds one, `call "sweep" nothing` takes it back')
    title = "the words of this channel" if words else "this channel has no words of its own"
    return Reply("words", title, (*lines, note), {"words": dict(words)})
