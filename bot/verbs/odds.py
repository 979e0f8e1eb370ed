"""odds: an attack reckoned exactly; changes nothing, and offers to roll exactly that."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.reply import Note, Reply
from bot.requests.attack import Odds, Roll
from bot.verbs.level_answer import level_chance
from bot.verbs.odds_answer import odds_blocks, odds_data, spreads
from bot.verbs.odds_picture import odds_picture
from resolver.exact import odds
from resolver.plan import plan


def answer(request: Odds, asked: Asked, house: House) -> Reply:
    """The exact odds, and the offer to roll."""
    planned = plan(request.attack, house.ruleset(asked.where))
    reckoned = odds(planned)
    read = str(request)
    level = None if request.level is None else level_chance(request.level, planned, reckoned)
    told = spreads(planned, reckoned, level)
    picture = odds_picture(read, reckoned, told)
    blocks = (*odds_blocks(planned, reckoned, told, level=level), *map(Note, request.notes), picture)
    remember_last(house, asked, request)
    data = odds_data(planned, reckoned, read, level)
    return Reply("odds", read, blocks, data, offers=("roll it",))


def remember_last(house: House, asked: Asked, request: Odds | Roll) -> None:
    """Keep the attack at hand, so that `roll it` and a question about it need no repeating."""
    rolled = isinstance(request, Roll)
    keep_in_mind(house, asked, str(Odds(request.attack)) if rolled else str(request), rolled)


def keep_in_mind(house: House, asked: Asked, last: str, rolled: bool) -> None:
    """Keep the attack at hand, and whether it was rolled: then a plain yes does not roll it once more."""
    memory = house.memory.recall(asked.where, asked.who)
    if (memory.get("last"), memory.get("rolled", False)) != (last, rolled):
        house.memory.remember(asked.where, asked.who, memory | {"last": last, "rolled": rolled})
