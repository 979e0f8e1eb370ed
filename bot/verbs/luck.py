"""luck: how the attacks on record went, all together, in the exact distribution of each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bot.asked import Asked
from bot.chances import number_words
from bot.house import House
from bot.lucky import luck_line
from bot.reply import Line, Note, Reply
from bot.requests.record import Luck
from bot.retelling import Told, named, told
from bot.verbs.replayed import planned
from bot.wording import plural
from resolver.exact import odds
from resolver.fairness import running_luck
from resolver.statistics import Distribution, mean


def answer(request: Luck, asked: Asked, house: House) -> Reply:
    """The running luck of one name, or of every side (every person where there is no table)."""
    story = told(house, asked.where)
    attacks = [item for item in story if "attack" in item.entry.data and item.counts]
    names = _everybody(attacks) if request.name is None else [named(story, request.name, "luck of {}")]
    lucks = [_luck(kind, name, attacks, house) for kind, name in names]
    lucks = [luck for luck in lucks if luck["attacks"]]
    if not lucks:
        of = "" if request.name is None else f" of {names[0][1]}"
        return Reply("luck", f"no attack{of} is on record yet", (), {"lucks": []})
    lines = tuple(Line(_said(luck), strong=True) for luck in lucks)
    note = Note("by the damage of each attack in its exact distribution; undone and mended ones left out")
    return Reply("luck", "luck with the dice", (*lines, note), {"lucks": lucks})


def _everybody(attacks: Sequence[Told]) -> list[tuple[str, str]]:
    """Sides where a table was played, otherwise persons."""
    sides = [side.name for item in attacks[-1:] if item.game is not None for side in item.game.sides]
    if sides:
        return [("side", name) for name in sides]
    return [("person", name) for name in dict.fromkeys(item.entry.who for item in attacks) if name]


def _luck(kind: str, name: str, attacks: Sequence[Told], house: House) -> dict[str, Any]:
    results = [_result(item, house) for item in attacks if item.belongs(kind, name)]
    return {
        "name": name,
        "attacks": len(results),
        "percentile": running_luck(results),
        "damage": sum(k for _, k in results),
        "expected": sum(mean(law) for law, _ in results),
    }


def _result(item: Told, house: House) -> tuple[Distribution, int]:
    """The exact distribution of the damage of an attack, and the damage that it did."""
    return odds(planned(item.entry, house)).damage, item.entry.data["totals"]["damage"]


def _said(luck: dict[str, Any]) -> str:
    such = "such attacks" if luck["attacks"] == 1 else "such series of attacks"
    number = plural(luck["attacks"], "attack")
    dealt = f"{luck['damage']} damage where {number_words(luck['expected'])} was to be expected"
    return f"{luck['name']}, {number}: {luck_line(luck['percentile'], such)} ({dealt})"
