"""house rule: …: the table's own ruling, recorded with who agreed; house rules lists them."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft
from bot.questions.house_rules import ENTRY, KIND, SETTING
from bot.reply import Line, Note, Reply
from bot.requests.questions import HouseRule, HouseRules
from resolver.refused import Refused, within

LONGEST = 300
MOST_RULES = 100


def answer(request: HouseRule, asked: Asked, house: House) -> Reply:
    """Write the ruling into the record and remember its number."""
    within("number of characters in a house rule", len(request.words), 1, LONGEST)
    settings = house.memory.recall(asked.where)
    known = settings.get(SETTING, [])
    if len(known) >= MOST_RULES:
        raise Refused("house rules", f"a channel keeps at most {MOST_RULES} house rules")
    agreed = tuple(dict.fromkeys((asked.who, *request.agreed)))
    ruleset = house.ruleset(asked.where)

    def make(draft: Draft) -> Reply:
        draft.read, draft.ruleset = str(request), ruleset.id
        draft.data = {"words": request.words, "agreed": list(agreed)}
        data = {"answer": None, "because": request.words, "ruleset": ruleset.id, "entry": ENTRY, "id": draft.id}
        alone = Note("Only you so far; add (agreed by …) once the others do.")
        notes = (Note(f"Agreed by {', '.join(agreed)}."), *(() if len(agreed) > 1 else (alone,)))
        return Reply("ruling", f"#{draft.id} House rule", (Line(request.words, strong=True), *notes), data)

    reply = house.ledger.record(asked, KIND, make)
    number = (reply.data or {})["id"]
    if number not in known:
        house.memory.remember(asked.where, "", settings | {SETTING: [*known, number]})
    return reply


def listed(request: HouseRules, asked: Asked, house: House) -> Reply:
    """Every house rule of the channel, oldest first."""
    numbers = house.memory.recall(asked.where).get(SETTING, [])
    entries = [entry for number in numbers if (entry := house.ledger.entry(asked.where, number)) is not None]
    rules = [f"#{entry.id} {entry.data['words']} ({', '.join(entry.data['agreed'])})" for entry in entries]
    said = "; ".join(rules) or "no house rules yet"
    data = {"answer": None, "because": said, "ruleset": house.ruleset(asked.where).id, "entry": ENTRY}
    blocks = tuple(map(Line, rules)) or (Line("None yet; write `house rule: …`."),)
    return Reply("ruling", "House rules", blocks, data)
