"""load, roster, add, export: what each side brings."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft
from bot.misread import Misread
from bot.reply import Line, Reply
from bot.requests.table import ExportRoster, LoadRoster, PasteRoster, TypeRoster
from bot.roster import Roster
from bot.standing import Game
from bot.table.current import any_game, open_game
from bot.table.record import Made, happen, state_or_none, told, unless_mine
from bot.table.seats import anyone_sits, check_runs, check_seated
from bot.table.shelf import as_text, from_shelf, on_shelf, pasted, side_for
from bot.table.units import find_side
from bot.table.words import stat_lines
from bot.wording import plural


def load(request: LoadRoster, asked: Asked, house: House) -> Reply:
    """A roster from the shelf."""
    return _bring(request, asked, house, from_shelf(request))


def paste(request: PasteRoster, asked: Asked, house: House) -> Reply:
    """A roster as YAML."""
    return _bring(request, asked, house, pasted(request.text))


def typed(request: TypeRoster, asked: Asked, house: House) -> Reply:
    """Units typed as one reads them off a card: each joins its side, or takes the place of its namesake."""
    game = _joined(asked, house)
    name = side_for(game, asked, request, request.units[0].name)
    question = _theirs(request, asked, house, game, name)
    if question is not None:
        return question

    def build(game: Game, draft: Draft) -> Made:
        text = as_text(Roster(side=name, units=request.units))
        lines = tuple(line for unit in request.units for line in (unit.name, *stat_lines(unit)))
        names = ", ".join(unit.name for unit in request.units)
        return Made(event={"type": "units", "side": name, "roster": text}, said=f"{name}: {names} added", lines=lines)

    return happen(request, asked, house, build)


def _bring(request: LoadRoster | PasteRoster, asked: Asked, house: House, roster: Roster) -> Reply:
    game = _joined(asked, house)
    name = side_for(game, asked, request, roster.side)
    question = _theirs(request, asked, house, game, name)
    if question is not None:
        return question

    def build(game: Game, draft: Draft) -> Made:
        lines = tuple(f"{unit.name}: {plural(unit.models, 'model')}" for unit in roster.units)
        event = {"type": "roster", "side": name, "roster": as_text(roster)}
        said = f"{name}: {plural(len(roster.units), 'unit')} loaded"
        return Made(event=event, said=said, lines=lines, offers=("units", "roll off for the first turn"))

    return happen(request, asked, house, build)


def _joined(asked: Asked, house: House) -> Game:
    """The open table, to which whoever only watches it brings nothing."""
    check_seated(house, asked)
    return open_game(house, asked.where)


def _theirs(request: object, asked: Asked, house: House, game: Game, name: str) -> Reply | None:
    """The question to the side that it is for; a side more is for whoever runs the table, once two are at play."""
    if any(side.name == name for side in game.sides):
        return unless_mine(request, asked, house, game, [name])
    if len(game.sides) > 1 and (game.step or game.rolled_off or anyone_sits(game)):
        check_runs(game, asked, f"adds a side to a game in play, and {name} would be one")
    return None


def export(request: ExportRoster, asked: Asked, house: House) -> Reply:
    """The roster of a side as YAML: one on the table, or one on the shelf."""
    game = any_game(house, asked.where)
    if game is None or not game.open:
        roster = on_shelf(request.side)
        if roster is None:
            raise Misread(f'no table is open, and no roster on the shelf is called "{request.side}"')
        text = as_text(roster)
        return Reply(
            "table",
            f"roster of {roster.side}",
            _text(text),
            {"said": text, "state": state_or_none(house, asked), "roster": text},
        )
    side = find_side(game, request.side)
    if not side.units:
        raise Misread(f"the {side.name} have no roster yet", hint=f"load {side.name}")
    text = as_text(Roster(side=side.name, units=tuple(standing.unit for standing in side.units)))
    return told(house, asked, game, f"roster of {side.name}", blocks=_text(text), roster=text)


def _text(text: str) -> tuple[Line, ...]:
    return tuple(map(Line, text.splitlines()))
