"""undo: appended like everything else; what was undone stays in the record and is passed over."""

from __future__ import annotations

from collections.abc import Iterator

from bot.asked import Asked
from bot.game import Happened, undone
from bot.house import House
from bot.ledger import Draft
from bot.misread import Misread
from bot.reply import Reply
from bot.requests.action import Undo
from bot.standing import Game
from bot.table.again import last_step, may_be_tried_again
from bot.table.current import any_game, events, open_game
from bot.table.record import Made, game_after, happen, unless_mine
from bot.table.seats import anyone_sits, may_run, sides_of
from bot.table.units import unit_words
from bot.table.words import left_line

STAYS = ("open",)
SILENT = ("propose", "decline", "undo", "open", "sit", "leave", "rest")  # a plain undo means what was played
STAYS_THERE = "it stays in the record"
SECOND = "; done again, it will be marked as a second try"


def answer(request: Undo, asked: Asked, house: House) -> Reply:
    """Pass over one event: the last one, or the one named. One's own; another side's is asked of it.

    The opener of the table and moderators undo whatever is to be undone.
    """
    _no_loose_roll(request, asked, house)
    if any_game(house, asked.where) is None:
        open_game(house, asked.where)  # complains, and says how to open one
    item = _which(request, asked, house)
    game = _game(item, asked, house)
    if not may_run(game, asked):
        question = unless_mine(Undo(item.entry), asked, house, game, _owners(game, item))
        if question is not None:
            return question
    entry = house.ledger.entry(asked.where, item.entry)
    said = f"undone: #{item.entry} {_what(entry.data.get('said', entry.read), item) if entry else ''}"

    again = may_be_tried_again(house, asked.where, item)

    def build(game: Game, draft: Draft) -> Made:
        event = {"type": "undo", "undoes": item.entry}
        after = game_after(house, asked, Happened(draft.id, asked.who, event))
        return Made(
            event=event,
            said=said,
            lines=tuple(_standing(after, item)),
            notes=(STAYS_THERE + (SECOND if again else ""),),
            offers=(f"undo #{draft.id}", "where are we"),
        )

    return happen(Undo(item.entry), asked, house, build, even_closed=not game.open)


def _no_loose_roll(request: Undo, asked: Asked, house: House) -> None:
    """A roll that is no event of a table changed nothing that could be taken back."""
    entry = None if request.entry is None else house.ledger.entry(asked.where, request.entry)
    if entry is None or "event" in entry.data or not entry.faces:
        return
    said = f"#{entry.id} is a roll outside the game: it stays in the record, and changed nothing at a table"
    if "attack" in entry.data:
        raise Misread(f"{said}; wrong numbers are mended, and both are shown", hint=f"correct #{entry.id} T4")
    raise Misread(f"{said}; roll again, and both are shown", hint=f"show #{entry.id}")


def _what(said: str, item: Happened) -> str:
    """What is undone; of an attack who struck whom, since what it left is no longer so."""
    return said.partition(": ")[0] if item.event["type"] == "attack" else said


def _standing(after: Game, item: Happened) -> Iterator[str]:
    """How the target of an attack stands without it."""
    target = tuple(item.event.get("target") or ())
    if item.event["type"] == "attack" and target in after.units:
        yield f"{unit_words(after, target)}: {left_line(after, target)}"


def _game(item: Happened, asked: Asked, house: House) -> Game:
    """The open table; also a closed one, if it is the closing that is undone."""
    game = any_game(house, asked.where)
    if game is not None and item.event["type"] == "close":
        return game
    return open_game(house, asked.where)


def _which(request: Undo, asked: Asked, house: House) -> Happened:
    happened = events(house, asked.where)
    void = undone(happened)
    if request.entry is None:
        last = [item for item in happened if item.entry not in void and item.event["type"] not in SILENT]
        if not last:
            raise Misread("nothing has happened that could be undone", hint="log")
        return last[-1]
    found = next((item for item in happened if item.entry == request.entry), None)
    if found is None:
        raise Misread(f"#{request.entry} is nothing that happened at this table", hint="log")
    if found.entry in void:
        raise Misread(f"#{found.entry} is undone already, by #{void[found.entry]}", hint=f"undo #{void[found.entry]}")
    if found.event["type"] in STAYS:
        raise Misread("the opening of the table stays; `close table` ends the game")
    _no_earlier_step(found, happened)
    return found


def _no_earlier_step(found: Happened, happened: list[Happened]) -> None:
    """Steps are counted from where the game stood, so without an earlier one it would stand elsewhere now."""
    numbered = {item.entry: item for item in happened}
    meant = found
    while meant.event["type"] == "undo":
        meant = numbered[meant.event["undoes"]]
    if meant.event["type"] == "step" and meant.entry < last_step(happened):
        raise Misread(f"phases have passed since #{meant.entry}; `back` steps the phase back", hint="back")


def _owners(game: Game, item: Happened) -> list[str]:
    """The sides whose the event was."""
    event = item.event
    if "unit" in event:
        return [event["unit"][0]]
    if "side" in event:
        return [event["side"]]
    mine = list(sides_of(game, item.who))
    return mine or ([game.place.turn] if anyone_sits(game) else [side.name for side in game.sides])
