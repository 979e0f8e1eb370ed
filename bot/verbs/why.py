"""why: the needs and reasons behind a roll, or behind the last attack that the person spoke of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.ledger import Entry
from bot.misread import Misread
from bot.reading import read
from bot.reading.context import Context
from bot.reply import Line, Note, Reply
from bot.requests.action import Strike
from bot.requests.attack import Odds
from bot.requests.record import Why
from bot.retelling import LOOK_BACK, the_entry
from bot.table.units import unit_names
from bot.verbs.odds_answer import needs_data, needs_lines
from bot.verbs.replayed import planned
from bot.verbs.table import strike
from resolver.plan import Plan, plan


def answer(request: Why, asked: Asked, house: House) -> Reply:
    """Every number of the attack and how it came about."""
    if request.number is None:
        return _last(asked, house)
    entry = the_entry(house, asked.where, request.number)
    return _reasons(f"#{entry.id}", _recorded(entry, house), house)


def _last(asked: Asked, house: House) -> Reply:
    """The attack that the person last rolled or reckoned; one by name as its roll found the table."""
    text = house.memory.recall(asked.where, asked.who).get("last") if asked.matter is None else asked.matter.attack
    if not text and asked.matter is not None:
        raise Misread("why what? that message tells of no attack", hint=_any(asked, house))
    if not text:
        raise Misread("why what? you have not spoken of an attack yet", hint=_any(asked, house))
    ruleset = house.ruleset(asked.where)
    request = read(text, Context(ruleset=ruleset, units=unit_names(house, asked.where)))
    if isinstance(request, Strike):
        rolled = _rolled(replace(request, odds=False), asked, house)
        if rolled is not None:
            return _reasons(f"#{rolled.id}", _recorded(rolled, house), house)
        return _reasons(str(request), strike.answer(replace(request, odds=True), asked, house).machine, house)
    assert isinstance(request, Odds), "what is kept as the last attack reads back as odds"
    return _reasons("the last attack", _planned(plan(request.attack, ruleset)), house)


def _any(asked: Asked, house: House) -> str:
    """What could be asked about: the last attack of the record, or one to begin with."""
    entries = house.ledger.entries(asked.where, last=LOOK_BACK)
    attacks = [entry.id for entry in entries if "attack" in entry.data]
    return f"why #{attacks[-1]}" if attacks else "10 attacks, hit 4+, S5 into T4, save 3+"


def _rolled(request: Strike, asked: Asked, house: House) -> Entry | None:
    """The latest roll of just this attack by the person."""
    for entry in reversed(house.ledger.entries(asked.where, last=LOOK_BACK)):
        if entry.who == asked.who and entry.read == str(request) and "attack" in entry.data:
            return entry
    return None


def _recorded(entry: Entry, house: House) -> dict[str, Any]:
    return {**_planned(planned(entry, house)), "weapons": entry.data.get("weapons", ())}


def _planned(attack: Plan) -> dict[str, Any]:
    return {"needs": needs_data(attack), "reasons": list(attack.reasons), "ruleset": attack.ruleset.id}


def _reasons(what: str, found: Mapping[str, Any], house: House) -> Reply:
    data = {key: found[key] for key in ("needs", "reasons", "ruleset")}
    needs = [Line(words, strong=True) for words in needs_lines(data["needs"], found.get("weapons", ()))]
    ruleset = Note(f"ruleset: {house.rulesets[data['ruleset']].title}")
    return Reply("why", f"why: {what}", (*needs, *map(Line, data["reasons"]), ruleset), data)
