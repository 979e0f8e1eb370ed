"""Clauses picked up one after another from a line, where every word must belong to one or be listed filler."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence

from bot.misread import Misread
from bot.reading.atoms import Line
from bot.reading.beginnings import beginning
from bot.reading.clause import Clause, Found
from bot.reading.draft import Draft, Part, Said
from bot.reading.filler import is_filler
from bot.reading.hints import lost, unknown


class Table:
    """Clauses by the ways in which they can begin."""

    def __init__(self, clauses: Sequence[Clause]) -> None:
        self.clauses = tuple(clauses)
        self._beginning: dict[str, list[Clause]] = {}
        for clause in self.clauses:
            for start in clause.beginnings:
                self._beginning.setdefault(start, []).append(clause)

    def longest(self, line: Line, at: int, but: str = "") -> tuple[Clause, re.Match[str]] | None:
        """The clause that takes the most words from atom `at` on, if any does; the earlier one of two alike.

        Clauses named `but` are left out.
        """
        text, start = line.text, line.starts[at]
        best: tuple[Clause, re.Match[str]] | None = None
        end = start
        for clause in self._beginning.get(beginning(text, start), ()):
            match = clause.match(text, start)
            if match is not None and match.end() > end and clause.name != but:
                best, end = (clause, match), match.end()
        return best


def gather(line: Line, clauses: Table, die: int, filler: Collection[str] = ()) -> tuple[Part, Draft]:
    """All that a line says in these clauses; a Misread at the first word that is neither clause nor filler."""
    draft, part = Draft(), Part()
    at = 0
    while at < len(line.atoms):
        best = clauses.longest(line, at)
        if best is not None:
            clause, match = best
            found = Found(line, match, die)
            for name, value in clause.says(found).items():
                draft.put(part, name, Said(value, found.span, found.words))
            draft.note_doubts(found)
            at = line.index(match.end() - 1) + 1
        elif is_filler(line.atoms[at].text, filler):
            at += 1
        else:
            raise _wrong(line, at, clauses)
    return part, draft


def _wrong(line: Line, at: int, clauses: Table) -> Misread:
    """The complaint about the atom at which gathering stopped."""
    word = line.atoms[at].text
    known = any(re.search(rf"\b{re.escape(word)}\b", clause.source) for clause in clauses.clauses)
    return lost(line, at) if known or word[0].isdigit() else unknown(line, at)
