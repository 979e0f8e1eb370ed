"""Clauses that do not name the roll they are about: a bare "3+", a re-roll behind a number."""

from __future__ import annotations

from bot.reading.clause import Doubt
from bot.reading.draft import Draft, Part, Said


def reroll_of(said: Said, draft: Draft, check: str | None, in_target: bool) -> str:
    """The name of a re-roll that names no step: it is of the number just said; "" where that is asked about."""
    if check is not None and not in_target:
        draft.notes.append(f'"{said.words}" is read as a re-roll to {check}')
        return f"reroll_{check}"
    steps = ("hit", "wound", "save") if in_target else ("hit", "wound")
    question = "Which roll is rolled again?"
    draft.doubts.append(Doubt(question, tuple(((said.span, f"{said.words} to {step}"),) for step in steps)))
    return ""


def bare_number(said: Said, draft: Draft, part: Part, in_target: bool) -> str:
    """A bare N+ is the hit number in the attack part and the save in the target part; "" for a second one."""
    name = "save" if in_target else "hit"
    before = part.fields.get(name)
    if before is not None and (before.value != said.value or part.get("bare")):
        others = ("fixed save", "ignore") if in_target else ("wound", "critical hits on")
        question = f'What is the second number, "{said.words}"?'
        draft.doubts.append(Doubt(question, tuple(((said.span, f"{other} {said.value}+"),) for other in others)))
        return ""
    part.fields["bare"] = Said(True, said.span, said.words)
    return name
