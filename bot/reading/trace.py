"""The reading held next to the message: which words gave which clause."""

from __future__ import annotations

from bot.reading.draft import Draft
from bot.requests.attack import Trace
from bot.wording import CLAUSES


def trace_of(draft: Draft) -> Trace:
    """The clauses of a draft with the places of their words, in the order of the message."""
    told = [(said.span, CLAUSES[name](said.value)) for name, said in draft.trace if _tells(name, said.value)]
    return tuple(sorted(told))


def _tells(name: str, value: object) -> bool:
    """Whether a field is a clause of its own; "not each" is nothing anybody said."""
    return name in CLAUSES and not (name == "each" and not value)


def beside(text: str, trace: Trace) -> tuple[tuple[str, str], ...]:
    """The words as typed, each beside the clause that they gave."""
    return tuple((text[slice(*span)], clause) for span, clause in trace)
