"""charge: declared from a measured distance, rolled, and engaged if it reaches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil
from typing import Any

from bot.asked import Asked
from bot.chances import chance_words
from bot.house import House
from bot.ledger import Draft, RanOut
from bot.misread import Misread
from bot.reply import Note, Reply
from bot.requests.action import ChargeAt
from bot.requests.dice import Charge
from bot.standing import Game, Key
from bot.table.anyway import insisted_words, unless_insisted
from bot.table.current import open_game
from bot.table.dice import all_used, declare, missing_dice
from bot.table.permit import Verdict, doubts, objection_words, objections
from bot.table.record import Made, happen, state_data, unless_mine
from bot.table.units import named, others, unit_words, whom
from bot.verbs import charge as by_number
from bot.verbs.charge import again_when_short
from bot.wording import signed
from resolver.amount import Amount
from resolver.live import Throw
from resolver.movement import ChargeOdds, ChargeReroll, charge
from resolver.ruleset import Movement


def answer(request: ChargeAt, asked: Asked, house: House) -> Reply:
    """Declare and roll a charge; `odds` reckons only."""
    game = open_game(house, asked.where)
    key = named(game, request)
    if request.target is None:
        request = replace(request, target=whom(game, request, key, "charge"))
    target = named(game, request, "target", others(game, key[0]))
    if request.odds:
        return _odds(request, asked, house, game, key, target)
    question = unless_mine(
        request, asked, house, game, [key[0]], lambda: _declared(request, asked, house, game, key, target)
    )
    if question is not None:
        return question

    def build(game: Game, draft: Draft) -> Made:
        return _charge(request, asked, house, game, draft, key, target)

    try:
        return happen(request, asked, house, build)
    except RanOut as ran_out:
        raise missing_dice(ran_out, str(request)) from None


def _odds(request: ChargeAt, asked: Asked, house: House, game: Game, key: Key, target: Key) -> Reply:
    """The chance of the same charge; nothing changes, and objections are only mentioned."""
    gone = [Verdict("no", f"none of the {unit[1]} are left", "", final=True) for unit in (key, target)
            if not game.units[unit].models]  # fmt: skip
    unless_insisted(request, gone)
    distance = _distance(game, request, key, target)
    reckoned = by_number.answer(
        Charge(distance=distance, modifier=request.modifier, reroll=request.reroll), asked, house
    )
    found = objections(house, asked.where, game, key, "charge")
    notes = tuple(Note(f"note: {objection_words(verdict)}") for verdict in found)
    meant = replace(request, unit=unit_words(game, key), target=unit_words(game, target), distance=distance)
    data = {**(reckoned.data or {}), "read": str(meant), "state": state_data(house, asked.where, game)}
    offers = (str(replace(meant, odds=False)),) if reckoned.offers else ()
    return replace(reckoned, title=str(meant), blocks=(*reckoned.blocks, *notes), data=data, offers=offers)


def _charge(request: ChargeAt, asked: Asked, house: House, game: Game, draft: Draft, key: Key, target: Key) -> Made:
    movement = house.ruleset(asked.where).movement
    distance, odds, overruled = _declared(request, asked, house, game, key, target)
    declare(game, draft, request.faces)
    dice = throw_charge(draft, movement, distance, request.modifier, request.reroll)
    all_used(draft, request.faces)
    event = charge_event(key, target, distance, dice, movement, request.modifier, request.reroll) | overruled
    said = charge_words(game, key, target, event)
    name, other = unit_words(game, key), unit_words(game, target)
    offers = (f"{name} fight {other}",) if event.get("reached") else ("next phase",)
    data = {name: event[name] for name in ("faces", "dice", "total", "needs")} | {"reached": "reached" in event}
    notes = (f"chance beforehand: {chance_words(odds.chance)}", *doubts(house, asked.where, game, key, "charge"))
    return Made(event=event, said=said + insisted_words(event), notes=notes, data=data, offers=offers)


def _declared(
    request: ChargeAt, asked: Asked, house: House, game: Game, key: Key, target: Key
) -> tuple[float, ChargeOdds, dict[str, Any]]:
    """The distance, the odds, and what the players overrule; a complaint where something forbids it."""
    distance = _distance(game, request, key, target)
    odds = charge(house.ruleset(asked.where).movement, distance, modifier=request.modifier, reroll=request.reroll)
    found = [*objections(house, asked.where, game, key, "charge"), *_too_far(odds)]
    if not game.units[target].models:
        found = [Verdict("no", f"none of the {target[1]} are left", "", final=True)]
    return distance, odds, unless_insisted(request, found)


def _distance(game: Game, request: ChargeAt, key: Key, target: Key) -> float:
    known = request.distance or game.distances.get(frozenset((key, target)))
    if known is None:
        asked = f"how far are the {unit_words(game, key)} from the {unit_words(game, target)}, in inches?"
        raise Misread(asked, hint="from 8", missing="distance", pending=str(request))
    return known


def _too_far(odds: ChargeOdds) -> list[Verdict]:
    return [] if odds.needs is not None else [Verdict("no", odds.reasons[0], "", "charge", deed=True)]


def _needed(distance: float, movement: Movement) -> int:
    """The total that reaches from that distance, also beyond the longest charge, where players insisted."""
    needs = charge(movement, min(distance, movement.charge_within)).needs or 0
    return needs + max(0, ceil(distance - movement.charge_within))


def throw_charge(
    draft: Draft,
    movement: Movement,
    distance: float,
    modifier: int,
    reroll: ChargeReroll | None,
    old: Sequence[Sequence[int]] = (),
) -> list[list[int]]:
    """Each die with its face, and the face of its re-roll; of `old` dice only those that are missing are drawn."""
    amount = movement.charge
    first = [die[0] for die in old] or list(_draw(draft, amount, amount.dice, again=False))
    picked = again_when_short(amount, _needed(distance, movement) - modifier, reroll)(first)
    second = {which: old[which][1] for which in picked if which < len(old) and len(old[which]) > 1}
    missing = [which for which in picked if which not in second]
    second |= dict(zip(missing, _draw(draft, amount, len(missing), again=True), strict=True))
    return [[face, second[which]] if which in second else [face] for which, face in enumerate(first)]


def _draw(draft: Draft, amount: Amount, count: int, *, again: bool) -> Sequence[int]:
    return draft.dice(Throw(step="charge", sides=amount.sides, count=count, again=again)) if count else ()


def charge_event(
    key: Key,
    target: Key,
    distance: float,
    dice: Sequence[Sequence[int]],
    movement: Movement,
    modifier: int = 0,
    reroll: ChargeReroll | None = None,
) -> dict[str, Any]:
    """What these dice make of a charge from that distance."""
    faces = [die[-1] for die in dice]
    total, needs = sum(faces) + movement.charge.plus + modifier, _needed(distance, movement)
    event: dict[str, Any] = {"type": "act", "action": "charge", "unit": list(key), "target": list(target)}
    event |= {"distance": distance, "dice": [list(die) for die in dice], "faces": faces}
    event |= {"modifier": modifier, "reroll": reroll and str(reroll), "total": total, "needs": needs}
    if total >= needs:
        return event | {"deeds": ["charged"], "moved": True, "reached": list(target)}
    return event | {"deeds": ["failed a charge"], "moved": False}


def charge_words(game: Game, key: Key, target: Key, event: dict[str, Any]) -> str:
    """The charge in one sentence: the tape, the number, the dice, and what came of it."""
    name, other = unit_words(game, key), unit_words(game, target)
    dice = " + ".join(">".join(map(str, die)) for die in event["dice"])
    fixed = event["total"] - sum(event["faces"]) - event["modifier"]
    more = "".join(f" {signed(number)}" for number in (fixed, event["modifier"]) if number)
    said = f'{name} charge the {other} from {event["distance"]:g}": needs {event["needs"]}'
    said += f", rolled {dice}{more} = {event['total']}" if dice else f", {event['total']} without dice"
    if "reached" in event:
        return f"{said}; the charge reaches, and they are engaged"
    return f"{said}; the charge fails, and they do not move"
