"""score, own dice, explain: what is kept by hand and what the people at the table agree on."""

from __future__ import annotations

from dataclasses import replace

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft
from bot.misread import Unsure
from bot.reply import Reply
from bot.requests.table import Explain, OwnDice, Score
from bot.standing import Game, Side
from bot.table.current import any_game, open_game
from bot.table.record import Made, happen, state_or_none, told, unless_mine
from bot.table.seats import sides_of
from bot.table.units import named_side
from bot.table.words import listed
from resolver.refused import within

HIGHEST_SCORE = 10_000
EXPLAINED = {
    "full": "every number with its reason",
    "short": "dice and numbers, no reasons",
    "off": "the result alone",
}


def score(request: Score, asked: Asked, house: House) -> Reply:
    """Set or raise the score of a side."""
    within("score", abs(request.points), 0, HIGHEST_SCORE)
    game = open_game(house, asked.where)
    side = named_side(game, request) if request.side else _own_side(game, request, asked)
    request = replace(request, side=side.name)
    question = unless_mine(request, asked, house, game, [side.name])
    if question is not None:
        return question

    def build(game: Game, draft: Draft) -> Made:
        before = game.side(side.name).score
        now = before + request.points if request.add else request.points
        event = {"type": "score", "side": side.name, "points": request.points, "add": request.add}
        others = ", ".join(f"{other.name} {other.score}" for other in game.sides if other.name != side.name)
        return Made(
            event=event,
            said=f"score: {side.name} {now} (was {before}), {others}",
            notes=(() if request.add else (f"`score {side.name} +{abs(request.points)}` adds instead",)),
        )

    return happen(request, asked, house, build)


def _own_side(game: Game, request: Score, asked: Asked) -> Side:
    """The side on which the asker sits."""
    mine = sides_of(game, asked.who)
    if not mine:
        raise Unsure("whose score?", tuple(str(replace(request, side=side.name)) for side in game.sides))
    return game.side(mine[0])


def own_dice(request: OwnDice, asked: Asked, house: House) -> Reply:
    """Own dice count once every side has said yes; any side may say no. Where nobody sits, one word does."""
    game = open_game(house, asked.where)
    mine = sides_of(game, asked.who) or tuple(side.name for side in game.sides)
    question = unless_mine(request, asked, house, game, mine)
    if question is not None:
        return question

    def build(game: Game, draft: Draft) -> Made:
        empty = tuple(side.name for side in game.sides if not side.seats)
        sides = [*mine, *empty] if request.value else [side.name for side in game.sides]
        waiting = [side.name for side in game.sides if not side.own_dice and side.name not in sides]
        event = {"type": "own dice", "sides": sides, "value": request.value}
        if not request.value:
            return Made(event=event, said="own dice do not count; the umpire rolls")
        if waiting:
            said = f"own dice: yes from {listed(mine)}; waiting for the {listed(waiting)}"
            return Made(event=event | {"waiting": waiting}, said=said, offers=("own dice yes", "own dice no"))
        return Made(event=event, said="own dice count, and are marked as declared in the record")

    return happen(request, asked, house, build)


def explain(request: Explain, asked: Asked, house: House) -> Reply:
    """How much explanation this person wants from now on."""
    memory = house.memory.recall(asked.where, asked.who)
    house.memory.remember(asked.where, asked.who, memory | {"explain": request.how})
    said = f"explanations for {asked.who}: {EXPLAINED[request.how]}"
    game = any_game(house, asked.where)
    if game is not None and game.open:
        return told(house, asked, game, said, private=True)
    return Reply("table", said, data={"said": said, "state": state_or_none(house, asked)}, private=True)
