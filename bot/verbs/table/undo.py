"""undo: appended like everything else; what was undone stays in the record and is passed over."""

from __future__ import annotations

from collections.abc import Iterator

from bot.asked import Asked
from bot.game import Happened, undone
from bot.house import House
from bot.ledger import Draft, Entry
from bot.misread import Misread
from bot.reply import Note, Reply
from bot.requests.action import Undo
from bot.standing import Game
from bot.table.again import last_step, may_be_tried_again
from bot.table.current import any_game, events, open_game
from bot.table.record import Made, ask_leave, game_after, happen, state_or_none
from bot.table.seats import anyone_sits, may_act, may_run, only_the_opener, seated_against, sides_of
from bot.table.under_way import begun, ended, forget, handfuls
from bot.table.units import unit_words
from bot.table.words import left_line, listed, place_words

STAYS = {
    "open": "the opening of the table stays; `close table` ends the game",
    "rule": "a house rule stays until another says otherwise",
}
# A plain undo means what was played.
SILENT = ("propose", "decline", "undo", "open", "sit", "leave", "rest", "rule")
STAYS_THERE = "it stays in the record"
SECOND = "; done again, it will be marked as a second try"


def answer(request: Undo, asked: Asked, house: House) -> Reply:
    """Pass over one event: the last one, or the one named. One's own; what others did is asked of them.

    The opener of the table and moderators undo whatever is to be undone. A step-by-step attack is taken back whole.
    """
    stepping = begun(house, asked)
    if stepping is not None and _means(request, stepping, house):
        return _left(stepping, asked, house)
    _no_loose_roll(request, asked, house)
    if any_game(house, asked.where) is None:
        open_game(house, asked.where)  # complains, and says how to open one
    item = _which(request, asked, house)
    game = _game(item, asked, house)
    if not _may(game, asked, item):
        return _asked_of_others(game, asked, item, house)
    said = f"undone: {_named(item, asked, house)}"
    again = may_be_tried_again(house, asked.where, item)

    def build(game: Game, draft: Draft) -> Made:
        event = {"type": "undo", "undoes": item.entry}
        after = game_after(house, asked, Happened(draft.id, asked.who, event))
        return Made(
            event=event,
            said=said,
            lines=(*_standing(after, item), *_moved(game, after)),
            notes=(STAYS_THERE + (SECOND if again else ""),),
            offers=(f"undo #{draft.id}", "where are we"),
        )

    return happen(Undo(item.entry), asked, house, build, even_closed=not game.open)


def _means(request: Undo, stepping: Entry, house: House) -> bool:
    """Whether it is about the asker's step-by-step attack: the last thing they do, or an entry of it."""
    if ended(house, stepping):
        return False
    return request.entry in (None, stepping.id, *(entry.id for entry in handfuls(house, stepping)))


def _left(stepping: Entry, asked: Asked, house: House) -> Reply:
    """The step-by-step attack is left; nothing had been taken off yet."""
    thrown = [f"#{entry.id}" for entry in handfuls(house, stepping)]
    forget(house, asked)
    said = f"undone: #{stepping.id} {stepping.data['said']}; nothing was taken off the table"
    stay = f"{listed(thrown)} {'stays' if len(thrown) == 1 else 'stay'} in the record{SECOND}"
    notes = (Note(stay),) if thrown else ()
    data = {"said": said, "lesson": {"done": True}, "state": state_or_none(house, asked)}
    return Reply("table", said, notes, data, offers=(f"step by step {stepping.data['meant']}",))


def _may(game: Game, asked: Asked, item: Happened) -> bool:
    """Whoever runs the table undoes anything; others what they did themselves and may still act for."""
    return may_run(game, asked) or (may_act(game, asked, _owners(game, item)) and asked.who == item.who)


def _asked_of_others(game: Game, asked: Asked, item: Happened, house: House) -> Reply:
    """The question to whoever did it, those who play another side, and whoever opened the table."""
    sides = seated_against(game, asked.who)
    people = tuple(dict.fromkeys(who for who in (item.who, game.opener) if who and who != asked.who))
    if not game.open or not (sides or people):
        raise only_the_opener(game, "undoes what somebody else did")
    return ask_leave(Undo(item.entry), asked, house, sides, people)


def _no_loose_roll(request: Undo, asked: Asked, house: House) -> None:
    """A roll that is no event of a table changed nothing that could be taken back."""
    entry = None if request.entry is None else house.ledger.entry(asked.where, request.entry)
    if entry is None or "event" in entry.data or not entry.faces:
        return
    said = f"#{entry.id} is a roll outside the game: it stays in the record, and changed nothing at a table"
    if "attack" in entry.data:
        raise Misread(f"{said}; wrong numbers are mended, and both are shown", hint=f"correct #{entry.id} T4")
    raise Misread(f"{said}; roll again, and both are shown", hint=f"show #{entry.id}")


def _named(item: Happened, asked: Asked, house: House) -> str:
    """What is undone, with its number; of an attack who struck whom, since what it left is no longer so."""
    entry = house.ledger.entry(asked.where, item.entry)
    said = "" if entry is None else entry.data.get("said", entry.read)
    return f"#{item.entry} {said.partition(': ')[0] if item.event['type'] == 'attack' else said}"


def _standing(after: Game, item: Happened) -> Iterator[str]:
    """How the target of an attack stands without it."""
    target = tuple(item.event.get("target") or ())
    if item.event["type"] == "attack" and target in after.units:
        yield f"{unit_words(after, target)}: {left_line(after, target)}"


def _moved(before: Game, after: Game) -> Iterator[str]:
    """Where the game stands, if it stands elsewhere now."""
    if before.step != after.step:
        yield f"now: {place_words(after)}"


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
        own = [item for item in happened if item.entry not in void and item.who == asked.who]
        game = any_game(house, asked.where)
        if own and game is not None and own[-1].entry in [proposal.entry for proposal in game.proposals]:
            return own[-1]  # what the asker did last was to ask, and nobody has answered
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
        raise Misread(STAYS[found.event["type"]])
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
