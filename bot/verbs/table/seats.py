"""sit, leave: who plays which side."""

from __future__ import annotations

from bot.asked import Asked
from bot.game import undone
from bot.house import House
from bot.ledger import Draft
from bot.misread import Misread
from bot.reply import Reply
from bot.requests.table import Leave, Sit
from bot.standing import Game, Side
from bot.table.current import events, open_game
from bot.table.record import Made, ask_leave, happen, told
from bot.table.seats import check_runs, may_run, sides_of
from bot.table.units import named_side
from bot.table.words import listed


def sit(request: Sit, asked: Asked, house: House) -> Reply:
    """Sit down on a side. A seat beside those whom one plays against is asked of them; the opener may seat anyone."""
    game = open_game(house, asked.where)
    side = named_side(game, request)
    who = request.who or asked.who
    if request.who is not None and request.who != asked.who:
        check_runs(game, asked, "seats other people")
    elif side.seats and who not in side.seats and not may_run(game, asked) and _played_against(side, asked, house):
        return ask_leave(request, asked, house, [side.name], [name for name in (game.opener,) if name])
    if who in side.seats:
        return told(house, asked, game, f"{who} sits with the {side.name} already")

    def build(game: Game, draft: Draft) -> Made:
        event = {"type": "sit", "side": side.name, "who": who}
        return Made(event=event, said=f"{who} sits with the {side.name}", offers=("what now",))

    return happen(request, asked, house, build)


def _played_against(side: Side, asked: Asked, house: House) -> bool:
    """Whether the asker sits, or sat before they left, on another side."""
    happened = events(house, asked.where)
    void = undone(happened)
    sat = (item.event for item in happened if item.event["type"] == "sit" and item.entry not in void)
    return any(event["who"] == asked.who and event["side"] != side.name for event in sat)


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
