"""Slips of the finger in the small words that ask and join: "cna", "waht", "befroe", "shoudl"; "enuff", "thru".

A slip is two letters swapped, one doubled, or one left out of a word of four letters and more. Whatever is a word
by itself, or a slip in two of these words, is left as it stands. Words of the trade are not mended here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache

_ASKING = (
    "can could does did may might must will would should have has are what which when where who whose how why the"
    " that this these after before from with into and for not you they there same each first then than again while"
    " between against only always allowed about mean whats explain define"
)
# The keys beside the right ones, in the words that are typed most.
_BESIDE = {"can": "ca cn csn cqn xan", "does": "dpes doea doed dows soes eoes", "the": "th yhe tje rhe thw"}
# Words of English, and slips of two words.
_OTHERS = (
    "amy cold firs fist form fro fromm haas hwo int ito man men rae sam tan tat ten tha the thee thees thes thn three"
    " thy were whos whoes wile wit"
)
# Written as it is spoken.
_SPOKEN_WORDS = {
    "allowed": "aloud alowd alloud allowd",
    "enough": "enuff enuf enouf",
    "though": "tho",
    "through": "thru",
    "something": "sumthing somthing smth",
    "because": "cuz cos coz becuz",
    "going to": "gonna",
    "want to": "wanna",
    "do not know": "dunno",
    "he is": "hes",
    "she is": "shes",
    "they are": "theyre",
    "we have": "weve",
    "they have": "theyve",
    "you are": "youre",
    "there is": "theres",
    "that is": "thats",
    "until": "untill til till",
    "please": "plz pls plss",
}
_TOO = re.compile(r"\bto (?=(?:far|late|many|much|big)\b)", re.IGNORECASE)
_OFF = re.compile(r"\bof(?=\s*(?:$|[?.!]|(?:if|when|once) (?:i|we|he|it|my)\b))", re.IGNORECASE)
_ROLL_OF = re.compile(r"\broll of(?=\s*,)", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d_]+")


def put_right(text: str) -> str:
    """The text with the slips in its small words mended."""
    mended = _WORD.sub(lambda word: _slips().get(word[0].casefold(), word[0]), text)
    return _OFF.sub("off", _ROLL_OF.sub("roll off", _TOO.sub("too ", mended)))


@cache
def _slips() -> Mapping[str, str]:
    asking, others = _ASKING.split(), {*_ASKING.split(), *_OTHERS.split()}
    found = {slip: word for word in asking for slip in _slips_of(word)}
    found |= {slip: word for word, slips in (_BESIDE | _SPOKEN_WORDS).items() for slip in slips.split()}
    return {slip: word for slip, word in found.items() if slip not in others}


def _slips_of(word: str) -> Iterator[str]:
    """Every slip in a word."""
    for place, letter in enumerate(word):
        yield word[:place] + letter + word[place:]
        yield word[:place] + word[place + 1 : place + 2] + letter + word[place + 2 :]
        if len(word) > 3 and place:
            yield word[:place] + word[place + 1 :]
