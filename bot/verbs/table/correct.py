"""correct #44 T4: the same faces under the right numbers, drawing only the dice that are missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from bot.asked import Asked
from bot.game import undone
from bot.house import House
from bot.ledger import Draft, Entry
from bot.misread import Misread
from bot.reading.changes import Change, read_changes
from bot.reading.message import Message
from bot.reading.said import said_of
from bot.reply import Note, Reply
from bot.requests.action import Correct, Strike
from bot.requests.attack import Odds, Roll
from bot.standing import Game, Key
from bot.table.current import any_game, events, game_before
from bot.table.mended import Reused, changed, handfuls
from bot.table.record import Made, happen, unless_mine
from bot.table.strike import Aimed, aim
from bot.table.units import unit_names
from bot.verbs.attack_answer import attack_blocks, attack_data
from bot.verbs.table.blow import Blow, strike_blow
from bot.verbs.table.charge import charge_event, charge_words, throw_charge
from bot.wording import attack_text
from resolver.attack import Attack
from resolver.live import roll
from resolver.movement import ChargeReroll
from resolver.plan import plan


@dataclass(frozen=True)
class Mending:
    """The roll that is mended (`root`), its latest version, and every change said so far."""

    root: Entry
    latest: Entry
    changes: tuple[str, ...]
    request: Correct


def answer(request: Correct, asked: Asked, house: House) -> Reply:
    """Mend the roll. One's own; another side's is asked of it."""
    mending = _mending(request, asked, house)
    event = mending.root.data.get("event")
    if event is None:
        return _typed(mending, asked, house)
    game = game_before(house, asked.where, mending.root.id) and any_game(house, asked.where)
    assert game is not None
    meant = Correct(mending.root.id, request.change)
    question = unless_mine(meant, asked, house, game, [event["unit"][0]])
    if question is not None:
        return question
    return _charge(mending, asked, house) if event["type"] == "act" else _by_name(mending, asked, house)


def _mending(request: Correct, asked: Asked, house: House) -> Mending:
    entries = house.ledger.entries(asked.where)
    void = undone(events(house, asked.where))
    rolls = {entry.id: entry for entry in entries if _is_roll(entry) and entry.id not in void}
    number = request.entry or max(rolls, default=None)
    if number is None:
        raise Misread("no roll is recorded here that could be corrected", hint="log")
    if number not in rolls:
        why = f"#{number} is undone" if number in void else f"#{number} is not a roll that can be corrected"
        raise Misread(why, hint=f"undo #{number}" if number in {entry.id for entry in entries} - set(void) else "log")
    root = rolls.get(rolls[number].data.get("mends", number), rolls[number])
    versions = [entry for entry in rolls.values() if entry.data.get("mends") == root.id]
    latest = versions[-1] if versions else root
    return Mending(root, latest, (*latest.data.get("changes", ()), request.change), request)


def _is_roll(entry: Entry) -> bool:
    event = entry.data.get("event", {})
    return (entry.kind == "attack" and "attack" in entry.data) or event.get("action") == "charge"


def _changes(mending: Mending, weapons: Sequence[str], groups: Sequence[str]) -> tuple[Change, ...]:
    """Every change, the newest last; the newest is complained of in the words of the message."""
    return tuple(change for text in mending.changes for change in read_changes(said_of(Message(text)), weapons, groups))


def _pool(mending: Mending, house: House, names: Sequence[str]) -> Any:
    """The faces of the latest version, by weapon and step."""
    latest = mending.latest
    attack = _attack_of(latest, house)
    ruleset = house.played(latest.ruleset, latest.channel)
    return handfuls(plan(attack, ruleset), (latest.reply.data or {})["faces"], names)


def _attack_of(entry: Entry, house: House) -> Attack:
    from bot.reading import read
    from bot.reading.context import Context

    text = entry.data["attack"]
    request = read(text if text.startswith("roll ") else f"odds {text}", Context(house.ruleset(entry.channel)))
    assert isinstance(request, Odds | Roll)
    return request.attack


def _typed(mending: Mending, asked: Asked, house: House) -> Reply:
    """A typed attack, with no table behind it."""
    before = _attack_of(mending.root, house)
    names = [f"group {number}" for number, _ in enumerate(before.weapons, 1)]
    groups = [f"target group {number}" for number, _ in enumerate(before.target.groups, 1)]
    changes = _changes(mending, names, groups)
    attack = changed(before, changes, names, groups, str(mending.request))
    ruleset = house.ruleset(asked.where)

    def make(draft: Draft) -> Reply:
        planned = plan(attack, ruleset)
        reused = Reused(_pool(mending, house, names), names, draft.dice)
        rolled = roll(planned, reused)
        read = f"roll {attack_text(attack)}"
        data = attack_data(planned, rolled, draft.id, read)
        marks = {"mends": mending.root.id, "changes": list(mending.changes)}
        draft.read, draft.ruleset, draft.data = read, ruleset.id, {"attack": read, **data, **marks}
        blocks = attack_blocks(planned, rolled, data, _notes(reused, mending))
        return Reply("attack", f"#{draft.id} mends #{mending.root.id}: {read}", blocks, data | marks)

    return house.ledger.record(asked, "attack", make)


def _notes(reused: Reused, mending: Mending) -> tuple[str, ...]:
    idle = f", {reused.unused} not needed" if reused.unused else ""
    drawn = f"{reused.drawn} new" if reused.drawn else "none new"
    return (f"mends #{mending.root.id}: {reused.reused} dice as they fell, {drawn}{idle}",)


def _by_name(mending: Mending, asked: Asked, house: House) -> Reply:
    """An attack by name, on the table as it was when it was made; the state follows."""
    event = mending.root.data["event"]
    key, target = _key(event["unit"]), _key(event["target"])
    game = game_before(house, asked.where, mending.root.id)
    strike = _strike_of(mending.root, house, asked)
    unit, foe = game.units[key].unit, game.units[target].unit
    weapons = [weapon.name for group in unit.groups for weapon in group.weapons]
    changes = _changes(mending, list(dict.fromkeys(weapons)), [group.name for group in foe.groups])
    spoken = {change.key: change.value for change in changes if change.where == "message"}
    strike = replace(strike, **spoken)
    aimed = _aimed(game, house, asked, strike, key, target, [c for c in changes if c.where != "message"], mending)

    def make(draft: Draft) -> Reply:
        names = [_weapon(name) for name in aimed.weapons]
        old = [_weapon(name) for name in mending.latest.data["weapons"]]
        reused = Reused(_pool(mending, house, old), names, draft.dice)
        blow = Blow(
            request=strike,
            key=key,
            target=target,
            aimed=aimed,
            extra={k: v for k, v in event.items() if k in ("anyway", "because")},
            kept={"changes": list(mending.changes)},
            mends=mending.root.id,
        )
        reply = strike_blow(blow, draft, reused, asked, house, game)
        notes = tuple(map(Note, (*_notes(reused, mending), f"changed: {', '.join(mending.changes)}")))
        return replace(reply, blocks=(*reply.blocks, *notes))

    return house.ledger.record(asked, "attack", make)


def _aimed(
    game: Game,
    house: House,
    asked: Asked,
    strike: Strike,
    key: Key,
    target: Key,
    changes: list[Change],
    mending: Mending,
) -> Aimed:
    aimed = aim(game, house.ruleset(asked.where), strike, key, target)
    groups = [game.units[target].unit.groups[index].name for index in aimed.groups]
    names = [_weapon(name) for name in aimed.weapons]
    attack = changed(aimed.attack, changes, names, groups, str(mending.request))
    return replace(aimed, attack=attack)


def _weapon(words: str) -> str:
    """The name of the weapon in "8 models: rifle"."""
    return words.partition(": ")[2]


def _strike_of(entry: Entry, house: House, asked: Asked) -> Strike:
    from bot.reading import read
    from bot.reading.context import Context

    units = unit_names(house, asked.where)
    strike = read(entry.read, Context(house.ruleset(asked.where), units=units))
    assert isinstance(strike, Strike), entry.read
    return replace(strike, faces=None)


def _charge(mending: Mending, asked: Asked, house: House) -> Reply:
    """A charge from another distance: the same dice under the right number."""
    event = mending.root.data["event"]
    changes = [change for change in _changes(mending, (), ()) if change.key == "distance"]
    if not changes:
        raise Misread("of a charge only the distance can be corrected", hint=f"correct #{mending.root.id} from 7")
    key, target = _key(event["unit"]), _key(event["target"])
    movement = house.ruleset(asked.where).movement
    kept = {name: value for name, value in event.items() if name in ("anyway", "because")}
    modifier, reroll = event["modifier"], event["reroll"] and ChargeReroll(event["reroll"])

    def build(game: Game, draft: Draft) -> Made:
        distance = changes[-1].value
        dice = throw_charge(draft, movement, distance, modifier, reroll, mending.latest.data["event"]["dice"])
        made = charge_event(key, target, distance, dice, movement, modifier, reroll)
        said = f"mends #{mending.root.id}: {charge_words(game, key, target, made)}"
        data = {"changes": list(mending.changes), "mends": mending.root.id}
        return Made(event={**made, **kept}, said=said, mends=mending.root.id, data=data)

    return happen(Correct(mending.root.id, mending.request.change), asked, house, build)


def _key(unit: Sequence[str]) -> Key:
    side, name = unit
    return side, name
