"""Names at the table: which unit or side a player's words mean, with a way out when none or several fit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from typing import Any

from bot.house import House
from bot.misread import Misread, NobodyThere, Unsure
from bot.naming import ONE_AT_A_TIME, folded, matches, nearest, several, there
from bot.standing import Game, Key, Side
from bot.table.current import any_game
from bot.table.parts import Part, named_parts, of_their_units, parts


def unit_names(house: House, where: str) -> tuple[str, ...]:
    """Every name that a unit of the open table answers to (or a side, before there are units); none without a table."""
    return names_there(house, where)[0]


def names_there(house: House, where: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """These names, and every name of a group or weapon that is no unit's name as well."""
    game = any_game(house, where)
    if game is None or not game.open:
        return (), ()
    names = [name for name, _ in _names(game)] or [side.name for side in game.sides] or ["the table"]
    units = tuple(dict.fromkeys(names))
    return units, _no_units(tuple(dict.fromkeys(part.name for part in parts(game))), units)


@lru_cache(maxsize=64)  # they stay the same for a whole evening
def _no_units(names: tuple[str, ...], units: tuple[str, ...]) -> tuple[str, ...]:
    known = [(unit, unit) for unit in units]
    return tuple(name for name in names if not matches(name, known, nearly=False))


def part_named(game: Game, words: str, key: Key) -> Part | None:
    """The part of the unit that the words name, where they are no unit's name."""
    if matches(words, _names(game), nearly=False):
        return None
    return next((part for part in named_parts(game, words) if part.key == key), None)


def weapon_named(game: Game, words: str, key: Key) -> Part | None:
    """The weapon of the unit that is called just that, whatever group is called so too."""
    mine = (part for part in parts(game) if part.key == key and part.group is None)
    return next((part for part in mine if folded(part.name) == folded(words)), None)


def _names(game: Game) -> list[tuple[str, Key]]:
    return [
        (name, key)
        for key, standing in game.units.items()
        for name in (standing.name, *standing.unit.also, f"{key[0]} {standing.name}")
    ]


def named(
    game: Game, request: Any, field: str = "unit", sides: Iterable[str] = (), *, asks: bool = False
) -> Key:
    """The unit that a field of the request names; if several fit, whole messages are offered.

    So they are where one of its models or weapons is named, unless the request only `asks`.
    """
    words = getattr(request, field)
    try:
        return find_unit(game, words, sides)
    except Unsure as unsure:
        choices = tuple(str(replace(request, **{field: choice})) for choice in unsure.choices)
        raise Unsure(unsure.message, choices) from None
    except NobodyThere:
        found = named_parts(game, words, sides)
        if not found:
            raise
        if asks and len(found) == 1:
            return found[0].key
        raise of_their_units(request, field, found) from None


def named_side(game: Game, request: Any, field: str = "side") -> Side:
    """The side that a field of the request names, in the same way."""
    try:
        return find_side(game, getattr(request, field))
    except Unsure as unsure:
        choices = tuple(str(replace(request, **{field: choice})) for choice in unsure.choices)
        raise Unsure(unsure.message, choices) from None


def others(game: Game, side: str) -> tuple[str, ...]:
    """The other sides."""
    return tuple(other.name for other in game.sides if other.name != side)


def whom(game: Game, request: Any, key: Key, doing: str, likely: Iterable[Key] = ()) -> str:
    """The only unit that a request without a target can mean: of the likely ones, or of the enemies left."""
    meant = tuple(likely) or tuple(other for other in game.units if other[0] != key[0] and game.units[other].models)
    if len(meant) == 1:
        return unit_words(game, meant[0])
    if not meant:
        raise Misread("there is no enemy on the table", hint="where are we")
    choices = tuple(str(replace(request, target=unit_words(game, other))) for other in meant)
    raise Unsure(f"whom do the {unit_words(game, key)} {doing}?", choices)


def find_unit(game: Game, words: str, sides: Iterable[str] = ()) -> Key:
    """The unit that the words mean. `sides` narrows the search where the message makes clear whose it is."""
    wanted = set(sides)
    names = [(name, key) for name, key in _names(game) if not wanted or key[0] in wanted]
    parts = several(words, [name for name, _ in names])
    if parts:
        raise Unsure(ONE_AT_A_TIME, parts)
    found = matches(words, names, nearly=not named_parts(game, words, wanted))
    if not found:
        found = [_only_unit(side) for side in _sides(game, words) if len(side.units) == 1]
    if not found:
        raise _unknown("unit", words, [standing.name for standing in game.units.values()])
    return _one(words, found, game)


def _only_unit(side: Side) -> Key:
    return side.name, side.units[0].name


def _one(words: str, found: list[Key], game: Game) -> Key:
    alive = [key for key in found if game.units[key].models]
    if len(alive) == 1:
        return alive[0]
    if len(found) == 1:
        return found[0]
    raise Unsure(f'which unit is "{words}"?', tuple(unit_words(game, key) for key in alive or found))


def find_side(game: Game, words: str) -> Side:
    """The side that the words mean; the name of one of its units will do."""
    found = _sides(game, words)
    if not found:
        keys = matches(words, _names(game)) or [part.key for part in named_parts(game, words)]
        found = list({key[0]: game.side(key[0]) for key in keys}.values())
    if not found:
        raise _unknown("side", words, [side.name for side in game.sides])
    if len(found) > 1:
        raise Unsure(f'which side is "{words}"?', tuple(side.name for side in found))
    return found[0]


def _sides(game: Game, words: str) -> list[Side]:
    return matches(words, [(side.name, side) for side in game.sides])


def _unknown(what: str, words: str, names: list[str]) -> Misread:
    if not names:
        return Misread(f"no {what} is on the table yet", hint="load Saltmarsh Wardens, or paste one after `roster`")
    told = f'no {what} on this table is called "{words}"; there are {there(names)}'
    return NobodyThere(told, hint=nearest(words, names))


def unit_words(game: Game, key: Key) -> str:
    """The unit's name, with its side where two units share it."""
    side, name = key
    shared = sum(1 for _, other in game.units if other == name) > 1
    return f"{side} {name}" if shared else name
