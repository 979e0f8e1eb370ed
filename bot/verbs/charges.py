"""charges: the chance that at least one, or so many, or none of several charges succeed."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from bot.asked import Asked
from bot.chances import fraction_words
from bot.house import House
from bot.reply import Block, Line, Note, Reply, Table
from bot.requests.dice import Charges
from bot.verbs.charge_answer import charge_data, readings
from resolver.movement import at_least_so_many, none_of

_HOW = {
    "at least one": "1 less the chance that every one of them fails",
    "none": "the chance that every one of them fails",
    "all": "their chances multiplied",
}


def answer(request: Charges, asked: Asked, house: House) -> Reply:
    """Each charge alone, then all together, in both readings where a bare number is among them."""
    ruleset = house.ruleset(asked.where)
    each = [readings(option, ruleset) for option in request.options]
    chance = _together([odds.chance for odds, _ in each], request.least)
    by_tape = _together([(measured or odds).chance for odds, measured in each], request.least)
    bare = any(measured is not None for _, measured in each)
    data: dict[str, Any] = {
        "chance": str(chance),
        "each": [charge_data(*pair) for pair in each],
        "read": str(request),
        "ruleset": ruleset.id,
    }
    rows = tuple(
        (str(option), "none" if odds.needs is None else f"{odds.needs}+", fraction_words(odds.chance))
        for option, (odds, _) in zip(request.options, each, strict=True)
    )
    blocks: list[Block] = [
        Table(("charge", "needs", "chance"), rows),
        Line(f"{request.what}: {fraction_words(chance)}", strong=True),
    ]
    if bare:
        data["measured"] = {"chance": str(by_tape)}
        blocks.append(Line(f"if the numbers are inches measured: {fraction_words(by_tape)}", strong=True))
    blocks.append(Note(_HOW.get(request.what, "the chances of each number of them, added up")))
    return Reply("charges", str(request), tuple(blocks), data)


def _together(chances: list[Fraction], least: int) -> Fraction:
    return at_least_so_many(chances, least) if least else none_of(chances)
