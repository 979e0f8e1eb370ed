"""The way out of a message that cannot be read, by the word with which it begins: a message of its kind that can."""

from __future__ import annotations

import re
from collections.abc import Mapping

ANOTHER_WAY = "say it another way; `help attacks` shows how"

# Each reads by itself, or at an open table of the demo; a test reads them all.
WAYS: Mapping[str, str] = {
    "show": "show #1",
    "log": "log 10",
    "recheck": "recheck #1",
    "why": "why #1",
    "rolls": "rolls this round",
    "page": "page",
    "reveal": "reveal",
    "audit": "audit",
    "luck": "luck",
    "needs": "needs wound S5 against T4",
    "dice": "dice 3d6+2",
    "charge": "charge from 6.5",
    "reach": "reach from 15 with M6",
    "advance": "advance with M6",
    "compare": "compare 9 shots, hit 4+, S4 into T4, save 3+ or 5 shots, hit 3+, S8 into T4, save 3+",
    "load": "load Kiln Guard",
    "export": "export roster of Kiln Guard",
    "unit": "unit Kiln Guard",
    "units": "units",
    "sit": "sit with Kiln Guard",
    "open": "open table Saltmarsh Wardens against Kiln Guard",
    "close": "close table",
    "undo": "undo #1",
    "correct": "correct #1 T4",
    "score": "score Kiln Guard 5",
    "next": "next phase",
    "end": "end turn",
    "back": "back a phase",
    "step": "step by step Wardens shoot Kiln Guard at 14",
    "lesson": "step by step Wardens shoot Kiln Guard at 14",
    "explain": "explain short",
    "words": "words",
    "report": "report",
}
_OF_ATTACKS = frozenset(("roll", "odds", "attack"))
_FIRST = re.compile(r"\W*([a-z]+)")
_NAMED = re.compile(r"[^\d:\n]{1,40}:")


def way_out(plain: str) -> str:
    """What would work in place of the message: one of its kind, a unit if it names one, or else help."""
    first = _FIRST.match(plain)
    verb = first[1] if first else ""
    if verb in WAYS:
        return WAYS[verb]
    if verb not in _OF_ATTACKS and _NAMED.match(plain):
        from bot.reading.card import EXAMPLE  # only what looks like a unit pays for loading it

        return EXAMPLE
    return ANOTHER_WAY
