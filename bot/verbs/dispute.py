"""A dispute: how what was rolled is looked into, mended, and settled."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Entry
from bot.reply import Line, Reply
from bot.requests.talk import Dispute
from bot.retelling import LOOK_BACK, the_entry


def answer(request: Dispute, asked: Asked, house: House) -> Reply:
    """Three lines, with the entry that is disputed, or the last attack, ready to be looked into."""
    entries = house.ledger.entries(asked.where, last=LOOK_BACK)
    attacks = [entry for entry in entries if "attack" in entry.data]
    named = None if request.entry is None else the_entry(house, asked.where, request.entry)
    entry = named or (attacks[-1] if attacks else None)
    lines, offers = _looked_into(entry) if entry is not None else ([], ())
    lines.append("if you still differ: `roll off`, play on, and keep it with `house rule: …`")
    data = {"entry": entry and entry.id, "message": "\n".join(lines)}
    offers += ("roll off", "what is dispute")
    return Reply("dispute", "nobody is wrong yet: look, then settle it", tuple(map(Line, lines)), data, offers)


def _looked_into(entry: Entry) -> tuple[list[str], tuple[str, ...]]:
    """How the entry is looked into and put right, and the messages that do the former."""
    show, recheck = f"show #{entry.id}", f"recheck #{entry.id}"
    if "attack" not in entry.data:
        return [f"`{show}` tells what is in the record; a wrong deed: `undo #{entry.id}`"], (show,)
    why = f"why #{entry.id}"
    lines = [
        f"#{entry.id} is in the record: `{show}` and `{why}` tell how it was read and why; `{recheck}` counts it again",
        f"a wrong number: `correct #{entry.id} …` keeps the dice; a wrong deed: `undo #{entry.id}`",
    ]
    return lines, (show, recheck, why)
