"""who rolled: the person behind an entry, and when."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Entry
from bot.misread import Misread
from bot.reply import Line, Reply
from bot.requests.record import WhoRolled
from bot.retelling import LOOK_BACK, in_a_line, the_entry, when, who


def answer(request: WhoRolled, asked: Asked, house: House) -> Reply:
    """Who made the entry; the last one with dice if no number is given."""
    entry = _last(house, asked.where) if request.number is None else the_entry(house, asked.where, request.number)
    did = "gave own dice for" if entry.declared else "rolled" if entry.faces else "said"
    title = f"{who(entry)} {did} #{entry.id}, {when(entry)}"
    data = {"id": entry.id, "who": entry.who, "when": entry.when.isoformat(), "declared": entry.declared}
    return Reply("who rolled", title, (Line(in_a_line(entry)),), data, offers=(f"show #{entry.id}",))


def _last(house: House, where: str) -> Entry:
    for last in (LOOK_BACK, None):
        for entry in reversed(house.ledger.entries(where, last=last)):
            if entry.faces:
                return entry
    raise Misread("nobody has rolled here yet", hint="dice 2d6")
