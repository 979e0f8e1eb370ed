"""should I close to half range?: the attack by name where it stands and at half range, side by side."""

from __future__ import annotations

from dataclasses import replace

from bot.asked import Asked
from bot.house import House
from bot.misread import Misread
from bot.reply import Reply
from bot.requests.action import CompareByName, Strike
from bot.requests.talk import Closer
from bot.standing import Game
from bot.table.current import open_game
from bot.table.units import named, unit_words
from bot.verbs.table.strike import compare, who_whom


def answer(request: Closer, asked: Asked, house: House) -> Reply:
    """Compared at the longest half range of its weapons that is nearer than it stands."""
    game = open_game(house, asked.where)
    strike, key, target = who_whom(game, _aimed(game, replace(request.attack, odds=True, faces=None, anyway=False)))
    carried = [weapon for _, group, models, _ in game.units[key].groups if models for weapon in group.weapons]
    gaining = [weapon for weapon in carried if weapon.half_double or weapon.half_plus is not None]
    halves = [weapon.range / 2 for weapon in gaining if weapon.range is not None]
    distance = strike.distance or game.distances.get(frozenset((key, target)))
    if strike.action == "fight" or not halves:
        raise Misread(f"the {strike.unit} have no weapon that gains anything at half range", hint=str(strike))
    if distance is None:
        raise Misread(f"how far are the {strike.unit} from the {strike.target}?", hint=f"{strike} at 14")
    nearer = [half for half in halves if half < distance]
    if not nearer:
        raise Misread(f'they are within half range already, at {distance:g}"', hint=str(replace(strike, odds=False)))
    far, near = (replace(strike, distance=inches) for inches in (distance, max(nearer)))
    return compare(CompareByName((far, near)), asked, house)


def _aimed(game: Game, strike: Strike) -> Strike:
    """At the only unit that it is measured to, if nobody is named."""
    if strike.target is not None:
        return strike
    key = named(game, strike)
    measured = [next(iter(pair - {key})) for pair in game.distances if key in pair]
    return replace(strike, target=unit_words(game, measured[0])) if len(measured) == 1 else strike
