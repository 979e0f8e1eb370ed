"""distances and the order of losses: what players see at the table and tell the umpire."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft
from bot.misread import Misread, Unsure
from bot.naming import matches
from bot.reply import Note, Reply
from bot.requests.action import Allocate, Distance, HowFar
from bot.standing import Game, Key
from bot.table.current import open_game
from bot.table.record import Made, happen, told, unless_mine
from bot.table.units import named, others, unit_words
from resolver.refused import within

FARTHEST = 1000


def distance(request: Distance, asked: Asked, house: House) -> Reply:
    """A measured distance; anybody at the table may measure."""
    within("distance", request.inches, 0, FARTHEST)
    game = open_game(house, asked.where)
    one, other = _pair(game, request)
    question = unless_mine(request, asked, house, game, [one[0], other[0]])
    if question is not None:
        return question

    def build(game: Game, draft: Draft) -> Made:
        event = {"type": "distance", "units": [list(one), list(other)], "inches": request.inches}
        return Made(
            event=event,
            said=f'{unit_words(game, one)} are {request.inches:g}" from {unit_words(game, other)}',
        )

    return happen(request, asked, house, build)


def how_far(request: HowFar, asked: Asked, house: House) -> Reply:
    """The distance as last told; the umpire cannot see the table, and says so."""
    game = open_game(house, asked.where)
    one, other = _pair(game, request)
    inches = game.distances.get(frozenset((one, other)))
    between = f"{unit_words(game, one)} and {unit_words(game, other)}"
    if inches is None:
        said = f"I can't see the table, and nobody has told me how far apart {between} are"
        measured = f"measured it? Say so, as in `{unit_words(game, one)} are 14 from {unit_words(game, other)}`"
        return told(house, asked, game, said, blocks=(Note(measured),))
    return told(house, asked, game, f'{between} are {inches:g}" apart, as last told')


def _pair(game: Game, request: Distance | HowFar) -> tuple[Key, Key]:
    try:
        one = named(game, request)
    except Unsure:
        other = named(game, request, "other")
        return named(game, request, sides=others(game, other[0])), other
    return one, named(game, request, "other", others(game, one[0]))


def allocate(request: Allocate, asked: Asked, house: House) -> Reply:
    """The order in which a unit loses its groups, chosen by its owner."""
    game = open_game(house, asked.where)
    key = named(game, request)
    question = unless_mine(request, asked, house, game, [key[0]], lambda: _order(game, request, key))
    if question is not None:
        return question
    order = _order(game, request, key)

    def build(game: Game, draft: Draft) -> Made:
        names = [game.units[key].unit.groups[index].name for index in order]
        event = {"type": "allocate", "unit": list(key), "order": order}
        return Made(event=event, said=f"{unit_words(game, key)} lose {', then '.join(names)}")

    return happen(request, asked, house, build)


def _order(game: Game, request: Allocate, key: Key) -> list[int]:
    """The groups named, then the others as they stood."""
    standing = game.units[key]
    names = [(group.name, index) for index, group, _, _ in standing.groups]
    order: list[int] = []
    for words in request.groups:
        found = matches(words, names)
        if len(found) != 1:
            known = ", ".join(name for name, _ in names)
            raise Misread(
                f'which group of the {key[1]} is "{words}"? They have {known}',
                hint=f"allocate {key[1]}: {known}",
            )
        if found[0] not in order:
            order.append(found[0])
    return order + [index for _, index in names if index not in order]
