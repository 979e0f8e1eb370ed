"""Attacks by name: `Wardens shoot the Kiln Guard at 14`, `Kiln Guard fight the Wardens`."""

from __future__ import annotations

from dataclasses import replace

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft, RanOut
from bot.misread import Misread, Unsure
from bot.reply import Note, Reply
from bot.requests.action import CompareByName, Strike
from bot.requests.attack import Compare
from bot.standing import Game, Key
from bot.table.anyway import unless_insisted
from bot.table.current import open_game
from bot.table.dice import all_used, declare, missing_dice, own_dice_count
from bot.table.permit import Verdict, doubts, objection_words, objections
from bot.table.record import state_data, unless_mine
from bot.table.strike import Aimed, aim
from bot.table.units import named, others, unit_words, whom
from bot.table.words import listed
from bot.verbs import compare as compared
from bot.verbs.level_answer import level_chance
from bot.verbs.odds import keep_in_mind
from bot.verbs.odds_answer import odds_blocks, odds_data, spreads
from bot.verbs.odds_picture import odds_picture
from bot.verbs.table.blow import Blow, planned_blow, strike_blow
from bot.wording import OWN_DICE
from resolver.exact import odds


def answer(request: Strike, asked: Asked, house: House) -> Reply:
    """Roll the attack, take off who falls; `odds` reckons only."""
    game = open_game(house, asked.where)
    request, key, target = who_whom(game, request)
    if request.odds:
        return _odds(request, asked, house, game, key, target)
    question = unless_mine(
        request, asked, house, game, [key[0]], lambda: ready(request, asked, house, game, key, target)
    )
    if question is not None:
        return question

    def make(draft: Draft) -> Reply:
        game = open_game(house, asked.where)
        blow = ready(request, asked, house, game, key, target)
        declare(game, draft, request.faces)
        reply = strike_blow(blow, draft, draft.dice, asked, house, game)
        all_used(draft, request.faces)
        return reply

    try:
        return house.ledger.record(asked, "attack", make)
    except RanOut as ran_out:
        raise missing_dice(ran_out, str(request)) from None


def compare(request: CompareByName, asked: Asked, house: House) -> Reply:
    """Attacks by name side by side, as they would be made now. Changes nothing."""
    game = open_game(house, asked.where)
    aimed = []
    for option in request.options:
        strike, key, target = who_whom(game, option)
        aimed.append((strike, aim(game, house.ruleset(asked.where), strike, key, target)))
    called = tuple(str(replace(strike, odds=False)) for strike, _ in aimed)
    reply = compared.side_by_side(Compare(tuple(item.attack for _, item in aimed)), called, called, asked, house)
    return replace(reply, data={**(reply.data or {}), "read": str(request)}, offers=called)


def who_whom(game: Game, request: Strike) -> tuple[Strike, Key, Key]:
    """The request with the names as they stand on the table, the unit and its target."""
    target = None
    try:
        key = named(game, request)
    except Unsure:
        if request.target is None:
            raise
        target = named(game, request, "target")
        key = named(game, request, sides=others(game, target[0]))
    if not game.units[key].models:
        raise Misread(f"none of the {unit_words(game, key)} are left", hint="where are we")
    if request.target is None:
        doing, foes = ("shoot at", ()) if request.action == "shoot" else (request.action, game.foes(key))
        request = replace(request, target=whom(game, request, key, doing, foes))
    target = target or named(game, request, "target", others(game, key[0]))
    if request.action == "attack":
        request = replace(request, action=_which(game, key))
    return replace(request, unit=unit_words(game, key), target=unit_words(game, target)), key, target


def _which(game: Game, key: Key) -> str:
    """Plain "attack" is a fight in the fight phase or when engaged, and shooting otherwise."""
    return "fight" if game.place.phase == "fight" or game.foes(key) else "shoot"


def ready(request: Strike, asked: Asked, house: House, game: Game, key: Key, target: Key) -> Blow:
    """The attack, unless the ruleset objects and the player has not insisted."""
    found = [*objections(house, asked.where, game, key, request.action), *_no_target(game, target)]
    extra = unless_insisted(request, found)
    aimed = aim(game, house.ruleset(asked.where), request, key, target)
    notes = tuple(f"anyway, although {fact}" for fact in extra.get("anyway", ()))
    notes += doubts(house, asked.where, game, key, request.action)
    notes += _order(game, key) if request.action == "fight" else ()
    return Blow(request=request, key=key, target=target, aimed=aimed, extra=extra, notes=notes)


def _order(game: Game, key: Key) -> tuple[str, ...]:
    """Units that charged strike first; whose turn it is not begins after them. Advice, never a bar."""
    if "charged" in game.did(key):
        return ()
    first = [
        unit_words(game, other)
        for other, standing in game.units.items()
        if standing.models and "charged" in game.did(other) and "fought" not in game.did(other) and game.foes(other)
    ]
    return (f"units that charged strike first: {listed(first)} have not fought yet",) if first else ()


def _no_target(game: Game, target: Key) -> list[Verdict]:
    if game.units[target].models:
        return []
    return [Verdict("no", f"none of the {target[1]} are left", "", final=True)]


def _odds(request: Strike, asked: Asked, house: House, game: Game, key: Key, target: Key) -> Reply:
    """The exact odds of the same attack; nothing changes, and objections are only mentioned."""
    gone = [
        v for v in (*_no_target(game, target), *objections(house, asked.where, game, key, request.action)) if v.final
    ]
    unless_insisted(request, gone)
    ruleset = house.ruleset(asked.where)
    aimed: Aimed = aim(game, ruleset, request, key, target)
    planned = planned_blow(aimed, ruleset)
    reckoned = odds(planned)
    notes = [*(aimed.weapons if len(aimed.weapons) == 1 else ()), *aimed.notes]
    notes += [f"note: {objection_words(found)}" for found in objections(house, asked.where, game, key, request.action)]
    roll = str(replace(request, odds=False, level=None))
    keep_in_mind(house, asked, str(replace(request, level=None)), rolled=False)
    level = None if request.level is None else level_chance(request.level, planned, reckoned)
    data = odds_data(planned, reckoned, str(request), level) | {"weapons": list(aimed.weapons)}
    data["state"] = state_data(house, asked.where, game)
    told = spreads(planned, reckoned, level)
    blocks = odds_blocks(planned, reckoned, told, aimed.weapons, level) + tuple(map(Note, notes))
    blocks += (odds_picture(str(request), reckoned, told),)
    own = (f"{roll}{OWN_DICE}",) if own_dice_count(game) else ()
    return Reply("odds", str(request), blocks, data, offers=(roll, *own))
