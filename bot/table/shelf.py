"""Rosters on the shelf (config/rosters), and where a roster that comes to the table belongs."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cache

from bot.asked import Asked
from bot.content import ContentError, dump, load_rosters, parse
from bot.misread import Misread, Unsure
from bot.naming import matches, nearest
from bot.requests.table import LoadRoster, PasteRoster, TypeRoster
from bot.roster import Roster
from bot.standing import Game
from bot.table.seats import sides_of
from bot.table.units import find_side

_FILE = re.compile(r"# (?P<name>[^\n]{1,100}\.(?:ya?ml|txt))\n", re.IGNORECASE)  # the remark above an attached roster


@cache
def shelf() -> Mapping[str, Roster]:
    """The rosters that come with the umpire, by side."""
    return load_rosters()


def on_shelf(words: str) -> Roster | None:
    """The roster that the words mean, if exactly one does."""
    found = matches(words, [(side, roster) for side, roster in shelf().items()])
    return found[0] if len(found) == 1 else None


def from_shelf(request: LoadRoster) -> Roster:
    """The roster that the message asks for."""
    found = matches(request.roster, [(side, roster) for side, roster in shelf().items()])
    if not found:
        hint = nearest(request.roster, shelf())
        raise Misread(f'no roster on the shelf is called "{request.roster}"', hint=hint and f"load {hint}")
    if len(found) > 1:
        raise Unsure("which roster?", tuple(str(LoadRoster(roster.side, request.side)) for roster in found))
    return found[0]


def pasted(text: str) -> Roster:
    """A roster from YAML text; every complaint at once, each with its line and key, and with the file that it names."""
    file = _FILE.match(text)
    try:
        return parse(text[file.end() :] if file else text, Roster, file["name"] if file else "roster")
    except ContentError as error:
        hint = "`export roster of Kiln Guard` shows one that is right"
        raise Misread("this roster can't be used:\n" + "\n".join(error.complaints), hint=hint) from None


def as_text(roster: Roster) -> str:
    """The roster as an event carries it and as it is exported."""
    return dump(roster)


def side_for(game: Game, asked: Asked, request: LoadRoster | PasteRoster | TypeRoster, roster_side: str) -> str:
    """The side that a roster is for: as said, as it says itself, or the asker's own; otherwise it is asked."""
    if request.side is not None:
        there = matches(request.side, [(side.name, side.name) for side in game.sides])
        return find_side(game, request.side).name if there else request.side
    known = matches(roster_side, [(side.name, side.name) for side in game.sides])
    if len(known) == 1:
        return known[0]
    mine = sides_of(game, asked.who)
    if len(mine) == 1:
        return mine[0]
    if not game.sides or (len(game.sides) == 1 and not isinstance(request, TypeRoster)):
        return roster_side
    waiting = [side.name for side in game.sides if not side.units]
    names = waiting or [*(side.name for side in game.sides), roster_side]
    choices = tuple(str(replace(request, side=name)) for name in names)
    raise Unsure(f"which side is {roster_side} for?", choices)
