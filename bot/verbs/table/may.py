"""can the Wardens shoot?: the ruleset's permissions read against what the unit did, with the entry that says so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations

from bot.asked import Asked
from bot.house import House
from bot.reply import Block, Line, Note, Reply
from bot.requests.action import MayDeeds, MayUnit
from bot.standing import Game, Key
from bot.table.current import open_game
from bot.table.parts import Part
from bot.table.permit import AFTER, DEED, Verdict, because, doing_words, objection_words, verdicts
from bot.table.record import state_data
from bot.table.todo import todo
from bot.table.units import named, part_named, unit_words
from bot.table.words import listed, place_words
from resolver.ruleset import Ruleset


def answer(request: MayUnit, asked: Asked, house: House) -> Reply:
    """Yes, no or depends; why; and where to read on."""
    game = open_game(house, asked.where)
    key = named(game, request, asks=True)
    part = part_named(game, request.unit, key)
    found = (*_fallen(part), *_reach(request, asked, house, game, key))
    found += verdicts(house, asked.where, game, key, request.action)
    against = [verdict for verdict in found if verdict.allowed != "yes"]
    verdict = against[0] if against else found[0] if found else None
    allowed = "yes" if not against else against[0].allowed
    why = objection_words(verdict) if verdict else f"nothing stands against it: {place_words(game)}"
    rest: tuple[str, ...] = (part.belongs,) if part is not None else ()
    rest += tuple(objection_words(other) for other in against[1:] if other.allowed == "no")
    title = f"can the {unit_words(game, key)} {request.action}?"
    entry = verdict.entry if verdict else None
    return _ruling(asked, house, title, allowed, (f"{allowed}: {why}",), why, entry, rest)


def several(request: MayDeeds, asked: Asked, house: House) -> Reply:
    """Of each deed whether the unit may still do it this turn, and whether all of them go together."""
    game = open_game(house, asked.where)
    key = named(game, request.options[0], asks=True)
    part = part_named(game, request.options[0].unit, key)
    row = [action for phase in house.ruleset(asked.where).phases for action in phase.actions]
    in_order = sorted(request.options, key=lambda option: (*row, option.action).index(option.action))
    fallen = {option: verdict for option in in_order for verdict in _fallen(part)}
    found = fallen or {option: _this_turn(option, asked, house, game, key) for option in in_order}
    if not request.either:
        found |= _together(found, house.ruleset(asked.where))
    lines = tuple(f"{option.action}: {objection_words(verdict)}" for option, verdict in found.items())
    notes = (part.belongs,) if part is not None else ()
    title = str(request).replace(f"can {request.options[0].unit} ", f"can the {unit_words(game, key)} ", 1)
    allowed, deciding = _in_all(tuple(found.values()), either=request.either)
    return _ruling(asked, house, title, allowed, (allowed, *lines), "; ".join(lines), deciding.entry or None, notes)


def _in_all(found: tuple[Verdict, ...], *, either: bool) -> tuple[str, Verdict]:
    """The one answer to all of them, and the finding that decides it."""
    answers = {verdict.allowed for verdict in found}
    if either and len(answers) > 1:
        return "depends", found[0]
    answer = next(answer for answer in ("no", "depends", "yes") if answer in answers)
    return answer, next(verdict for verdict in found if verdict.allowed == answer)


def _this_turn(request: MayUnit, asked: Asked, house: House, game: Game, key: Key) -> Verdict:
    """Whether the deed is left to the unit in this turn; a later phase of its own turn is no objection."""
    left, here = todo(house, asked.where, game, key), key[0] == game.place.turn
    later = here and request.action in left.later
    found = _reach(request, asked, house, game, key)
    found += (left.barred[request.action],) if here and request.action in left.barred else ()
    found += verdicts(house, asked.where, game, key, request.action)
    against = [verdict for verdict in found if verdict.allowed != "yes" and (verdict.deed or not later)]
    if against:
        return replace(against[0], fact=f"{against[0].allowed}, {against[0].fact}")
    engaged = " if they are engaged by then" if request.action == "fight" and not game.foes(key) else ""
    when = f"in {_phase_of(request.action, house.ruleset(asked.where))}{engaged}" if later else "now"
    return Verdict("yes", f"yes, {when}", "")


def _phase_of(action: str, ruleset: Ruleset) -> str:
    return next(f"the {phase.id} phase" for phase in ruleset.phases if action in phase.actions)


def _together(found: Mapping[MayUnit, Verdict], ruleset: Ruleset) -> dict[MayUnit, Verdict]:
    """The deeds, in their order, that are allowed by themselves and not after another one of these."""
    allowed = [option for option, verdict in found.items() if verdict.allowed == "yes"]
    barred = {}
    for first, second in combinations(allowed, 2):
        permission = ruleset.permission(second.action, AFTER[DEED.get(first.action, "charged")])
        if permission is not None and permission.allowed == "no" and first.action != second.action:
            fact = f"no, not after {doing_words(first.action)}"
            barred[second] = Verdict("no", fact, because(permission, ruleset), permission.entry, deed=True)
    return barred


def _ruling(
    asked: Asked,
    house: House,
    title: str,
    allowed: str,
    lines: tuple[str, ...],
    why: str,
    entry: str | None,
    rest: tuple[str, ...],
) -> Reply:
    ruleset = house.ruleset(asked.where)
    data = {
        "answer": allowed,
        "because": why,
        "ruleset": ruleset.id,
        "entry": entry,
        "said": "\n".join(lines),
        "state": state_data(house, asked.where, open_game(house, asked.where)),
    }
    blocks: tuple[Block, ...] = (Line(lines[0], strong=True), *map(Line, lines[1:]), *map(Note, rest))
    blocks += (Note(f"ruleset: {ruleset.title}"),)
    return Reply("ruling", title, blocks, data)


def _fallen(part: Part | None) -> tuple[Verdict, ...]:
    """Where a model or weapon is asked about of which none is left."""
    return (Verdict("no", part.left, "", deed=True),) if part is not None and not part.models else ()


def _reach(request: MayUnit, asked: Asked, house: House, game: Game, key: Key) -> tuple[Verdict, ...]:
    """What the distance forbids, where one was said."""
    if request.distance is None:
        return ()
    far = f'{request.distance:g}"'
    if request.action == "charge":
        longest = house.ruleset(asked.where).movement.charge_within
        beyond = Verdict("no", f'{far} is beyond {longest:g}"', "", "charge", deed=True)
        return (beyond,) if request.distance > longest else ()
    move = game.units[key].unit.move
    if request.action == "move" and request.distance > move:
        return (Verdict("no", f"{far} is more than their move of {move:g}\"", "", "move", deed=True),)
    if request.action != "shoot":
        return ()
    weapons = [weapon for _, group, models, _ in game.units[key].groups if models for weapon in group.weapons]
    ranges = {f'{weapon.name} {weapon.range:g}"': weapon.range for weapon in weapons if weapon.range is not None}
    if any(reach >= request.distance for reach in ranges.values()):
        return ()
    fact = f"{far} is out of range: {listed(list(ranges)) or 'no shooting weapon'}"
    return (Verdict("no", fact, "", "range", deed=True),)
