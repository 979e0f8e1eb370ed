"""What is held back: a question does nothing of what it asks about, if that would change something."""

from __future__ import annotations

import re

from bot.misread import Unsure
from bot.reading.context import Context
from bot.reading.intent import ASKED_ROLL
from bot.reading.message import Message
from bot.reading.names import known
from bot.requests.action import Undo
from bot.requests.dice import RollDice
from bot.requests.table import Score

# The requests that change the table, the record or what is known of a person. A roll is none of them: whoever bids
# the umpire kindly to roll may end with a question mark.
# fmt: off
_CHANGING = frozenset(
    [
        "Act", "ChargeAt", "Distance", "Allocate", "SetModels", "LoseWounds", "SetDeed", "SetEngaged", "Correct",
        "Undo", "Open", "Close", "Rest", "Sit", "Leave", "LoadRoster", "FirstTurn", "NextPhase", "EndTurn",
        "BackPhase", "Score", "OwnDice", "Explain", "Agreed", "Decline", "Reveal", "ForgetMe", "HouseRule",
        "CallWord",
    ]
)
# fmt: on
_MAY_I = re.compile(r"(?:can|may|could|should) (?:i|we)\b")
_BID = re.compile(r"\W*(?:[a-z]+\W+)??(?:can|could|will|would) (?:you|u)\b")


def hold_asked(text: str, request: object, context: Context) -> None:
    """Ask back where it is asked, with or without a mark, whether to roll loose dice or to undo what was done."""
    plain = Message(text).plain.lstrip()
    if isinstance(request, RollDice) and ASKED_ROLL.match(plain):
        raise Unsure(f"a question does nothing yet; say `{request}` to roll", (str(request),))
    if isinstance(request, Undo) and _MAY_I.match(plain):
        raise held(str(request), context)


def hold(text: str, request: object, context: Context) -> None:
    """Ask back where the message, which ends with a question mark, was read as something to be done."""
    plain = Message(text).plain
    if type(request).__name__ not in _CHANGING or _BID.match(plain) or plain.lstrip().startswith("roll"):
        return
    if getattr(request, "odds", False):
        return
    if isinstance(request, Score) and request.side and context.units and not known(request.side, context.units):
        return  # nobody scores: it is complained of, or is a question of the rules ("can … exceed +1?")
    raise held(text.strip(" ?!.\t\n"), context)


def held(bare: str, context: Context) -> Unsure:
    """What is asked back: the message without its mark does it; a name may have been meant."""
    meaning = (f"what is {bare}",) if context.is_term(bare) else ()
    return Unsure(f"a question does nothing yet; say `{bare}` without the question mark to do it", (bare, *meaning))
