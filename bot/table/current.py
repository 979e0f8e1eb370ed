"""The game of a channel, folded from its record; what was folded is kept for as long as the ledger lives."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from bot.game import Happened, apply, changes_the_past, effective, fold
from bot.house import House
from bot.misread import Misread
from bot.standing import Game

if TYPE_CHECKING:  # its database library takes a while, and a message about no table needs none
    from bot.ledger import Entry, Ledger


@dataclass
class _Folded:
    """A channel's events and their game, up to the entry `last`."""

    happened: list[Happened] = field(default_factory=list)
    game: Game | None = None
    last: int = 0


_FOLDED: WeakKeyDictionary[Ledger, dict[str, _Folded]] = WeakKeyDictionary()


def happened(entry: Entry) -> Happened | None:
    """The event that an entry carries, if it carries one."""
    event = entry.data.get("event")
    return None if event is None else Happened(entry.id, entry.who, event, entry.data.get("mends"))


def folded(house: House, where: str) -> _Folded:
    """The channel's events and game, brought up to the last entry."""
    kept = _FOLDED.setdefault(house.ledger, {}).setdefault(where, _Folded())
    for entry in house.ledger.entries(where, since=kept.last + 1):
        _take(kept, happened(entry))
        kept.last = entry.id
    return kept


def _take(kept: _Folded, item: Happened | None) -> None:
    if item is None:
        return
    if item.event["type"] == "open":
        kept.happened.clear()
    kept.happened.append(item)
    kept.game = after(kept, item)


def after(kept: _Folded, item: Happened) -> Game | None:
    """The game once this has happened as well; `item` may be among the events already."""
    if not changes_the_past(item.event, item.mends):
        return apply(kept.game, item)
    events = kept.happened if item in kept.happened else [*kept.happened, item]
    return fold(events)


def events(house: House, where: str) -> list[Happened]:
    """Everything that happened at this table since it was opened."""
    return list(folded(house, where).happened)


def game_before(house: House, where: str, number: int) -> Game:
    """The table as it was just before an entry; what was undone or mended since then is in place."""
    game = fold([item for item in effective(events(house, where)) if item.entry < number])
    if game is None:
        raise Misread(f"#{number} belongs to an earlier table, which is over", hint="log")
    return game


def any_game(house: House, where: str) -> Game | None:
    """The last table of the channel, open or closed."""
    return folded(house, where).game


def open_game(house: House, where: str) -> Game:
    """The open table, or a complaint that says how to open one."""
    game = any_game(house, where)
    if game is None or not game.open:
        raise Misread("no table is open here", hint="open table Saltmarsh Wardens against Kiln Guard")
    return game


def read_again(house: House, where: str) -> None:
    """Fold the channel anew when it is asked for next: its record was rewritten, as when a person is forgotten."""
    _FOLDED.get(house.ledger, {}).pop(where, None)
