"""open table, close, rest: where a game begins, ends and waits."""

from __future__ import annotations

from typing import Any

from bot.asked import Asked
from bot.game import Happened, fold
from bot.house import House
from bot.ledger import Draft
from bot.misread import Misread, Unsure
from bot.reply import Reply
from bot.requests.table import Close, Open, Rest
from bot.standing import Game
from bot.table.current import any_game, open_game
from bot.table.record import Made, happen, settle
from bot.table.seats import check_runs, check_seated, may_run
from bot.table.shelf import as_text, on_shelf
from bot.table.words import listed, place_words, score_words
from resolver.ruleset import Ruleset


def open_table(request: Open, asked: Asked, house: House) -> Reply:
    """Open a table; rosters of the shelf that the sides name are loaded at once."""
    game = any_game(house, asked.where)
    if game is not None and game.open:
        hint = "close table" if may_run(game, asked) else "where are we"
        raise Misread(f"a table is open here already (#{game.entry})", hint=hint)
    if len(request.sides) == 1:
        raise Misread("a table has two sides or more", hint=f"open table {request.sides[0]} against Kiln Guard")
    ruleset = _ruleset(request, asked, house)
    event = _opening(request, ruleset)

    def make(draft: Draft) -> Reply:
        house.memory.remember(asked.where, "", house.memory.recall(asked.where) | {"ruleset": ruleset.id})
        game = fold([Happened(draft.id, asked.who, event)])
        assert game is not None
        return settle(draft, asked, house, request, _opened(game, event, ruleset), ruleset)

    return house.ledger.record(asked, "table", make)


def _ruleset(request: Open, asked: Asked, house: House) -> Ruleset:
    if request.ruleset is None:
        return house.ruleset(asked.where)
    found = house.rulesets.called(request.ruleset)
    if len(found) == 1:
        return found[0]
    choices = tuple(str(Open(request.sides, ruleset.id)) for ruleset in found or house.rulesets.values())
    raise Unsure(f'which ruleset is "{request.ruleset}"?', choices)


def _opening(request: Open, ruleset: Ruleset) -> dict[str, Any]:
    sides: list[str] = []
    rosters: dict[str, str] = {}
    for words in request.sides:
        roster = on_shelf(words)
        name = roster.side if roster else words
        if name in sides:
            raise Misread(f"two sides are called {name}", hint="open table Reds against Blues, then load rosters")
        sides.append(name)
        if roster:
            rosters[name] = as_text(roster)
    return {
        "type": "open",
        "sides": sides,
        "rosters": rosters,
        "ruleset": ruleset.id,
        "rounds": ruleset.rounds,
        "phases": [phase.id for phase in ruleset.phases],
    }


def _opened(game: Game, event: dict[str, Any], ruleset: Ruleset) -> Made:
    lines = [
        f"{side.name}: {listed([standing.name for standing in side.units])}"
        if side.units
        else f"{side.name}: no roster yet"
        for side in game.sides
    ]
    empty = [side.name for side in game.sides if not side.units]
    first = "roll off for the first turn" if game.sides else "load Kiln Guard"
    offers = (f"load Kiln Guard as {empty[0]}" if empty else first,)
    names = f": {' against '.join(event['sides'])}" if event["sides"] else ""
    said = f"table open{names}, with {ruleset.title}, {ruleset.rounds} rounds"
    return Made(
        event=event,
        said=said,
        lines=tuple(lines),
        offers=(*offers, *(f"sit with {s.name}" for s in game.sides)),
    )


def close(request: Close, asked: Asked, house: House) -> Reply:
    """End the game, as only the opener and moderators do."""
    check_runs(open_game(house, asked.where), asked, "closes it")

    def build(game: Game, draft: Draft) -> Made:
        said = f"table closed: {score_words(game)}; {place_words(game)}"
        return Made(event={"type": "close"}, said=said, offers=("report",))

    return happen(request, asked, house, build)


def rest(request: Rest, asked: Asked, house: House) -> Reply:
    """Leave everything as it is until somebody goes on."""
    check_seated(house, asked)

    def build(game: Game, draft: Draft) -> Made:
        return Made(
            event={"type": "rest"},
            said=f"the table rests: {place_words(game)}",
            lines=("Nothing is lost; any message goes on.",),
            offers=("where are we",),
        )

    return happen(request, asked, house, build)
