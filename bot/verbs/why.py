"""why: the needs and reasons behind a roll, or behind the last one, step or odds that the asker saw."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bot.asked import Asked, Matter
from bot.house import House
from bot.ledger import Entry
from bot.misread import Misread
from bot.reading import read
from bot.reading.context import Context
from bot.reply import Block, Line, Note, Reply
from bot.requests.action import Strike
from bot.requests.attack import Odds
from bot.requests.record import Why
from bot.retelling import LOOK_BACK, STEPS, the_entry
from bot.shown import shown_last, words_of
from bot.table.current import open_game
from bot.table.strike import aim
from bot.table.units import unit_names
from bot.verbs.odds_answer import needs_data, needs_lines
from bot.verbs.replayed import planned
from bot.verbs.table.blow import planned_blow
from bot.verbs.table.strike import who_whom
from resolver.plan import Plan, plan

EXAMPLE = "10 attacks, hit 4+, S5 into T4, save 3+"


def answer(request: Why, asked: Asked, house: House) -> Reply:
    """Every number of the attack, or of the step, and how it came about."""
    if request.number is not None:
        return _recorded(the_entry(house, asked.where, request.number), house)
    if asked.matter is not None:
        return _of_matter(asked.matter, asked, house)
    odds = shown_last(house.memory, asked)
    later = _shown(house.ledger.entries(asked.where, since=odds["after"] + 1) if odds else _recent(asked.where, house))
    if later:
        return _recorded(later[-1], house)
    if odds and "said" in odds:
        return _loose(odds["odds"], odds["said"])
    if odds:
        return _reckoned(odds["odds"], asked, house)
    raise Misread("why what? no attack has been shown here yet", hint=EXAMPLE)


def _of_matter(matter: Matter, asked: Asked, house: House) -> Reply:
    """Why of what the message replies to."""
    if matter.entry is not None:
        return _recorded(the_entry(house, asked.where, matter.entry), house)
    if not matter.attack:
        last = _shown(_recent(asked.where, house))
        raise Misread("why what? that message tells of no attack", hint=f"why #{last[-1].id}" if last else EXAMPLE)
    return _reckoned(matter.attack, asked, house)


def _recent(where: str, house: House) -> Sequence[Entry]:
    return house.ledger.entries(where, last=LOOK_BACK)


def _shown(entries: Iterable[Entry]) -> list[Entry]:
    """Those that show dice, or a step that asks for some."""
    return [entry for entry in entries if entry.faces or entry.kind in STEPS or "attack" in entry.data]


def _recorded(entry: Entry, house: House) -> Reply:
    """Why of an entry: an attack, one step of it, or other dice."""
    if entry.kind in STEPS:
        return _step(entry)
    if entry.faces and "attack" not in entry.data:
        return _loose(entry.reply.title, words_of(entry.reply))
    names = entry.data.get("weapons", ()), entry.data.get("groups", ())
    return _reasons(f"#{entry.id} {entry.read}", planned(entry, house), *names)


def _step(entry: Entry) -> Reply:
    """The handful asked for there, as it was told: how many dice, which number counts and why."""
    told = [block for block in entry.reply.blocks if isinstance(block, Line)]
    lesson = (entry.reply.data or {})["lesson"]
    step = (lesson.get("next") or {}).get("step")
    offers = (f"what is {step} roll",) if step in ("hit", "wound", "save") else ()
    data = {"id": entry.id, "step": step, "reasons": [line.text for line in told], "ruleset": entry.ruleset}
    return Reply("why", f"why: #{entry.id}, one step of an attack", tuple(told), data, offers)


def _loose(what: str, said: Sequence[str]) -> Reply:
    """Why of a charge, an advance or dice alone: the number they needed, where they needed one, and its reasons."""
    return Reply("why", f"why: {what}", tuple(map(Line, said)), {"needs": [], "reasons": list(said)})


def _reckoned(text: str, asked: Asked, house: House) -> Reply:
    """Why of odds; an attack by name as it would find the table now."""
    ruleset = house.ruleset(asked.where)
    try:
        request = read(text, Context(ruleset=ruleset, units=unit_names(house, asked.where)))
        if isinstance(request, Strike):
            game = open_game(house, asked.where)
            strike, key, target = who_whom(game, request)
            aimed = aim(game, ruleset, strike, key, target)
            return _reasons(text, planned_blow(aimed, ruleset), aimed.weapons, aimed.names)
    except Misread as misread:
        raise Misread(f"those odds cannot be had any more: {misread.message}", hint=text) from None
    assert isinstance(request, Odds), "what was shown as odds reads back as odds"
    return _reasons(text, plan(request.attack, ruleset))


def _reasons(what: str, attack: Plan, weapons: Sequence[str] = (), groups: Sequence[str] = ()) -> Reply:
    """The needs of each weapon group, followed by its own reasons."""
    attack = attack.called(groups)
    needs = needs_data(attack)
    blocks: list[Block] = []
    for words, weapon in zip(needs_lines(needs, attack.ruleset.die, weapons, groups), attack.weapons, strict=True):
        blocks += [Line(words, strong=True), *map(Line, dict.fromkeys(weapon.reasons))]
    data = {"needs": needs, "reasons": list(attack.reasons), "ruleset": attack.ruleset.id}
    return Reply("why", f"why: {what}", (*blocks, Note(f"ruleset: {attack.ruleset.title}")), data)
