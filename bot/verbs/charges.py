"""charges: the chance that at least one of several charges succeeds."""

from __future__ import annotations

from typing import Any

from bot.asked import Asked
from bot.chances import fraction_words
from bot.house import House
from bot.reply import Block, Line, Note, Reply, Table
from bot.requests.dice import Charges
from bot.verbs.charge_answer import charge_data, readings
from resolver.movement import at_least_one
from resolver.refused import within

MOST_CHARGES = 12


def answer(request: Charges, asked: Asked, house: House) -> Reply:
    """Each charge alone, then at least one of them, in both readings where a bare number is among them."""
    within("number of charges", len(request.options), 2, MOST_CHARGES)
    ruleset = house.ruleset(asked.where)
    each = [readings(option, ruleset.movement) for option in request.options]
    chance = at_least_one(odds.chance for odds, _ in each)
    by_tape = at_least_one((measured or odds).chance for odds, measured in each)
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
        Line(f"at least one: {fraction_words(chance)}", strong=True),
    ]
    if bare:
        data["measured"] = {"chance": str(by_tape)}
        blocks.append(Line(f"if the numbers are inches measured: {fraction_words(by_tape)}", strong=True))
    blocks.append(Note("1 less the chance that every one of them fails"))
    return Reply("charges", str(request), tuple(blocks), data)
