"""One thing of the game as it stands, in a line or two: the score, the round, the losses, a number off a card."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bot.asked import Asked
from bot.house import House
from bot.misread import Misread
from bot.reply import Reply
from bot.requests.glance import Glance, StatOf
from bot.roster import Group
from bot.standing import Game, Key
from bot.table.current import open_game
from bot.table.parts import Part
from bot.table.record import told
from bot.table.units import named, part_named, unit_words, weapon_named
from bot.table.words import place_words, score_words, weapon_words
from bot.unit_text import defence
from bot.wording import plural
from resolver.ruleset import Ruleset

_OF_A_MODEL = ("move", "toughness", "save", "wounds")


def answer(request: Glance, asked: Asked, house: House) -> Reply:
    """The one thing asked for; `where are we` tells all of them."""
    game = open_game(house, asked.where)
    said, lines, offers = _GLANCES[request.what](game)
    return told(house, asked, game, said, lines, offers=(*offers, "where are we"))


def _score(game: Game) -> tuple[str, Sequence[str], tuple[str, ...]]:
    return f"score: {score_words(game)}", (place_words(game),), ()


def _round(game: Game) -> tuple[str, Sequence[str], tuple[str, ...]]:
    left = 0 if game.over or not game.place.turn else game.rounds - game.place.round
    after = () if game.over else (f"{plural(left, 'round')} after this one",) if left else ("it is the last round",)
    return place_words(game), after, ("what now",)


def _first(game: Game) -> tuple[str, Sequence[str], tuple[str, ...]]:
    if len(game.order) < 2:
        return place_words(game), (), ()
    first = game.order[0]
    if not game.rolled_off and not game.step:
        open_yet = "the first turn is not rolled off yet"
        return open_yet, (f"as it stands the {first} begin",), ("roll off for the first turn",)
    return f"the {first} go first, in every round", (place_words(game),), ()


def _losses(game: Game) -> tuple[str, Sequence[str], tuple[str, ...]]:
    """Of each side how many models are gone, then the units that lost them."""
    gone: dict[str, int] = {side.name: 0 for side in game.sides}
    lines = []
    for key, standing in game.units.items():
        began = sum(group.models for group in standing.unit.groups)
        if standing.models < began:
            gone[key[0]] += began - standing.models
            lines.append(f"{unit_words(game, key)}: {began - standing.models} of {began} lost")
    sides = ", ".join(f"{side} {plural(count, 'model') if count else 'none'}" for side, count in gone.items())
    return f"lost: {sides}", lines, ("units",)


_GLANCES = {"score": _score, "round": _round, "first": _first, "losses": _losses}


def stat(request: StatOf, asked: Asked, house: House) -> Reply:
    """A number of a unit, of some of its models, or of a weapon, with what goes with it."""
    game = open_game(house, asked.where)
    key = named(game, request, asks=True)
    part = part_named(game, request.unit, key)
    if part is not None and request.stat not in _OF_A_MODEL:
        part = weapon_named(game, request.unit, key) or part
    lines = list(_lines(request.stat, game, key, part, house.ruleset(asked.where)))
    if not lines:
        raise Misread(f"no {request.stat} stands on that card", hint=f"unit {unit_words(game, key)}")
    called = unit_words(game, key) if part is None else f"{part.name} ({unit_words(game, key)})"
    return told(house, asked, game, f"{called}: {lines[0]}", lines[1:], offers=(f"unit {unit_words(game, key)}",))


def _lines(stat: str, game: Game, key: Key, part: Part | None, ruleset: Ruleset) -> Iterator[str]:
    unit = game.units[key].unit
    groups = [group for group in unit.groups if part is None or part.group in (None, group.name)]
    if stat == "move":
        yield f'move {unit.move:g}"; an advance adds {ruleset.movement.advance}'
    elif stat == "toughness":
        yield f"toughness {unit.toughness}"
    elif stat in ("save", "wounds") and (part is None or part.group is not None):
        yield from _models(groups, stat)
    elif stat not in _OF_A_MODEL:
        yield from _weapons(groups, part, ranged=stat == "range")


def _models(groups: Sequence[Group], stat: str) -> Iterator[str]:
    """What keeps each model alive: its wounds, or everything else; once where all are alike."""
    found = {group.name: _defence(group, stat) for group in groups}
    alike = len(set(found.values())) == 1
    yield next(iter(found.values())) if alike else "; ".join(f"{name} {words}" for name, words in found.items())


def _defence(group: Group, stat: str) -> str:
    _, *rest = defence(group)
    return f"{plural(group.wounds, 'wound')} each" if stat == "wounds" else ", ".join(rest)


def _weapons(groups: Sequence[Group], part: Part | None, *, ranged: bool) -> Iterator[str]:
    """The weapons in question, each whole, since its numbers go together; one by itself needs no name."""
    carried = {weapon.name: weapon for group in groups for weapon in group.weapons}
    alone = part.name if part is not None and part.group is None else None
    for name, weapon in carried.items():
        if alone in (None, name) and not (ranged and weapon.range is None):
            yield weapon_words(weapon).removeprefix(f"{alone}: ")
