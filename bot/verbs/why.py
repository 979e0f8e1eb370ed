"""why: the needs and reasons behind a roll, or behind the last attack that the person spoke of."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.misread import Misread
from bot.reading import read
from bot.reading.context import Context
from bot.reply import Line, Note, Reply
from bot.requests.attack import Odds
from bot.requests.record import Why
from bot.retelling import the_entry
from bot.verbs.odds_answer import needs_data, needs_line
from bot.verbs.replayed import planned
from resolver.plan import Plan, plan


def answer(request: Why, asked: Asked, house: House) -> Reply:
    """Every number of the attack and how it came about."""
    if request.number is None:
        return _reasons("the last attack", _last(asked, house))
    entry = the_entry(house, asked.where, request.number)
    return _reasons(f"#{entry.id}", planned(entry, house))


def _last(asked: Asked, house: House) -> Plan:
    ruleset = house.ruleset(asked.where)
    text = house.ledger.recall(asked.where, asked.who).get("last")
    if text is None:
        raise Misread("why what? you have not spoken of an attack yet", hint="why #17")
    request = read(text, Context(ruleset=ruleset))
    assert isinstance(request, Odds), "what is kept as the last attack reads back as odds"
    return plan(request.attack, ruleset)


def _reasons(what: str, attack: Plan) -> Reply:
    lines = (Line(needs_line(attack), strong=True), *map(Line, attack.reasons))
    data = {"needs": needs_data(attack), "reasons": list(attack.reasons), "ruleset": attack.ruleset.id}
    return Reply("why", f"why: {what}", (*lines, Note(f"ruleset: {attack.ruleset.title}")), data)
