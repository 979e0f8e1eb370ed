"""roll: an attack rolled with sealed dice or the player's own, written to the record before anyone sees it."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft, OwnFaces, RanOut
from bot.misread import Misread
from bot.reply import Reply
from bot.requests.attack import Roll
from bot.verbs.attack_answer import roll_attack
from bot.verbs.odds import remember_last
from resolver.live import Throw


def answer(request: Roll, asked: Asked, house: House) -> Reply:
    """Roll, record, answer."""
    ruleset = house.ruleset(asked.where)

    own = OwnFaces(request.faces or ())

    def make(draft: Draft) -> Reply:
        if request.faces is not None:
            draft.declare(own)
        reply = roll_attack(request.attack, ruleset, draft, str(request), request.notes)
        if own.unused:
            used = len(request.faces or ()) - own.unused
            raise Misread(f"{own.unused} of your dice are not needed", hint=f"give the first {used} dice only")
        remember_last(house, asked, request)
        return reply

    try:
        return house.ledger.record(asked, "attack", make)
    except RanOut as ran_out:
        said, pending = _missing(ran_out, more=bool(request.faces)), str(request)
        raise Misread(said, missing="dice", pending=pending, hint="for example: 6 4 1") from None


def _missing(ran_out: RanOut, more: bool) -> str:
    """How many dice to pick up, for which step, and which number counts; `more` once some were told."""
    throw, count = ran_out.throw, ran_out.missing
    if not isinstance(throw, Throw):
        return str(ran_out)
    again = "again " if throw.again else ""
    number = f", needing {throw.check.text}" if throw.check is not None and throw.check.needed else ""
    dice = ("die" if count == 1 else "dice") if throw.sides == 6 else f"d{throw.sides}"
    return f"{count} {'more ' if more else ''}{dice} to throw {again}for the {throw.step} step{number}"
