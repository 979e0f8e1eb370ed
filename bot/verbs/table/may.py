"""can the Wardens shoot?: the ruleset's permissions read against what the unit did, with the entry that says so."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.reply import Line, Note, Reply
from bot.requests.action import MayUnit
from bot.standing import Game, Key
from bot.table.current import open_game
from bot.table.permit import Verdict, objection_words, verdicts
from bot.table.record import state_data
from bot.table.units import named, unit_words
from bot.table.words import listed, place_words


def answer(request: MayUnit, asked: Asked, house: House) -> Reply:
    """Yes, no or depends; why; and where to read on."""
    game = open_game(house, asked.where)
    key = named(game, request)
    found = (*_reach(request, asked, house, game, key), *verdicts(house, asked.where, game, key, request.action))
    against = [verdict for verdict in found if verdict.allowed != "yes"]
    verdict = against[0] if against else found[0] if found else None
    allowed = "yes" if not against else against[0].allowed
    because = objection_words(verdict) if verdict else f"nothing stands against it: {place_words(game)}"
    ruleset = house.ruleset(asked.where)
    said = f"{allowed}: {because}"
    data = {
        "answer": allowed,
        "because": because,
        "ruleset": ruleset.id,
        "entry": verdict.entry if verdict else None,
        "said": said,
        "state": state_data(house, asked.where, game),
    }
    rest = tuple(Note(objection_words(other)) for other in against[1:] if other.allowed == "no")
    title = f"can the {unit_words(game, key)} {request.action}?"
    return Reply("ruling", title, (Line(said, strong=True), *rest, Note(f"ruleset: {ruleset.title}")), data)


def _reach(request: MayUnit, asked: Asked, house: House, game: Game, key: Key) -> tuple[Verdict, ...]:
    """What the distance forbids, where one was said."""
    if request.distance is None:
        return ()
    far = f'{request.distance:g}"'
    if request.action == "charge":
        longest = house.ruleset(asked.where).movement.charge_within
        return (Verdict("no", f'{far} is beyond {longest:g}"', "", "charge"),) if request.distance > longest else ()
    if request.action != "shoot":
        return ()
    weapons = [weapon for _, group, models, _ in game.units[key].groups if models for weapon in group.weapons]
    ranges = {f'{weapon.name} {weapon.range:g}"': weapon.range for weapon in weapons if weapon.range is not None}
    if any(reach >= request.distance for reach in ranges.values()):
        return ()
    return (Verdict("no", f"{far} is out of range: {listed(list(ranges)) or 'no shooting weapon'}", "", "range"),)
