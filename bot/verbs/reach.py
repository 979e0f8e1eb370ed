"""reach: whether a unit can charge us next turn after a normal move, and from where on it cannot."""

from __future__ import annotations

from bot.asked import Asked
from bot.chances import fraction_words
from bot.house import House
from bot.reply import Block, Line, Note, Reply
from bot.requests.dice import Reach
from bot.verbs.charge_answer import inches, totals_data
from resolver.allowed import check_moving
from resolver.movement import ReachOdds, reach


def answer(request: Reach, asked: Asked, house: House) -> Reply:
    """The chance at this distance, and the distances where it is certain and where it is nothing."""
    ruleset = house.ruleset(asked.where)
    check_moving(request.modifier, request.reroll is not None, ruleset)
    odds = reach(ruleset.movement, request.distance, request.move, modifier=request.modifier, reroll=request.reroll)
    data = {
        "distance": inches(odds.distance),
        "move": inches(odds.move),
        "needs": odds.needs,
        "chance": str(odds.chance),
        "distribution": totals_data(odds.totals),
        "certain_to": inches(odds.certain_to),
        "safe_from": inches(odds.safe_from),
        "reasons": list(odds.reasons),
        "read": str(request),
        "ruleset": ruleset.id,
    }
    blocks: tuple[Block, ...] = (
        Line(_chance_line(odds), strong=True),
        Line(_edges_line(odds)),
        *map(Note, odds.reasons),
    )
    return Reply("reach", str(request), blocks, data)


def _chance_line(odds: ReachOdds) -> str:
    if odds.needs is None:
        return f'out of reach: {odds.distance:g}" is beyond {odds.safe_from:g}"'
    return f"can charge next turn: {fraction_words(odds.chance)}"


def _edges_line(odds: ReachOdds) -> str:
    safe = f'safe beyond {odds.safe_from:g}"'
    return safe if odds.certain_to is None else f'certain up to {odds.certain_to:g}", {safe}'
