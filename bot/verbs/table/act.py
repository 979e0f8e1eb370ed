"""stay, move, advance, fall back: declared actions that set what rulings look at."""

from __future__ import annotations

from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft, RanOut
from bot.reply import Reply
from bot.requests.action import Act
from bot.standing import Game, Key
from bot.table.anyway import insisted_words, unless_insisted
from bot.table.current import open_game
from bot.table.dice import all_used, declare, missing_dice
from bot.table.permit import DEED, STAYED, Verdict, doubts, objections
from bot.table.record import Made, happen, unless_mine
from bot.table.units import named, unit_words
from resolver.live import Throw
from resolver.ruleset import Ruleset

_GIVEN_UP = {"shoot": "no shooting", "charge": "no charge"}


def answer(request: Act, asked: Asked, house: House) -> Reply:
    """Declare the action; an advance rolls its dice."""
    game = open_game(house, asked.where)
    key = named(game, request)
    question = unless_mine(request, asked, house, game, [key[0]], lambda: _overruled(request, asked, house, game, key))
    if question is not None:
        return question

    def build(game: Game, draft: Draft) -> Made:
        staying = request.action == "stay"
        event = {
            "type": "act",
            "action": request.action,
            "unit": list(key),
            "deeds": [DEED.get(request.action, STAYED)],
            "moved": not staying,
            **_overruled(request, asked, house, game, key),
        }
        declare(game, draft, request.faces)
        said, data = _done(game, key, request, draft, house.ruleset(asked.where))
        all_used(draft, request.faces)
        notes = () if staying else doubts(house, asked.where, game, key, request.action)
        notes = (*_forgotten(game, key, event), *notes)
        return Made(event=event, said=said + insisted_words(event), notes=notes, data=data)

    try:
        return happen(request, asked, house, build)
    except RanOut as ran_out:
        raise missing_dice(ran_out, str(request)) from None


def _overruled(request: Act, asked: Asked, house: House, game: Game, key: Key) -> dict[str, Any]:
    """What forbids the action, if the players overrule it; otherwise the warning itself."""
    found = () if request.action == "stay" else objections(house, asked.where, game, key, request.action)
    return unless_insisted(request, (*found, *_too_far(game, key, request)))


def _too_far(game: Game, key: Key, request: Act) -> tuple[Verdict, ...]:
    """A plain move (or a fall-back) of more inches than the unit has."""
    move = game.units[key].unit.move
    if request.inches is None or request.inches <= move or request.action not in ("move", "fall back"):
        return ()
    return (Verdict("no", f'{request.inches:g}" is more than their move of {move:g}"', "", "move", deed=True),)


def _done(game: Game, key: Key, request: Act, draft: Draft, ruleset: Ruleset) -> tuple[str, dict[str, Any]]:
    """What happened in words, and the dice of it."""
    name, move = unit_words(game, key), game.units[key].unit.move
    action, inches = request.action, request.inches
    if action == "stay":
        return f"{name} stay where they are", {}
    if action == "move":
        return f'{name} move up to {move:g}"' if inches is None else f'{name} move {inches:g}"', {}
    if action == "fall back":
        return f'{name} fall back up to {move:g}"{_ends(":", action, ruleset)}', {}
    dice = ruleset.movement.advance
    faces = list(draft.dice(Throw(step="advance", sides=dice.sides, count=dice.dice))) if dice.dice else []
    total = sum(faces) + dice.plus
    said = f'{name} advance: {move:g} + {total} = up to {move + total:g}"{_ends(";", action, ruleset)}'
    return said, {"faces": faces, "total": total, "inches": move + total}


def _ends(mark: str, action: str, ruleset: Ruleset) -> str:
    """What the unit has given up by it, for this turn, after the mark."""
    found = {later: ruleset.permission(later, f"after {action}") for later in ("shoot", "charge")}
    ended = [later for later, permission in found.items() if permission is not None and permission.allowed == "no"]
    return f"{mark} {', '.join(_GIVEN_UP[later] for later in ended)} this turn" if ended else ""


def _forgotten(game: Game, key: Key, event: dict[str, Any]) -> tuple[str, ...]:
    """Distances that a move makes unknown."""
    stale = [other for pair in game.distances if key in pair for other in pair if other != key]
    if not stale or not event["moved"]:
        return ()
    return (f"I no longer know how far the {unit_words(game, key)} are from anybody; say it when measured",)
