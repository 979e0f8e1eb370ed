"""Slips in the small words round an attack: "waht are teh odds", "jsut", "shoot agianst", "somone".

Only words that ask, join or pass the time are put right, where one alone can be meant and the word is none of its
own. A misspelt clause is never guessed at: it is pointed at, with the nearest clause.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

from bot.misread import Misread
from bot.questions.lexicon import slips_behind
from bot.questions.typos import put_right
from bot.reading.atoms import SPELLINGS
from bot.reading.chatter import TALK
from bot.reading.context import Context
from bot.reading.filler import FILLER, INTO
from bot.reading.hints import VOCABULARY
from bot.reading.message import Message
from bot.reading.numbers import VALUES

SHORTEST, LONG = 5, 9  # letters
MOST_SLIPS = 4  # words in one message
_ASKING = "compare reckon calculate better chance chances probability likely someone somebody please morning evening"
_WORD = re.compile(r"(?<![\w'])[^\W\d_]{3,}(?![\w'])")


def with_slips(message: Message, context: Context) -> Context | None:
    """The context in which the message's misspelt small words mean the right ones; None if it has none, or many."""
    meant = {word: right for word in _strange(message) if (right := _meant(word, context)) is not None}
    if not 0 < len(meant) <= MOST_SLIPS:
        return None
    return replace(context, synonyms={**meant, **context.synonyms})


def is_strange(complaint: Misread) -> bool:
    """Whether a complaint is about a word that may be misspelt."""
    return complaint.message.startswith("I don't understand")


def _strange(message: Message) -> list[str]:
    words = dict.fromkeys(_WORD.findall(message.plain))
    return [word for word in words if not (word in VOCABULARY or word in TALK or word in SPELLINGS or word in VALUES)]


def _meant(word: str, context: Context) -> str | None:
    small = put_right(word)
    if small != word:
        return small if small in _harmless() else None
    if context.is_word(word):
        return None
    swapped = {right for right in slips_behind(word) if right in _harmless()}
    if swapped or len(word) < SHORTEST:
        return swapped.pop() if len(swapped) == 1 else None
    from rapidfuzz import process  # only a misspelt message pays for loading it
    from rapidfuzz.distance import OSA

    slips = 2 if len(word) >= LONG else 1
    near = process.extract(word, _keywords(), scorer=OSA.distance, score_cutoff=slips, limit=2)
    alike = [right for right, _, _ in near if word[0] == right[0]]
    return alike[0] if len(alike) == 1 else None


@cache
def _harmless() -> frozenset[str]:
    return TALK | FILLER | INTO | frozenset(_keywords())


@cache
def _keywords() -> tuple[str, ...]:
    return tuple(sorted({*_ASKING.split(), *INTO}))
