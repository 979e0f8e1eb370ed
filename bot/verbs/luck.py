"""luck: how the attacks on record went, all together, in the exact distribution of each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from bot.asked import Asked
from bot.chances import number_words
from bot.house import House
from bot.ledger import Entry
from bot.lucky import TOO_LARGE, has_luck, luck_line
from bot.misread import Misread
from bot.reply import Line, Note, Reply
from bot.requests.record import Luck, LuckOfOne
from bot.retelling import LOOK_BACK, STEPS, Told, in_a_line, named, the_entry, told, who
from bot.table.words import listed
from bot.verbs.replayed import planned
from bot.wording import plural
from resolver.exact import odds
from resolver.fairness import running_luck
from resolver.statistics import Distribution, mean


def answer(request: Luck, asked: Asked, house: House) -> Reply:
    """The running luck of one name, or of every side (every person where there is no table)."""
    story = told(house, asked.where)
    attacks = [item for item in story if "attack" in item.entry.data and item.counts and has_luck(item.entry)]
    names = _everybody(attacks) if request.name is None else [named(story, request.name, "luck of {}")]
    counted = {of: [item for item in attacks if _counts(item, *of)] for of in names}
    lucks = [_luck(name, counted[kind, name], house) for kind, name in names]
    lucks = [luck for luck in lucks if luck["attacks"]]
    if not lucks:
        of = "" if request.name is None else f" of {names[0][1]}"
        return Reply("luck", f"no attack{of} is on record yet", (), {"lucks": []})
    lines = tuple(Line(_said(luck), strong=True) for luck in lucks)
    note = "by the damage of each attack in its exact distribution; undone and mended ones left out"
    notes = (note, *_of_own_dice(counted.values()), *_of_loose(attacks, names))
    return Reply("luck", "luck with the dice", (*lines, *map(Note, notes)), {"lucks": lucks})


def of_one(request: LuckOfOne, asked: Asked, house: House) -> Reply:
    """The luck of one attack, whatever became of it afterwards; the last roll may be none."""
    here, number = asked.where, request.number
    entry = _last(house, here, request.attack) if number is None else the_entry(house, here, number)
    if "totals" not in entry.data:
        raise Misread(f"#{entry.id} is no attack; luck is reckoned from the damage of attacks", hint="luck")
    if not has_luck(entry):
        return Reply("luck", f"#{entry.id} is {TOO_LARGE}", (Line(in_a_line(entry)),), {"lucks": []})
    luck = _reckoned(who(entry), [_result(entry, house)])
    said = f"{luck_line(luck['percentile'])} ({_dealt(luck)})"
    data = {"lucks": [{**luck, "id": entry.id}]}
    return Reply("luck", f"luck of #{entry.id}", (Line(in_a_line(entry)), Line(said, strong=True)), data)


def _last(house: House, where: str, attack: bool) -> Entry:
    """The last attack, or the last roll: one handful of an attack is none yet."""
    for last in (LOOK_BACK, None):
        for entry in reversed(house.ledger.entries(where, last=last)):
            if "totals" in entry.data or (entry.faces and entry.kind not in STEPS and not attack):
                return entry
    raise Misread("no attack is on record yet", hint="roll 10 attacks, hit 4+, S5 into T4, save 3+")


def _of_own_dice(counted: Iterable[Sequence[Told]]) -> Iterator[str]:
    own = [f"#{item.entry.id}" for attacks in counted for item in attacks if item.entry.declared]
    if own:
        yield f"with own dice: {listed(own)}"


def _of_loose(attacks: Sequence[Told], names: Iterable[tuple[str, str]]) -> Iterator[str]:
    loose = [f"#{item.entry.id}" for item in attacks if item.loose]
    if loose and any(kind == "side" for kind, _ in names):
        yield f"loose rolls are no side's, and left out: {listed(loose)}"


def _everybody(attacks: Sequence[Told]) -> list[tuple[str, str]]:
    """Sides where attacks were made on a table, otherwise persons."""
    last = [item for item in attacks if item.on_table][-1:]
    sides = [side.name for item in last if item.game is not None for side in item.game.sides]
    if sides:
        return [("side", name) for name in sides]
    return [("person", name) for name in dict.fromkeys(item.entry.who for item in attacks) if name]


def _counts(item: Told, kind: str, name: str) -> bool:
    """A side's luck is that of its units' attacks."""
    return item.belongs(kind, name) and (kind != "side" or item.on_table)


def _luck(name: str, attacks: Sequence[Told], house: House) -> dict[str, Any]:
    return _reckoned(name, [_result(item.entry, house) for item in attacks])


def _reckoned(name: str, results: Sequence[tuple[Distribution, int]]) -> dict[str, Any]:
    return {
        "name": name,
        "attacks": len(results),
        "percentile": running_luck(results),
        "damage": sum(k for _, k in results),
        "expected": sum(mean(law) for law, _ in results),
    }


def _result(entry: Entry, house: House) -> tuple[Distribution, int]:
    """The exact distribution of the damage of an attack, and the damage that it did."""
    return odds(planned(entry, house)).damage, entry.data["totals"]["damage"]


def _said(luck: dict[str, Any]) -> str:
    such = "such attacks" if luck["attacks"] == 1 else "such series of attacks"
    number = plural(luck["attacks"], "attack")
    return f"{luck['name']}, {number}: {luck_line(luck['percentile'], such)} ({_dealt(luck)})"


def _dealt(luck: dict[str, Any]) -> str:
    return f"{luck['damage']} damage where {number_words(luck['expected'])} was to be expected"
