"""where are we, what now, units, unit: how the game stands, asked by anyone at any time."""

from __future__ import annotations

from collections.abc import Iterator

from bot.asked import Asked
from bot.game import undone
from bot.house import House
from bot.left_open import open_words
from bot.reply import Reply
from bot.requests.table import ShowUnit, Units, WhatNow, Where
from bot.standing import Game
from bot.table.current import events, open_game
from bot.table.record import told
from bot.table.todo import NOTHING_TO_DECLARE, Todo, todo, todo_line, todo_lines
from bot.table.units import named, named_side, part_named, unit_words
from bot.table.words import left_words, listed, place_words, stat_lines, unit_line
from bot.verbs.table.turn import asking_side, messages, not_your_turn

LAST_EVENTS = 3


def where(request: Where, asked: Asked, house: House) -> Reply:
    """Round, side, phase; what is left of each side; the last events."""
    game = open_game(house, asked.where)
    lines = [*_standing_lines(game), *last_events(house, asked.where, LAST_EVENTS)]
    lines += [f"waiting: {asked.text} (#{asked.entry}); `agreed` or `not agreed`" for asked in game.proposals]
    said = place_words(game) + ("; the table rests" if game.resting else "")
    return told(house, asked, game, said, lines, offers=("what now",))


def _standing_lines(game: Game) -> Iterator[str]:
    if not game.rolled_off and not game.step and game.sides:
        yield f"the first turn is not rolled off; as it stands the {game.order[0]} begin"
    for side in game.sides:
        seats = f", played by {listed(side.seats)}" if side.seats else ""
        yield f"{side.name}: score {side.score}{seats}"
        for standing in side.units:
            yield f"  {unit_line(game, (side.name, standing.name))}"
        if not side.units:
            yield "  no roster yet"
    for pair, inches in game.distances.items():
        yield f'{listed([unit_words(game, key) for key in sorted(pair)])} are {inches:g}" apart'


def last_events(house: House, channel: str, count: int) -> list[str]:
    """The last things that happened, each with its number and what became of it."""
    happened = events(house, channel)
    void = undone(happened)
    numbers = [item.entry for item in happened][-count:]
    found = [house.ledger.entry(channel, number) for number in numbers]
    return [
        f"#{entry.id} {entry.data.get('said', entry.read)}"
        + (f" (undone by #{void[entry.id]})" if entry.id in void else "")
        for entry in found
        if entry is not None
    ]


def what_now(request: WhatNow, asked: Asked, house: House) -> Reply:
    """What each unit of the side in turn may still do, and why not; first what is still asked of the asker."""
    game = open_game(house, asked.where)
    side = asking_side(game, asked, request.mine) if request.side is None else named_side(game, request).name
    lines = (*open_words(house.memory.recall(asked.where, asked.who)), *not_your_turn(game, asked))
    if game.over:
        return told(house, asked, game, place_words(game), lines, offers=("report", "close table"))
    items = [todo(house, asked.where, game, key) for key in game.units if key[0] == (side or game.place.turn)]
    nothing = () if any(item.now for item in items) else (NOTHING_TO_DECLARE,)
    return told(
        house,
        asked,
        game,
        place_words(game),
        (*lines, *todo_lines(house, asked.where, game, side), *nothing),
        offers=(*messages(game, asked, items), "where are we" if not_your_turn(game, asked) else "next phase"),
        units=[_todo_data(item) for item in items],
    )


def _todo_data(item: Todo) -> dict[str, object]:
    return {
        "unit": item.key[1],
        "may": list(item.now),
        "later": list(item.later),
        "not": {action: verdict.fact for action, verdict in item.barred.items()},
    }


def units(request: Units, asked: Asked, house: House) -> Reply:
    """Every unit in one line each."""
    game = open_game(house, asked.where)
    sides = [named_side(game, request)] if request.side else list(game.sides)
    lines = []
    for side in sides:
        lines.append(f"{side.name}:")
        lines += [f"  {unit_line(game, (side.name, standing.name))}" for standing in side.units]
    said = f"units of the {sides[0].name}" if request.side else "units on the table"
    return told(house, asked, game, said, lines, offers=("where are we",))


def unit(request: ShowUnit, asked: Asked, house: House) -> Reply:
    """One unit: what is left, what it may do, its stat lines, the order in which it is lost."""
    game = open_game(house, asked.where)
    key = named(game, request, asks=True)
    standing = game.units[key]
    part = part_named(game, request.unit, key)
    lines = [part.left] if part is not None else []
    lines += [line for line in [unit_line(game, key)] if ";" in line]
    if standing.models and key[0] == game.place.turn:
        lines.append(todo_line(game, todo(house, asked.where, game, key)))
    lines += stat_lines(standing.unit)
    if len(standing.unit.groups) > 1:
        lines.append(f"lost in this order: {', '.join(group.name for _, group, _, _ in standing.groups)}")
    for foe in game.units:
        inches = game.distances.get(frozenset((key, foe)))
        if inches is not None:
            lines.append(f'{inches:g}" from {unit_words(game, foe)}')
    return told(house, asked, game, f"{unit_words(game, key)} ({key[0]}): {left_words(standing)}", lines)
