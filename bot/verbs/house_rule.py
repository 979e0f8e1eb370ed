"""house rule: …: the table's own ruling, recorded with who agreed; house rules lists them."""

from __future__ import annotations

from collections.abc import Sequence

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft, Entry
from bot.misread import Misread
from bot.questions.house_rules import ENTRY, KIND, SETTING
from bot.reply import Line, Note, Reply
from bot.requests.questions import HouseRule, HouseRules
from bot.rights import consent, of_the_seated, question_to_the_others
from resolver.refused import Refused, within

LONGEST = 300
MOST_RULES = 100


def answer(request: HouseRule, asked: Asked, house: House) -> Reply:
    """Write the ruling into the record and remember its number. At a table with others, these are asked first.

    Nobody agrees but in their own words: who is only named has yet to.
    """
    within("number of characters in a house rule", len(request.words), 1, LONGEST)
    of_the_seated(house, asked)
    if _like(request.words, asked, house) is None:
        question = question_to_the_others(house, asked, HouseRule(request.words))
        if question is not None:
            return question
    return _recorded(request, asked, house)


def agree(entry: Entry, asked: Asked, house: House) -> Reply:
    """One more who agrees to a ruling that is in force already."""
    of_the_seated(house, asked)
    latest = _like(entry.data["words"], asked, house)
    if latest is not None and asked.who in latest.data["agreed"]:
        raise Misread(f"you have agreed to it already, in #{latest.id}", hint="house rules")
    return _recorded(HouseRule(entry.data["words"]), asked, house)


def _recorded(request: HouseRule, asked: Asked, house: House) -> Reply:
    settings = house.memory.recall(asked.where)
    before = _like(request.words, asked, house)
    known = [number for number in settings.get(SETTING, []) if before is None or number != before.id]
    if len(known) >= MOST_RULES:
        raise Refused("house rules", f"a channel keeps at most {MOST_RULES} house rules")
    event, by = consent(house, asked, request)
    agreed = tuple(dict.fromkeys((*(before.data["agreed"] if before else ()), asked.who, *by)))
    named = [name for name in request.agreed if name.casefold() not in map(str.casefold, agreed)]
    ruleset = house.ruleset(asked.where)

    def make(draft: Draft) -> Reply:
        draft.read, draft.ruleset = str(HouseRule(request.words)), ruleset.id
        draft.data = {"words": request.words, "agreed": list(agreed)} | ({"event": event} if event else {})
        data = {"answer": None, "because": request.words, "ruleset": ruleset.id, "entry": ENTRY, "id": draft.id}
        more = (f"agreed #{draft.id}",) if named or len(agreed) == 1 else ()
        notes = map(Note, _who(agreed, named, draft.id))
        return Reply("ruling", f"#{draft.id} House rule", (Line(request.words, strong=True), *notes), data, more)

    reply = house.ledger.record(asked, KIND, make)
    number = (reply.data or {})["id"]
    if number not in known:
        house.memory.remember(asked.where, "", settings | {SETTING: [*known, number]})
    return reply


def _who(agreed: Sequence[str], named: Sequence[str], number: int) -> Sequence[str]:
    """Who agreed, and how others do."""
    said = f"Agreed by {', '.join(agreed)}."
    if named:
        return said, f"Named, and yet to agree by `agreed #{number}`: {', '.join(named)}."
    return (said,) if len(agreed) > 1 else (said, f"Only you so far; others agree by `agreed #{number}`.")


def _like(words: str, asked: Asked, house: House) -> Entry | None:
    """The house rule in the same words, if there is one."""
    rules = _rules(asked, house)
    return next((entry for entry in rules if entry.data["words"].casefold() == words.casefold()), None)


def _rules(asked: Asked, house: House) -> list[Entry]:
    numbers = house.memory.recall(asked.where).get(SETTING, [])
    return [entry for number in numbers if (entry := house.ledger.entry(asked.where, number)) is not None]


def listed(request: HouseRules, asked: Asked, house: House) -> Reply:
    """Every house rule of the channel, oldest first."""
    rules = [f"#{entry.id} {entry.data['words']} ({', '.join(entry.data['agreed'])})" for entry in _rules(asked, house)]
    said = "; ".join(rules) or "no house rules yet"
    data = {"answer": None, "because": said, "ruleset": house.ruleset(asked.where).id, "entry": ENTRY}
    blocks = tuple(map(Line, rules)) or (Line("None yet; write `house rule: …`."),)
    return Reply("ruling", "House rules", blocks, data)
