"""phase: the steps of a phase, what may be done in it, common slips, and what comes next by the ruleset."""

from __future__ import annotations

from bot.asked import Asked
from bot.guide import PhaseGuide
from bot.house import House
from bot.questions.values import values_of
from bot.reply import Block, Line, Note, Reply
from bot.requests.questions import Phase
from bot.verbs.ruling_answer import unknown
from resolver.ruleset import PhaseRule, Ruleset


def answer(request: Phase, asked: Asked, house: House) -> Reply:
    """One phase, or the whole turn."""
    ruleset = house.ruleset(asked.where)
    if request.id is None:
        return _turn(ruleset)
    ids = [phase.id for phase in ruleset.phases]
    if request.id not in ids:
        titles = tuple(phase.title for phase in ruleset.phases)
        return unknown(f"{ruleset.title} is played without a {request.id} phase", titles)
    place = ids.index(request.id) + request.step
    if place < 0:
        return _edge(ruleset, 0, f"Nothing comes before: the {ruleset.phases[0].title.lower()} opens the turn.", house)
    if place == len(ids):
        said = "The turn ends here. Then the other side has its turn; when all have had theirs, the round ends."
        return _edge(ruleset, 0, said, house)
    return _phase(ruleset, place, house)


def _edge(ruleset: Ruleset, place: int, said: str, house: House) -> Reply:
    reply = _phase(ruleset, place, house)
    return Reply(reply.kind, reply.title, (Line(said, strong=True), *reply.blocks), reply.data, reply.offers)


def _turn(ruleset: Ruleset) -> Reply:
    """The phases in their order."""
    steps = [phase.title for phase in ruleset.phases]
    values = values_of(ruleset)
    lines = tuple(Line(f"{number}. {title}") for number, title in enumerate(steps, 1))
    note = Note(f"Then the other side's turn; the game lasts {values['rounds']} rounds. Ruleset: {ruleset.title}.")
    offers = tuple(f"phase {phase.id}" for phase in ruleset.phases)
    return Reply("phase", "A turn", (*lines, note), {"id": "turn", "steps": steps}, offers)


def _phase(ruleset: Ruleset, place: int, house: House) -> Reply:
    rule = ruleset.phases[place]
    guide = house.glossary.phases.get(rule.id)
    steps = [step.format_map(values_of(ruleset)) for step in guide.steps] if guide else [_bare(rule)]
    numbered = tuple(Line(f"{number}. {step}") for number, step in enumerate(steps, 1))
    about = (Line(guide.about.format_map(values_of(ruleset)), strong=True),) if guide else ()
    rest = _rest(guide, ruleset) if guide else ()
    last = Note(f"{_next(ruleset, place)} Ruleset: {ruleset.title}.")
    following = ruleset.phases[(place + 1) % len(ruleset.phases)]
    offers = (f"phase {following.id}",)
    data = {"id": rule.id, "steps": steps}
    return Reply("phase", rule.title, (*about, *numbered, *rest, last), data, offers)


def _bare(rule: PhaseRule) -> str:
    return f"In this phase: {', '.join(rule.actions) or 'nothing that units do'}."


def _rest(guide: PhaseGuide, ruleset: Ruleset) -> tuple[Block, ...]:
    kinds = (("You may", guide.may), ("Not", guide.may_not), ("Common slips", guide.slips))
    values = values_of(ruleset)
    return tuple(Note(f"{title}: {'; '.join(items).format_map(values)}.") for title, items in kinds if items)


def _next(ruleset: Ruleset, place: int) -> str:
    if place + 1 < len(ruleset.phases):
        return f"Next: {ruleset.phases[place + 1].title.lower()}."
    return "Next: the other side's turn, or a new round."
