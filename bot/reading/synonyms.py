"""A channel's own words, put in the place of our clauses before reading; spans stay with the words as typed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from bot.misread import Misread
from bot.reading.atoms import MOST_ATOMS, Atom, Line, atoms
from bot.reading.message import Message
from bot.reading.named import with_names

MOST_WORDS = 100  # a channel's own words
LONGEST_WORD = 40  # characters

_Phrases = Mapping[str, tuple[tuple[tuple[str, ...], tuple[Atom, ...]], ...]]


@lru_cache(maxsize=64)
def _phrases(pairs: tuple[tuple[str, str], ...]) -> _Phrases:
    """The phrases by their first atom, the longest first."""
    found: dict[str, list[tuple[tuple[str, ...], tuple[Atom, ...]]]] = {}
    for word, meaning in pairs:
        spelled = tuple(atom.text for atom in atoms(Message(word)))
        if spelled:
            found.setdefault(spelled[0], []).append((spelled, tuple(atoms(Message(meaning)))))
    return {first: tuple(sorted(rows, key=lambda row: -len(row[0]))) for first, rows in found.items()}


def line_of(message: Message, synonyms: Mapping[str, str], by_lines: bool = False) -> Line:
    """The whole message as a line, the channel's own words replaced by what they mean.

    A line break is a blank, or a comma if `by_lines`.
    """
    found = _line(message, tuple(synonyms.items()), by_lines)
    if isinstance(found, Misread):
        raise Misread(found.message, found.at, hint=found.hint)
    return found


@lru_cache(maxsize=8)  # several families look at the same message
def _line(message: Message, synonyms: tuple[tuple[str, str], ...], by_lines: bool) -> Line | Misread:
    try:
        found = atoms(message, by_lines)
    except Misread as too_long:
        return too_long
    if synonyms:
        found = _replaced(found, _phrases(synonyms))
        if len(found) > MOST_ATOMS:
            return Misread(f"with its own words spelled out this has more than {MOST_ATOMS:,} words", hint="words")
    return Line(message, tuple(with_names(found)))


def _replaced(found: list[Atom], phrases: _Phrases) -> list[Atom]:
    result: list[Atom] = []
    at = 0
    while at < len(found):
        for spelled, meaning in phrases.get(found[at].text, ()):
            size = len(spelled)
            if tuple(atom.text for atom in found[at : at + size]) == spelled:
                start, end = found[at].start, found[at + size - 1].end
                result += [atom._replace(start=start, end=end) for atom in meaning]
                at += size
                break
        else:
            result.append(found[at])
            at += 1
    return result
