"""Whose turn it is, what is to be rolled and what to say next: asked by anyone, at any time, and of the state alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bot.asked import Asked
from bot.house import House
from bot.left_open import open_words
from bot.naming import possessive
from bot.reply import Reply
from bot.requests.table import WhatToRoll, WhoseTurn
from bot.standing import Game
from bot.table.current import open_game
from bot.table.record import told
from bot.table.seats import anyone_sits, sides_of
from bot.table.todo import Todo, to_say, todo
from bot.table.units import named_side, unit_words
from bot.table.words import listed, place_words
from resolver.ruleset import Ruleset

MOST_MESSAGES = 3
SAVES = "nothing is yours to roll: I roll the saves of your units with each attack on them"


def asking_side(game: Game, asked: Asked, mine: bool = True) -> str | None:
    """The side that is asked about: with `mine` the asker's, where they sit on another than the one in turn."""
    sides = sides_of(game, asked.who)
    return sides[0] if mine and sides and game.place.turn not in sides else None


def not_your_turn(game: Game, asked: Asked) -> tuple[str, ...]:
    """What somebody of another side than the one in turn is told first."""
    side = None if game.over else asking_side(game, asked)
    return () if side is None else (f"not your turn, {asked.who}: it is {_with_seats(game, game.place.turn)}",)


def messages(game: Game, asked: Asked, items: Sequence[Todo]) -> tuple[str, ...]:
    """What the asker may say for these units now."""
    sides = sides_of(game, asked.who) if anyone_sits(game) else [side.name for side in game.sides]
    said = (to_say(game, item) for item in items if item.key[0] in sides and game.units[item.key].models)
    return tuple(message for message in said if message is not None)[:MOST_MESSAGES]


def whose_turn(request: WhoseTurn, asked: Asked, house: House) -> Reply:
    """Whose turn it is and whose comes next; yes or no where a side or the asker's own is asked about."""
    game = open_game(house, asked.where)
    lines = [*open_words(house.memory.recall(asked.where, asked.who)), *_turns(game)]
    if game.over or not game.place.turn:
        return told(house, asked, game, place_words(game), lines)
    sides = sides_of(game, asked.who) if request.mine else (named_side(game, request).name,) if request.side else ()
    answer = "yes: " if game.place.turn in sides else "no: " if sides else ""
    if request.mine and not sides:
        nobody = "you sit on no side; `sit with` one to play it" if anyone_sits(game) else "nobody sits yet"
        lines.insert(len(lines) - 1, nobody)
    lines += _may_act(game, asked, house) if answer == "no: " and request.mine else ()
    return told(house, asked, game, f"{answer}{place_words(game)}", lines, offers=("what now",))


def _may_act(game: Game, asked: Asked, house: House) -> tuple[str, ...]:
    """The asker's units that may act now all the same, as in a fight."""
    mine = sides_of(game, asked.who)
    units = [key for key in game.units if key[0] in mine and todo(house, asked.where, game, key).now]
    names = listed([unit_words(game, key) for key in units if game.units[key].models])
    return (f"but in this phase these of yours may act: {names}",) if names else ()


def _turns(game: Game) -> Iterator[str]:
    if game.over or not game.place.turn:
        return
    after = [place for place in game.places[game.step :] if place.turn != game.place.turn]
    then = f"; then {_with_seats(game, after[0].turn)}" if after else "; it is the last one"
    yield f"{_with_seats(game, game.place.turn)} now{then}"


def _with_seats(game: Game, side: str) -> str:
    seats = game.side(side).seats
    return f"{possessive(side)} turn" + (f" ({listed(seats)})" if seats else "")


def to_roll(request: WhatToRoll, asked: Asked, house: House) -> Reply:
    """Which dice this phase asks for, and what to say so that they are rolled; or what is still asked of the asker."""
    game = open_game(house, asked.where)
    still = open_words(house.memory.recall(asked.where, asked.who))
    if still:
        return told(house, asked, game, place_words(game), still, offers=("what now",))
    side = asking_side(game, asked) or game.place.turn
    keys = [key for key in game.units if key[0] == side and game.units[key].models and not game.over]
    items = [todo(house, asked.where, game, key) for key in keys]
    said = messages(game, asked, items)
    now = dict.fromkeys(action for item in items for action in item.now)
    rolled = tuple(dict.fromkeys(line for action in now for line in _dice(action, house.ruleset(asked.where))))
    attacked = side != game.place.turn and game.place.phase in ("shooting", "fight")
    nothing = SAVES if attacked else "nothing is rolled now"
    lines = (*not_your_turn(game, asked), *(rolled or (nothing,)))
    attacks = tuple(f"step by step {message}" for message in said if not {"shoot", "fight"}.isdisjoint(now))
    return told(house, asked, game, place_words(game), lines, offers=(*said, *attacks[:1], "what now"))


def _dice(action: str, ruleset: Ruleset) -> Iterator[str]:
    """The dice of an action; an attack's depend on weapon and target."""
    movement = ruleset.movement
    if action == "advance":
        yield f"an advance: {movement.advance}, added to the move; I roll it when you say it"
    elif action == "charge":
        yield f"a charge: {movement.charge}, added up; I roll it when you say who charges whom"
    elif action in ("shoot", "fight"):
        yield "an attack: say who attacks whom, and I roll every step, the saves too"
        yield "`step by step` and the attack tells each handful: how many dice, and which number counts"
