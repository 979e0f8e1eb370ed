"""odds: an attack reckoned exactly; changes nothing, and offers to roll exactly that."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.reply import Note, Reply
from bot.requests.attack import Odds, Roll
from bot.verbs.odds_answer import odds_blocks, odds_data
from resolver.exact import odds
from resolver.plan import plan


def answer(request: Odds, asked: Asked, house: House) -> Reply:
    """The exact odds, and the offer to roll."""
    planned = plan(request.attack, house.ruleset(asked.where))
    reckoned = odds(planned)
    read = str(request)
    notes = tuple(Note(note) for note in request.notes)
    remember_last(house, asked, request)
    return Reply(
        "odds", read, odds_blocks(planned, reckoned) + notes, odds_data(planned, reckoned, read), offers=("roll it",)
    )


def remember_last(house: House, asked: Asked, request: Odds | Roll) -> None:
    """Keep the attack at hand, so that `roll it` and a question about it need no repeating."""
    last = str(Odds(request.attack))
    memory = house.memory.recall(asked.where, asked.who)
    if memory.get("last") != last:
        house.memory.remember(asked.where, asked.who, memory | {"last": last})
