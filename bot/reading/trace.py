"""The reading held next to the message: which words gave which clause."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.reading.draft import Draft
from bot.requests.attack import Trace
from bot.wording import CLAUSES

# Fields of a draft that end as other fields, or only deny some.
_TOLD: Mapping[str, Callable[[Any], str]] = {
    **CLAUSES,
    "critical": CLAUSES["critical_hit"],
    "no_rerolls": lambda value: "no re-rolls",
}


def trace_of(draft: Draft) -> Trace:
    """The clauses of a draft with the places of their words, in the order of the message."""
    told = [(said.span, _TOLD[name](said.value)) for name, said in draft.trace if _tells(name, said.value)]
    return tuple(sorted(told))


def _tells(name: str, value: object) -> bool:
    """Whether a field is a clause of its own; "not each" is nothing anybody said."""
    return name in _TOLD and not (name == "each" and not value)


def beside(text: str, trace: Trace) -> tuple[tuple[str, str], ...]:
    """The words as typed, each beside the clause that they gave."""
    return tuple((text[slice(*span)], clause) for span, clause in trace)
