"""roll: an attack rolled with sealed dice or the player's own, written to the record before anyone sees it."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft
from bot.misread import Misread
from bot.own_dice import OwnDice
from bot.reply import Reply
from bot.requests.attack import Roll
from bot.verbs.attack_answer import roll_attack
from bot.verbs.odds import remember_last


def answer(request: Roll, asked: Asked, house: House) -> Reply:
    """Roll, record, answer."""
    ruleset = house.ruleset(asked.where)

    def make(draft: Draft) -> Reply:
        if request.faces is None:
            return roll_attack(request.attack, ruleset, draft, str(request), request.notes)
        own = OwnDice(request.faces, str(request))
        draft.declare(own)
        reply = roll_attack(request.attack, ruleset, draft, str(request), request.notes)
        if own.left:
            raise Misread(f"{own.left} of your dice are not needed", hint=f"give {own.used} dice")
        return reply

    reply = house.ledger.record(asked, "attack", make)
    remember_last(house, asked, request)
    return reply
