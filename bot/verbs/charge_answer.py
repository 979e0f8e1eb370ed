"""A charge as an answer: both readings of a bare number, the machine form, and the lines."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from bot.chances import fraction_words
from bot.reply import Block, Line, Note
from bot.requests.dice import Charge
from resolver.allowed import check_moving
from resolver.movement import LEAST, ChargeOdds, Totals, charge, charge_needing
from resolver.ruleset import Ruleset

Readings = tuple[ChargeOdds, ChargeOdds | None]


def readings(request: Charge, ruleset: Ruleset) -> Readings:
    """The charge as asked, and for a bare number also as inches measured."""
    check_moving(request.modifier, request.reroll is not None, ruleset)
    movement = ruleset.movement
    how: dict[str, Any] = {"modifier": request.modifier, "reroll": request.reroll}
    if request.distance is not None:
        return charge(movement, request.distance, **how), None
    if request.needs is not None:
        return charge_needing(movement, request.needs, **how), None
    number = request.number or 0
    measured = charge(movement, number, **how)
    if number != int(number):
        return measured, None
    if measured.needs is None:
        return replace(measured, distance=None), measured
    return charge_needing(movement, max(LEAST, int(number)), **how), measured


def totals_data(totals: Totals) -> dict[str, str]:
    """Each total with its exact chance, for the machine form."""
    return {str(total): str(chance) for total, chance in totals.items()}


def inches(number: float | None) -> float | int | None:
    """A distance for the machine form: whole where it is whole."""
    return int(number) if number is not None and number == int(number) else number


def charge_data(odds: ChargeOdds, measured: ChargeOdds | None) -> dict[str, Any]:
    """The machine form of a reckoned charge."""
    data: dict[str, Any] = {
        "distance": inches(odds.distance),
        "needs": odds.needs,
        "chance": str(odds.chance),
        "distribution": totals_data(odds.totals),
        "reasons": list(odds.reasons),
    }
    if measured is not None:
        data["measured"] = {
            "needs": measured.needs,
            "chance": str(measured.chance),
            "reasons": list(measured.reasons),
        }
    return data


def charge_blocks(odds: ChargeOdds, measured: ChargeOdds | None) -> tuple[Block, ...]:
    """The chance of each reading, then why."""
    if odds.needs is None:
        return (Line(odds.reasons[0], strong=True),)
    if measured is None or measured.distance is None:
        return (Line(_needs_line(odds.needs, odds.chance), strong=True), *map(Note, odds.reasons))
    tape = f'if the tape shows {measured.distance:g}", it'
    return (
        Line(_needs_line(odds.needs, odds.chance), strong=True),
        Line(f"{tape} {_needs_line(measured.needs, measured.chance)}", strong=True),
        Note(f"the number on the dice, or the tape? {measured.reasons[0]}"),
        *map(Note, odds.reasons[1:]),
    )


def _needs_line(needs: int | None, chance: Fraction) -> str:
    return f"needs {needs} or more: {fraction_words(chance)}"
