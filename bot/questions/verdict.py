"""What a question is answered: yes, no, depends or the plain fact, with the reason and where to read on."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bot.questions.question import FACT, FORBIDDEN, Question

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

    "Is it illegal" turns yes and no round. A "not" inside, or a question for a fact, gets the fact alone.
    """
    if verdict.answer is None or question.asked == FACT or question.turned:
        return replace(verdict, answer=None)
    if question.asked == FORBIDDEN:
        return replace(verdict, answer=opposite(verdict.answer))
    return verdict
