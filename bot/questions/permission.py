"""May this be done after that: the ruleset's permissions applied to a deed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bot.questions.deed import Deed, conditions_of, deed_of
from bot.questions.meaning import UNDONE
from bot.questions.question import FACT, MAY, MUST, Question
from bot.questions.values import values_of
from bot.questions.verdict import DEPENDS, NO, YES, Verdict, as_asked
from bot.questions.words import Word
from resolver.ruleset import ACTIONS, Permission, PhaseRule, Ruleset

_NOUNS = {"move": "a move", "advance": "an advance", "fall back": "falling back", "shoot": "shooting",
          "charge": "a charge", "fight": "fighting"}  # fmt: skip

# The entry to read on in, whatever a ruleset calls its phases.
_ENTRY = {"move": "movement-phase", "advance": "movement-phase", "fall back": "movement-phase",
          "shoot": "shooting-phase", "charge": "charge-phase", "fight": "fight-phase"}  # fmt: skip

# Which phase is asked for, and the action that it is asked of.
_ASK_PHASE = frozenset({"phase-order", "phase", "which", "what", "when"})
_AS_ACTION = {action.replace(" ", "-"): action for action in ACTIONS} | {
    "walk-away": "fall back", "leave-melee": "fall back", "melee": "fight", "charge-roll": "charge",
    "advance-roll": "advance", "strike-back": "fight", "melee-weapon": "fight", "ranged-weapon": "shoot",
}  # fmt: skip


def permitted(question: Question, ruleset: Ruleset) -> Verdict | None:
    """The verdict of the permissions, or None if the question is not about one action and its conditions."""
    home = _home_asked(question, ruleset)
    if home is not None:
        return home
    if question.asked == FACT and question.fact != "why":
        return _all_after(question, ruleset)
    deed = deed_of(question)
    if deed is None:
        return _forbidden_anyway(question, ruleset)
    verdict = _in_phase(deed, ruleset) if deed.phases else _judged(deed, ruleset)
    if verdict is None or (verdict.answer == YES and "again" in question.concepts):
        return None  # "fight again after a charge" may mean a second time, which is not settled by the first
    if UNDONE in question.concepts and "move" not in question.concepts and verdict.answer == YES:
        verdict = replace(verdict, answer=DEPENDS)  # what else it did is not said
    if question.asked == MUST and not question.turned:
        return _obliged(verdict, deed, question)
    return as_asked(verdict, question)


def _forbidden_anyway(question: Question, ruleset: Ruleset) -> Verdict | None:
    """ "If I advanced and somebody comes in range, may I shoot": what is forbidden stays so, whatever is in range."""
    if question.asked != MAY or question.negated or question.tag or not any(map(_is_seen, question.words)):
        return None
    without = replace(question, words=tuple(word for word in question.words if not _is_seen(word)))
    deed = deed_of(without)
    verdict = None if deed is None or deed.phases or deed.either else _judged(deed, ruleset)
    return verdict if verdict is not None and verdict.answer == NO else None


def _is_seen(word: Word) -> bool:
    """What only the players see: it may hinder, and it allows nothing that is forbidden."""
    return word.concept == "sight" or (word.concept == "range" and word.said.startswith(("in ", "within ")))


def _judged(deed: Deed, ruleset: Ruleset) -> Verdict | None:
    found = [(action, condition, ruleset.permission(action, condition)) for action, condition in deed.asks]
    known = [(action, condition, permission) for action, condition, permission in found if permission]
    if not known or len(known) < len(found):
        return None
    answer = _together([permission.allowed for _, _, permission in known], deed.either)
    action, condition, permission = _deciding(known, answer)
    return Verdict(answer, _filled(permission, ruleset), permission.entry, _says(action, condition, permission.allowed))


def _together(answers: Sequence[str], either: bool) -> str:
    if len(set(answers)) == 1:
        return answers[0]
    return NO if NO in answers and not either else DEPENDS


def _deciding(known: Sequence[tuple[str, str, Permission]], answer: str) -> tuple[str, str, Permission]:
    """The permission that settled it."""
    return next((item for item in known if item[2].allowed == answer), known[0])


def _in_phase(deed: Deed, ruleset: Ruleset) -> Verdict | None:
    """Whether the action belongs to the phase named; with conditions, the phase must be its own."""
    if len(deed.actions) != 1 or len(deed.phases) != 1:
        return None
    action, phase = deed.actions[0], deed.phases[0]
    home = _home(action, ruleset)
    if home is None:
        return None
    if deed.asks:
        return _judged(deed, ruleset) if home.id == phase else None
    answer = YES if home.id == phase else NO
    return replace(_belongs(action, home, ruleset), answer=answer, says=f"{action} in the {phase} phase: {answer}")


def _home(action: str, ruleset: Ruleset) -> PhaseRule | None:
    """The phase in which the action is done."""
    return next((phase for phase in ruleset.phases if action in phase.actions), None)


def _belongs(action: str, home: PhaseRule, ruleset: Ruleset) -> Verdict:
    order = values_of(ruleset)["phases"]
    because = f"{_NOUNS[action].capitalize()} belongs to the {home.title.lower()}; the order is {order}."
    return Verdict(None, because, _ENTRY[action])


def _home_asked(question: Question, ruleset: Ruleset) -> Verdict | None:
    """ "Which phase do I shoot in", "when do I shoot"."""
    asked = question.concepts & _ASK_PHASE
    rest = question.concepts - _ASK_PHASE
    acts = {_AS_ACTION.get(concept) for concept in rest}
    names_it = "phase-order" in asked or {"phase", "which"} <= asked or question.fact == "when"
    if question.unknown or len(acts) != 1 or not names_it or any(map(_told_as_done, question.words)):
        return None
    action = acts.pop()
    home = _home(action, ruleset) if action else None
    return None if action is None or home is None else _belongs(action, home, ruleset)


def _told_as_done(word: Word) -> bool:
    return word.past and word.concept in _AS_ACTION


def _obliged(verdict: Verdict, deed: Deed, question: Question) -> Verdict | None:
    """Nobody has to do what is merely allowed; what a state obliges to is no business of permissions.

    "Must I shoot before I charge" asks for the act or for the order, nobody knows which: the fact alone.
    """
    if "before" in question.concepts:
        return replace(verdict, answer=None)
    states = {condition for _, condition in deed.asks} & {"engaged", "not engaged"}
    if states or "fight" in {action for action, _ in deed.asks}:
        return None
    because = (
        verdict.because
        if verdict.answer == NO
        else f"It may be done, but nothing here obliges to it. {verdict.because}"
    )
    return Verdict(NO, because, verdict.entry, verdict.says)


def _all_after(question: Question, ruleset: Ruleset) -> Verdict | None:
    """ "What can I do after advancing": every action under the conditions."""
    if question.words[0].concept != "what" or not any(word.concept == "may" for word in question.words):
        return None
    conditions = conditions_of(question)
    if len(conditions) != 1:
        return None
    known = [(action, ruleset.permission(action, conditions[0])) for action in ACTIONS]
    told = {action: permission for action, permission in known if permission}
    if not told:
        return None
    said = "; ".join(f"{action}: {permission.allowed}" for action, permission in told.items())
    entry = told.get("shoot", next(iter(told.values()))).entry
    return Verdict(None, f"{conditions[0].capitalize()}: {said}.", entry)


def _filled(permission: Permission, ruleset: Ruleset) -> str:
    return permission.because.format_map(values_of(ruleset))


def _says(action: str, condition: str, allowed: str) -> str:
    return f"{action}, {condition}: {'allowed' if allowed == YES else 'not allowed' if allowed == NO else allowed}"
