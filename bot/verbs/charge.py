"""charge: the chance of a charge by number or by tape; or the charge itself, rolled and recorded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft
from bot.misread import Unsure
from bot.reply import Line, Note, Reply
from bot.requests.dice import Charge
from bot.verbs.charge_answer import charge_blocks, charge_data, readings
from bot.verbs.movement_dice import Again, Moved, never, throw_movement
from resolver.amount import Amount
from resolver.movement import ChargeOdds, ChargeReroll
from resolver.refused import Refused


def answer(request: Charge, asked: Asked, house: House) -> Reply:
    """Tell the chance, or roll."""
    ruleset = house.ruleset(asked.where)
    odds, measured = readings(request, ruleset)
    data = charge_data(odds, measured) | {"read": str(request), "ruleset": ruleset.id}
    if request.roll:
        return _roll(request, asked, house, data, odds, measured)
    offers = () if odds.needs is None else tuple(map(str, _meant(request, odds, measured)))
    return Reply("charge", str(request), charge_blocks(odds, measured), data, offers=offers)


def _meant(request: Charge, odds: ChargeOdds, measured: ChargeOdds | None) -> tuple[Charge, ...]:
    """The charges to roll that the request may mean: two for a bare number."""
    if measured is None:
        return (replace(request, roll=True),)
    by_number = replace(request, number=None, needs=odds.needs, roll=True)
    by_tape = replace(request, number=None, distance=measured.distance, roll=True)
    return by_number, by_tape


def _roll(
    request: Charge,
    asked: Asked,
    house: House,
    data: dict[str, Any],
    odds: ChargeOdds,
    measured: ChargeOdds | None,
) -> Reply:
    """Throw the dice, unless no charge can be declared or it is open which dice a re-roll may take."""
    if odds.needs is None:
        raise Refused("distance", odds.reasons[0])
    if measured is not None and request.reroll is not None:
        choices = tuple(map(str, _meant(request, odds, measured)))
        raise Unsure("The number on the dice, or the tape? The re-roll depends on it", choices)
    charge_dice = house.ruleset(asked.where).movement.charge
    again = again_when_short(charge_dice, odds.needs - request.modifier, request.reroll)
    least = measured.needs if measured is not None and measured.needs is not None else odds.needs

    def make(draft: Draft) -> Reply:
        moved = throw_movement(draft, "charge", charge_dice, again)
        total = moved.total + request.modifier
        success = True if total >= (odds.needs or 0) else False if total < least else None
        draft.read, draft.ruleset = data["read"], data["ruleset"]
        draft.data = data | {"id": draft.id, "faces": [list(die) for die in moved.dice], "total": total}
        draft.data["success"] = success
        blocks = (*moved.blocks, Line(_outcome(moved, request.modifier, success, odds), strong=True))
        return Reply("charge", f"#{draft.id} {request}", (*blocks, *map(Note, odds.reasons)), draft.data)

    return house.ledger.record(asked, "charge", make)


def again_when_short(dice: Amount, needs: int, reroll: ChargeReroll | None) -> Again:
    """Which dice are thrown again when their total falls short: all, the lowest, or none."""

    def short(faces: Sequence[int]) -> Sequence[int]:
        if not faces or sum(faces) + dice.plus >= needs:
            return ()
        return range(len(faces)) if reroll is ChargeReroll.WHOLE else (faces.index(min(faces)),)

    return never if reroll is None else short


def _outcome(moved: Moved, modifier: int, success: bool | None, odds: ChargeOdds) -> str:
    total = moved.total + modifier
    shown = f"{moved.total} {modifier:+d} = {total}" if modifier else str(total)
    made = f"{shown} {'rolled' if moved.dice else 'without dice'}"
    if success is None:
        return f"{shown}: enough if the tape said so, not if {odds.needs} was needed"
    if success:
        return f"{made}, {odds.needs} needed: the charge succeeds"
    return f"{made}, {odds.needs} needed: the charge fails, and the unit does not move"
