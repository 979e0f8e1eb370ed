"""Models called by a name that stands in no list: "six ogres with T5", "my reavers are 7 inches away".

Only where a word can be nothing but such a name: several of them counted, or somebody's, and then told about. What
is read says models, so that nobody is misled.
"""

from __future__ import annotations

from bot.reading.atoms import SPELLINGS, Atom
from bot.reading.filler import FILLER, INTO
from bot.reading.troops import KINDS, MODEL

_HAVE = frozenset(["with", "has", "have", "having"])
_DO = (
    "is are get gets got make makes shoot shoots fire fires swing swings hit want wants will would can could stand"
    " stands"
)
_TOLD = _HAVE | frozenset(_DO.split())
_BESIDE = _TOLD | frozenset([",", ".", ";", ":", "at", "in", "who", "that", "they", "each"])
_STATISTIC = ("t", "toughness", "w", "sv", "save", "ws", "bs")
_OWN = frozenset(["my", "our", "your", "his", "her", "their", "the"])
_STATS = "s strength t toughness ap w d damage hit wound save skill bs ws range at on of or and to plus minus + -"
_NO_COUNT = frozenset(_STATS.split())
_NO_MODELS = frozenset(["unsaved", "slain", "casualty", "casualties", "losses", "unless"])  # what an attack counts
_MANY = ("s", "men", "folk")
SHORTEST = 4  # letters


def with_names(words: list[Atom]) -> list[Atom]:
    """The words with "model" for such names."""
    found = [place for place, word in enumerate(words) if _may_be_name(words, place, word.text)]
    named = {place for place in found if _is_strange(words[place].text)}
    return [word._replace(text=MODEL) if place in named else word for place, word in enumerate(words)]


def _is_strange(word: str) -> bool:
    """Whether it is none of the reader's words, nor one with a slip in it."""
    from rapidfuzz import process  # only a strange word pays for it, and for gathering the words of every clause
    from rapidfuzz.distance import OSA

    from bot.reading.hints import VOCABULARY

    alike = [known for known in (*VOCABULARY, *SPELLINGS) if known[0] == word[0] and len(known) >= SHORTEST]
    return word not in VOCABULARY and process.extractOne(word, alike, scorer=OSA.distance, score_cutoff=1) is None


def _may_be_name(words: list[Atom], place: int, text: str) -> bool:
    if len(text) < SHORTEST or not text.isalpha() or text in SPELLINGS or text in FILLER or text in INTO or not place:
        return False
    if text in _NO_MODELS:
        return False
    before, behind = words[place - 1].text, words[place + 1].text if place + 1 < len(words) else ""
    if before.isdigit() and not words[place].glued:
        return _is_counted(words, place, behind) and (behind in _BESIDE or behind.rstrip("0123456789+") in _STATISTIC)
    return (before in _OWN or before.endswith("'s")) and text not in KINDS and behind in _TOLD


def _is_counted(words: list[Atom], place: int, behind: str) -> bool:
    """Whether the number before the word counts it: "1 warlord", "6 ogres", but no "AP 2 poison"."""
    ahead = words[place - 2].text if place > 1 else ""
    many = words[place].text.endswith(_MANY)
    joined = ahead in ("plus", "and", "hit") and behind in _HAVE
    counts = (joined or ahead not in _NO_COUNT) and not words[place - 1].glued
    return counts and (many or words[place - 1].text == "1")
