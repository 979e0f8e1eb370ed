"""What a question is answered: yes, no, depends or the plain fact, with the reason and where to read on."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bot.questions.question import FACT, FORBIDDEN, MAY, MUST, Question
from bot.questions.tags import CONFIRMS, WRONG

YES, NO, DEPENDS = "yes", "no", "depends"
_OPPOSITE = {YES: NO, NO: YES}


@dataclass(frozen=True)
class Verdict:
    """`answer` is yes, no, depends, or None for who and what. `says` is the matter in one plain clause.

    `exact` is False if the ruling only speaks of the same matter; then there is never a yes or a no. `table`
    marks what only the players can see, so that they may want to roll off. `ruling` is the id of the ruling.
    """

    answer: str | None
    because: str
    entry: str
    says: str = ""
    exact: bool = True
    table: bool = False
    ruling: str = ""


def opposite(answer: str) -> str:
    """Yes for no and no for yes."""
    return _OPPOSITE.get(answer, answer)


def as_asked(verdict: Verdict, question: Question) -> Verdict:
    """The verdict on the plain question, as an answer to the question asked.

    `answer` says whether what was asked or said is so: yes to "is it illegal" is illegal, yes to "I can't,
    right?" is you cannot. A "not" that leaves open what yes means, or a question for a fact, gets the fact
    alone. Wherever yes or no could be misunderstood, the reason begins with what is allowed.
    """
    if verdict.answer is None or question.asked == FACT or question.alternative:
        return replace(verdict, answer=None)
    told = replace(verdict, because=f"{_opening(verdict.answer, question)}{verdict.because}")
    if question.turned:
        return replace(told, answer=None)
    turns = (question.asked == FORBIDDEN) != ((question.negated and question.tag == CONFIRMS) or question.tag == WRONG)
    return replace(told, answer=opposite(verdict.answer)) if turns else told


def _opening(answer: str, question: Question) -> str:
    """What is allowed, in words, before the reason for it."""
    if answer == DEPENDS or not (question.negated or question.tag or question.asked == FORBIDDEN):
        return ""
    if question.tag == WRONG:
        return "Not wrong. " if answer == YES else "Wrong. "
    if question.asked in (MAY, FORBIDDEN):
        return "Allowed. " if answer == YES else "Not allowed. "
    if question.asked == MUST:
        return "It must be done. " if answer == YES else "It need not be done. "
    if question.negated and question.tag == CONFIRMS:
        return "Not so. " if answer == YES else "That is so. "
    return ""
