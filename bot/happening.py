"""What each kind of event does to a game: one function for each, and the table that names them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from bot.content import parse
from bot.roster import Roster
from bot.standing import Deed, Game, Key, Pair, Proposal, Side, Standing, fresh

Event = Mapping[str, Any]


@dataclass(frozen=True)
class Happened:
    """One recorded event: its entry's number, who said it, and the entry it takes the place of (a mend)."""

    entry: int
    who: str
    event: Event
    mends: int | None = None


def opened(item: Happened) -> Game:
    """A new table."""
    event = item.event
    game = Game(
        entry=item.entry,
        opener=item.who,
        ruleset=event["ruleset"],
        rounds=event["rounds"],
        phases=tuple(event["phases"]),
        sides=tuple(map(Side, event["sides"])),
        order=tuple(event["sides"]),
        last=item.entry,
    )
    for side, roster in event.get("rosters", {}).items():
        game = _brought(game, side, roster_of(roster))
    return game


@lru_cache(maxsize=64)
def roster_of(text: str) -> Roster:
    """A roster from the YAML that an event carries."""
    return parse(text, Roster, "roster")


def _roster(game: Game, item: Happened) -> Game:
    """A whole roster replaces what its side had; a side that was not there sits down last."""
    return _brought(game, item.event["side"], roster_of(item.event["roster"]))


def _brought(game: Game, name: str, roster: Roster) -> Game:
    game = _with_side(game, name)
    units = tuple(map(fresh, roster.units))
    return _forget(_change_side(game, name, lambda side: replace(side, units=units)), name)


def _units(game: Game, item: Happened) -> Game:
    """Single units join a side; each takes the place of its namesake."""
    units = roster_of(item.event["roster"]).units
    names = {unit.name for unit in units}

    def joined(side: Side) -> Side:
        others = tuple(standing for standing in side.units if standing.name not in names)
        return replace(side, units=(*others, *map(fresh, units)))

    name = item.event["side"]
    return _change_side(_with_side(game, name), name, joined)


def _with_side(game: Game, name: str) -> Game:
    if any(side.name == name for side in game.sides):
        return game
    return replace(game, sides=(*game.sides, Side(name)), order=(*game.order, name))


def _forget(game: Game, name: str) -> Game:
    """Drop distances and engagements of units that a side no longer has."""
    known = game.units

    def lives(pair: Pair) -> bool:
        return all(key in known for key in pair)

    return replace(
        game,
        engaged={pair: entry for pair, entry in game.engaged.items() if lives(pair)},
        distances={pair: inches for pair, inches in game.distances.items() if lives(pair)},
    )


def _sit(game: Game, item: Happened) -> Game:
    """A person sits on one side; sitting down elsewhere leaves the old seat."""
    who = item.event["who"]
    game = _leave(game, item)

    def sat(side: Side) -> Side:
        return side if who in side.seats else replace(side, seats=(*side.seats, who))

    return _change_side(game, item.event["side"], sat)


def _leave(game: Game, item: Happened) -> Game:
    who = item.event["who"]
    sides = tuple(
        replace(side, seats=tuple(seat for seat in side.seats if seat != who)) for side in game.sides
    )
    return replace(game, sides=sides)


def _first(game: Game, item: Happened) -> Game:
    """The side that begins; the others follow in the order in which they were named."""
    first = item.event["side"]
    start = game.order.index(first)
    return replace(game, order=game.order[start:] + game.order[:start], rolled_off=True)


def _step(game: Game, item: Happened) -> Game:
    """A phase ends, or is stepped back; what was asked in the old one lapses."""
    return replace(game.stepped(item.event["by"]), proposals=())


def _act(game: Game, item: Happened) -> Game:
    """A declared action: what it leaves behind for rulings, and what is no longer known."""
    key = _key(item.event["unit"])
    for what in item.event["deeds"]:
        game = _deed(game, key, what, item.entry)
    if item.event.get("moved", True):
        game = replace(game, distances={p: d for p, d in game.distances.items() if key not in p})
    if "fell back" in item.event["deeds"]:
        game = replace(game, engaged={p: e for p, e in game.engaged.items() if key not in p})
    if item.event.get("reached"):
        pair = frozenset((key, _key(item.event["reached"])))
        game = replace(game, engaged={**game.engaged, pair: item.entry})
    return game


def _attack(game: Game, item: Happened) -> Game:
    """An attack by name: the deed, and the wounds that the target lost."""
    game = _deed(game, _key(item.event["unit"]), item.event["deed"], item.entry)
    return _wounds(game, _key(item.event["target"]), item.event["hurt"])


def _wounds(game: Game, key: Key, hurt: Mapping[str, int]) -> Game:
    """`hurt` maps the index of a group (a string, as in JSON) to the wounds lost."""

    def hit(standing: Standing) -> Standing:
        for index, points in hurt.items():
            standing = standing.hurt(int(index), points)
        return standing

    return _clear(_change_unit(game, key, hit), key)


