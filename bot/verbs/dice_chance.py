"""odds of dice alone: the exact chance of a total, or what they show on average."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from bot.asked import Asked
from bot.chances import fraction_words, number_words
from bot.house import House
from bot.reply import Block, Line, Note, Reply
from bot.requests.dice import DiceChance
from resolver.movement import Totals, at_least, sum_of


def answer(request: DiceChance, asked: Asked, house: House) -> Reply:
    """Nothing is rolled; beside a single total stands the chance of as much or more."""
    amount, totals = request.amount, sum_of(request.amount)
    data: dict[str, Any] = {
        "distribution": {str(total): str(chance) for total, chance in totals.items()},
        "mean": amount.mean,
        "read": str(request),
        "ruleset": house.ruleset(asked.where).id,
    }
    blocks: list[Block] = []
    if request.level:
        chance = _within(totals, request.least, request.most)
        data["chance"] = str(chance)
        blocks.append(Line(f"{request.level}: {fraction_words(chance)}", strong=True))
    if request.least is not None and request.least == request.most and amount.low < request.least < amount.high:
        blocks.append(Line(f"{request.least:,} or more: {fraction_words(at_least(totals, request.least))}"))
    blocks.append(Note(f"average {number_words(amount.mean)}, from {amount.low:,} to {amount.high:,}"))
    named = not request.level and house.glossary.lookup.bearing(str(amount))
    offers = (f"dice {amount}", *((f"what is {amount}",) if named else ()))
    return Reply("dice odds", str(request), tuple(blocks), data, offers)


def _within(totals: Totals, least: int | None, most: int | None) -> Fraction:
    """The chance of a total from the least to the most."""
    kept = (
        chance
        for total, chance in totals.items()
        if (least is None or total >= least) and (most is None or total <= most)
    )
    return sum(kept, Fraction())
