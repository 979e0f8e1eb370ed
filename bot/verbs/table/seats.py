"""sit, leave: who plays which side."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft
from bot.misread import Misread
from bot.reply import Reply
from bot.requests.table import Leave, Sit
from bot.standing import Game
from bot.table.current import open_game
from bot.table.record import Made, happen, told, unless_mine
from bot.table.seats import check_runs, may_run, sides_of
from bot.table.units import named_side
from bot.table.words import listed


def sit(request: Sit, asked: Asked, house: House) -> Reply:
    """Sit down on a side. A seat beside somebody else is asked of them; the opener may seat anyone."""
    game = open_game(house, asked.where)
    side = named_side(game, request)
    who = request.who or asked.who
    if request.who is not None and request.who != asked.who:
        check_runs(game, asked, "seats other people")
    elif side.seats and who not in side.seats and not may_run(game, asked) and sides_of(game, who):
        question = unless_mine(request, asked, house, game, [side.name])
        if question is not None:
            return question
    if who in side.seats:
        return told(house, asked, game, f"{who} sits with the {side.name} already")

    def build(game: Game, draft: Draft) -> Made:
        event = {"type": "sit", "side": side.name, "who": who}
        return Made(event=event, said=f"{who} sits with the {side.name}", offers=("what now",))

    return happen(request, asked, house, build)


def leave(request: Leave, asked: Asked, house: House) -> Reply:
    """Leave the seat; the opener may unseat anyone, so that nobody is locked out."""
    game = open_game(house, asked.where)
    who = request.who or asked.who
    if who != asked.who:
        check_runs(game, asked, "unseats other people")
    sides = sides_of(game, who)
    if not sides:
        seated = listed([seat for side in game.sides for seat in side.seats]) or "nobody"
        raise Misread(f"{who} has no seat here; seated: {seated}", hint=_seat(game))

    def build(game: Game, draft: Draft) -> Made:
        return Made(event={"type": "leave", "who": who}, said=f"{who} leaves the {listed(sides)}")

    return happen(request, asked, house, build)


def _seat(game: Game) -> str:
    return f"sit with {game.sides[0].name}" if game.sides else "load Kiln Guard"
