"""Phases asked for in any words: "charge phase how does it go", "whcih phase is before the movment one".

What is left beside the phase, a mark of before and after, and mere asking must be nothing; then the message can ask
for nothing else. A slip or two in the words of a phase are mended.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from bot.asking_words import ASKING_WORDS
from bot.questions.told import Told
from bot.reading.context import Context
from bot.reading.question_shapes import PHASES, PLACES
from bot.requests.questions import Phase

LONGEST = 16  # words
_WORD = re.compile(r"[^\W\d_]+(?:'[a-z]+)?|\d(?:st|nd|rd|th)")
_MENDABLE = (
    "movement", "shooting", "charge", "fight", "command", "phase", "phases", "before", "after", "order", "which",
    "comes",
)  # fmt: skip
_ENGLISH_WORDS = "change changed large eight flight right sight night light border older page phrase pause phone"
_ENGLISH = frozenset(_ENGLISH_WORDS.split())
_BEFORE = frozenset({"before", "previous", "prior", "precedes", "preceding", "earlier"})
_AFTER_WORDS = (
    "after next follows following afterwards then finished finish over done ended ends end complete completed"
    " past later comes coming"
)
_AFTER = frozenset(_AFTER_WORDS.split())
_ENDED = _AFTER - {"comes", "coming", "then"}
_ASKING_WORDS = (
    "what's happen happens happening come comes coming during turn round phase phases step steps order sequence"
    " list show give walk through thru play played run once first all every option options allowed everything look"
    " remind s possible actions action moment time right directly straight immediately aloud"
)
_ASKING = ASKING_WORDS | frozenset(_ASKING_WORDS.split())
_YES_OR_NO = frozenset({"is", "are", "was", "do", "does", "did", "can", "may", "must", "should", "has", "have", "am"})
_NEXT = frozenset({"next", "after", "follows", "afterwards", "then"})
_NEXT_WORDS = (
    "what whats what's wat which phase is comes happens goes do does i we now and so ok on to up one it the that this"
    " please pls done be come"
)
_NEXT_ASKED = _NEXT | frozenset(_NEXT_WORDS.split())
_DEEDS = {"moved": "movement", "shot": "shooting", "fired": "shooting", "charged": "charge", "fought": "fight"}
_OVER = frozenset({"done", "finished", "over", "ended", "complete", "completed", "through", "end", "finish"})
_OPENED = frozenset({"first", "start", "starts", "begin", "begins", "starting", "open", "opens"})
_CLOSED = frozenset({"last", "final", "finishes", "closes"})


def phase_asked(text: str, context: Context) -> Phase | None:
    """The phase that the words ask for, if they ask for a phase and nothing else."""
    said = [_mended(word) for word in _WORD.findall(text)]
    if not 2 <= len(said) <= LONGEST or not {"phase", "phases"} & set(said) or context.is_term(text.strip(" ?!.")):
        return None
    start = next((word for word in said if word not in ("and", "so", "ok", "hey", "please")), "")
    if start in _YES_OR_NO:
        return None
    if len(said) == 2 and text.split()[:2] != said[:2]:
        return None  # a name misspelt, and no question
    named = dict.fromkeys(PHASES[word] for word in said if word in PHASES)
    if len(named) > 1:
        return None
    return _of(next(iter(named)), said) if named else _of_the_turn(said, context)


def phase_told(parts: Told) -> Phase | None:
    """ "Shooting is done. What comes next?", "it's the charge phase, what now": the phase told of, or the one after."""
    asks, told = ({_mended(word) for word in _WORD.findall(part)} for part in (parts.asks, parts.rest))
    named = {PHASES[word] for word in told if word in PHASES} or {_DEEDS[word] for word in told if word in _DEEDS}
    if len(named) != 1 or asks - _NEXT_ASKED:
        return None
    over = asks & _NEXT or told & _OVER or told & _DEEDS.keys()
    return Phase(named.pop(), 1 if over else 0)


def spelt(text: str) -> str:
    """The text with the slips in the words of phases mended."""
    return _WORD.sub(lambda word: _mended(word[0]), text)


def _of(name: str, said: Sequence[str]) -> Phase | None:
    rest = {word for word in said if word not in PHASES and word not in _ASKING}
    if rest & _BEFORE and rest <= _BEFORE:
        return Phase(name, -1)
    if rest & _ENDED and rest <= _AFTER:
        return Phase(name, 1)
    beside = any(word in PHASES and after == "phase" for word, after in pairwise(said))
    return Phase(name) if beside and not rest else None  # "which phase do I shoot in" asks something else


def _of_the_turn(said: Sequence[str], context: Context) -> Phase | None:
    """ "Which phase do we start with", "phases in which order go they"."""
    words = {word for word in said if word != "they"}
    rest = words - _ASKING
    phases = context.ruleset.phases
    if "phase" in words and "first" in words and not rest:
        return Phase(phases[0].id)
    if "phase" in words and rest and (rest <= _OPENED or rest <= _CLOSED):
        return Phase(phases[0 if rest <= _OPENED else -1].id)
    return Phase() if not rest and "phases" in said[:2] and {"order", "sequence", "list", "all"} & words else None


@lru_cache(maxsize=1024)  # a question is looked over twice
def _mended(word: str) -> str:
    """The word of a phase that this one is with a slip in it, or the word itself."""
    if len(word) < 4 or word in _ASKING or word in _MENDABLE or word in PHASES or word in PLACES or word in _ENGLISH:
        return word
    from rapidfuzz.distance import OSA

    slips = {meant: OSA.distance(word, meant, score_cutoff=2) for meant in _MENDABLE}
    near = [meant for meant, count in slips.items() if count <= (2 if len(meant) >= 8 else 1)]
    return near[0] if len(near) == 1 and word[0] == near[0][0] else word
