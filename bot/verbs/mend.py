"""A mend in plain words, "that was in cover": which roll it would mend, and whether it is mended or reckoned anew."""

from __future__ import annotations

from bot.asked import Asked
from bot.game import undone
from bot.house import House
from bot.misread import Misread, Unsure
from bot.reading.changes import read_changes
from bot.reading.message import Message
from bot.reading.said import said_of
from bot.reply import Reply
from bot.requests.talk import Mend
from bot.retelling import LOOK_BACK
from bot.table.current import events
from bot.table.units import unit_names


def answer(request: Mend, asked: Asked, house: House) -> Reply:
    """Ask back: a roll is never mended in passing."""
    at_hand = asked.matter.rolled if asked.matter else house.memory.recall(asked.where, asked.who).get("rolled", False)
    number = _meant(asked, house, own=at_hand)
    if number is None:
        raise Misread("no roll is recorded here that could be mended", hint="10 attacks, hit 4+, S5 into T4, save 3+")
    anew = (f"same but {request.change}",) if at_hand and _reckons(request.change, asked, house) else ()
    instead = ", or only reckon?" if anew else "?"
    choices = (f"correct #{number} {request.change}", *anew)
    raise Unsure(f"#{number} is rolled: mend it with the same dice{instead}", choices)


def _meant(asked: Asked, house: House, *, own: bool) -> int | None:
    """The roll replied to; else the newest of one's own, if one spoke of it last, or of the channel."""
    if asked.matter is not None and asked.matter.entry is not None:
        return asked.matter.entry
    void = undone(events(house, asked.where))
    rolls = [entry for entry in house.ledger.entries(asked.where, last=LOOK_BACK) if "attack" in entry.data]
    meant = [entry.id for entry in rolls if entry.id not in void and (entry.who == asked.who or not own)]
    return meant[-1] if meant else None


def _reckons(change: str, asked: Asked, house: House) -> bool:
    """Whether the attack at hand can be reckoned with the change: by name only what its message says, not its cards."""
    last = asked.matter.attack if asked.matter else house.memory.recall(asked.where, asked.who).get("last", "")
    by_name = any(name.casefold() in last.casefold() for name in unit_names(house, asked.where))
    return not by_name or all(one.where == "message" for one in read_changes(said_of(Message(change)), (), ()))