def _clear(game: Game, key: Key) -> Game:
    """A unit that is gone is engaged with nobody."""
    if game.units[key].models:
        return game
    return replace(
        game,
        engaged={p: e for p, e in game.engaged.items() if key not in p},
        distances={p: d for p, d in game.distances.items() if key not in p},
    )


def _hurt(game: Game, item: Happened) -> Game:
    return _wounds(game, _key(item.event["unit"]), item.event["hurt"])


def _left(game: Game, item: Happened) -> Game:
    """By hand: so many models left, so many wounds lost by the first of them, in some groups of a unit."""
    key = _key(item.event["unit"])

    def put(standing: Standing) -> Standing:
        for index, (models, lost) in item.event["left"].items():
            standing = standing.with_left(int(index), models, lost)
        return standing

    return _clear(_change_unit(game, key, put), key)


def _deeds(game: Game, item: Happened) -> Game:
    """By hand: what a unit did this turn after all, or did not do."""
    key = _key(item.event["unit"])
    what = item.event["what"]
    if item.event["done"]:
        return _deed(game, key, what, item.entry)
    return _change_unit(
        game, key, lambda unit: replace(unit, deeds=tuple(deed for deed in unit.deeds if deed.what != what))
    )


def _engage(game: Game, item: Happened) -> Game:
    """By hand: two units are engaged, or no longer; with one unit named, it is engaged with nobody."""
    keys = frozenset(_key(unit) for unit in item.event["units"])
    engaged = {pair: entry for pair, entry in game.engaged.items() if not keys <= pair}
    if item.event["engaged"]:
        engaged[keys] = item.entry
    return replace(game, engaged=engaged)


def _distance(game: Game, item: Happened) -> Game:
    pair = frozenset(_key(unit) for unit in item.event["units"])
    return replace(game, distances={**game.distances, pair: item.event["inches"]})


def _allocate(game: Game, item: Happened) -> Game:
    order = tuple(item.event["order"])
    return _change_unit(game, _key(item.event["unit"]), lambda unit: replace(unit, order=order))


def _score(game: Game, item: Happened) -> Game:
    def scored(side: Side) -> Side:
        points = item.event["points"]
        return replace(side, score=side.score + points if item.event.get("add") else points)

    return _change_side(game, item.event["side"], scored)


def _own_dice(game: Game, item: Happened) -> Game:
    names, value = item.event["sides"], item.event["value"]
    sides = tuple(replace(side, own_dice=value) if side.name in names else side for side in game.sides)
    return replace(game, sides=sides)


def _propose(game: Game, item: Happened) -> Game:
    event = item.event
    asked = Proposal(
        item.entry,
        item.who,
        event["text"],
        tuple(event["sides"]),
        event.get("about", event["text"]),
        tuple(event.get("people", ())),
    )
    others = tuple(other for other in game.proposals if (other.who, other.about) != (asked.who, asked.about))
    return replace(game, proposals=others if event.get("settled") else (*others, asked))


def _decline(game: Game, item: Happened) -> Game:
    return replace(game, proposals=tuple(p for p in game.proposals if p.entry != item.event.get("declines", p.entry)))


def _close(game: Game, item: Happened) -> Game:
    return replace(game, open=False)


def _same(game: Game, item: Happened) -> Game:
    return game


APPLY: Mapping[str, Callable[[Game, Happened], Game]] = {
    "roster": _roster,
    "units": _units,
    "sit": _sit,
    "leave": _leave,
    "first": _first,
    "step": _step,
    "act": _act,
    "attack": _attack,
    "hurt": _hurt,
    "left": _left,
    "deeds": _deeds,
    "engage": _engage,
    "distance": _distance,
    "allocate": _allocate,
    "score": _score,
    "own dice": _own_dice,
    "propose": _propose,
    "decline": _decline,
    "rest": _same,
    "note": _same,
    "rule": _same,
    "undo": _same,
    "close": _close,
}


def _key(name: Iterable[str]) -> Key:
    side, unit = name
    return side, unit


def _deed(game: Game, key: Key, what: str, entry: int) -> Game:
    here = game.place
    deed = Deed(what, entry, here.round, here.turn)
    return _change_unit(game, key, lambda unit: replace(unit, deeds=(*unit.deeds, deed)))


def _change_unit(game: Game, key: Key, change: Callable[[Standing], Standing]) -> Game:
    def changed(side: Side) -> Side:
        return replace(side, units=tuple(change(u) if u.name == key[1] else u for u in side.units))

    return _change_side(game, key[0], changed)


def _change_side(game: Game, name: str, change: Callable[[Side], Side]) -> Game:
    return replace(game, sides=tuple(change(side) if side.name == name else side for side in game.sides))
