"""One clause of an attack: a pattern over the normal line, and what it says. The grammar files list clauses.

Patterns are written with fragments in angle brackets; every fragment makes a named group:

    <n>        a whole number                 <n:name> the same under another name; a name may stand in
               several alternatives of one pattern
    <num>      a number with decimals         <up>     "4+", and after a word that calls for it "4" or "4s"
    <one>      a number, or "a"/"an" for one  <amount> a number or dice, "3", "2d6+1", "3+1"
    <tight>    the same without blanks inside
    <last>     an amount that nothing need follow; <dice> the same, dice only
    <each>     an optional "each", "apiece", "per model"
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, cached_property
from typing import Any

from bot.misread import Misread, Span
from bot.reading.atoms import Line
from bot.reading.beginnings import beginnings
from resolver.amount import MOST_DICE, Amount, fixed
from resolver.refused import Refused

_DICE = r"(?:[0-9]+ d[0-9]+|[0-9]*d[0-9]+)"
_NOT_MORE = r"(?! (?:to|ap|attack|damage|extra|more)\b)"  # "damage d6 +1 to hit" is two clauses

# a number before one of these is a number of it: "ignore 5 models" is no ignore roll
_NOT_OF = (
    r"(?! (?:model|attack|wound(?! (?:on|[0-9]))|w(?! ?[0-9])|of (?:them|us|these|those)|dice|damage|ap|times"
    r"|strong)\b)"
)

# "on a 5 or 6", "4s, 5s and 6s": as much as the first of them and up, where the last is the highest face
_RUN = r"(?:[0-9]+s? ,? ?)*[0-9]+s? ,? ?(?:or|and) (?:an? )?[0-9]+s?(?! (?:attack|dice|model|times|inch|of)\b)(?= |$)"

_FRAGMENTS: Mapping[str, str] = {
    "n": r"[0-9]+",
    "num": rf"[0-9]+(?:\.[0-9]+)?{_NOT_OF}",
    "one": r"[0-9]+|an?",
    "up": rf"(?:{_RUN}|[0-9]+[+s]|[0-9]+{_NOT_OF})",
    "plus": r"[0-9]+\+",
    "many": rf"(?:{_RUN}|[0-9]+[+s])",
    "amount": rf"{_DICE}(?: ?[+-] ?[0-9]+)?|[0-9]+(?:\+[0-9]+| \+ [0-9]+)?",
    "tight": rf"{_DICE}(?:[+-][0-9]+)?|[0-9]+(?:\+[0-9]+)?",
    "last": rf"{_DICE}(?:[+-][0-9]+| [+-] ?[0-9]+{_NOT_MORE})?|[0-9]+(?:\+[0-9]+| \+ [0-9]+{_NOT_MORE})?(?! model)",
    "dice": rf"{_DICE}(?:[+-][0-9]+| [+-] ?[0-9]+{_NOT_MORE})?",
}
_EACH = (
    r"(?P<each> (?:each|apiece|per (?:model|head|gun|weapon)|a (?:model|head|piece)|every model"
    r"|for each(?: model)?))?"
)
_FRAGMENT = re.compile(r"(?<!P)<([a-z]+)(?::([a-z]+))?>")
_GROUP = re.compile(r"[(][?]P<([a-z]+)>")


def compiled(pattern: str) -> re.Pattern[str]:
    """A clause pattern with its fragments written out, ready to match."""
    return re.compile(written_out(pattern))


def written_out(pattern: str) -> str:
    """A clause pattern with its fragments written out; it ends where an atom ends."""

    def fragment(match: re.Match[str]) -> str:
        kind, name = match[1], match[2] or match[1]
        return _EACH if kind == "each" else f"(?P<{name}>{_FRAGMENTS[kind]})"

    seen: Counter[str] = Counter()

    def numbered(match: re.Match[str]) -> str:
        seen[match[1]] += 1
        return f"(?P<{match[1]}_{seen[match[1]]}>"

    whole = _FRAGMENT.sub(fragment, pattern)
    return f"(?:{_GROUP.sub(numbered, whole)})(?= |$)"


@cache
def _alternatives(pattern: re.Pattern[str]) -> Mapping[str, tuple[str, ...]]:
    """The groups of a written-out pattern by the name that they bear in the clause."""
    found: dict[str, tuple[str, ...]] = {}
    for key in pattern.groupindex:
        name, _, _ = key.rpartition("_")
        found[name] = (*found.get(name, ()), key)
    return found


def shown(digits: str) -> str:
    """A number as a complaint shows it, however long it was typed."""
    return digits if len(digits) <= 12 else digits[:12] + "…"


class Place(StrEnum):
    """Where a clause belongs, whatever part of the message it stands in; `HERE` is the part it stands in."""

    WEAPON = "weapon"
    TARGET = "target"
    UNIT = "unit"
    SHOT = "shot"


class Found:
    """A matched clause: its words, and its numbers checked against the allowed range."""

    def __init__(self, line: Line, match: re.Match[str], die: int) -> None:
        self.line = line
        self.match = match
        self.die = die
        self.span = line.span(*match.span())
        self.doubts: list[Doubt] = []

    def doubt(self, message: str, *instead: str) -> Mapping[str, Any]:
        """Ask which is meant; each of `instead` would stand in place of the clause."""
        self.doubts.append(Doubt(message, tuple(((self.span, words),) for words in instead)))
        return {}

    def _group(self, name: str) -> str:
        """The alternative of a named group that took part in the match, or "" if none did."""
        return next((key for key in _alternatives(self.match.re).get(name, ()) if self.match[key] is not None), "")

    def __getitem__(self, name: str) -> str:
        """What a named group matched; empty if it took no part."""
        key = self._group(name)
        return self.match[key] if key else ""

    @property
    def words(self) -> str:
        """The clause as typed."""
        return self.line.message.text[slice(*self.span)]

    def place(self, name: str) -> Span:
        """Where a group of the pattern stands in the message."""
        return self.line.span(*self.match.span(self._group(name)))

    def whole(self, name: str, what: str, low: int, high: int) -> int:
        """The whole number of a group, held to the allowed range."""
        word = self[name]
        digits = word.strip("+s")
        if " " in digits:
            raise Misread(f'"{word}": one number is wanted for {what}', self.place(name))
        value = 1 if word[0] == "a" else int(digits) if len(digits) < 10 else 10**9
        if not low <= value <= high:
            raise Misread(f"{what} is {low} to {high}, got {shown(digits)}", self.place(name))
        return value

    def up(self, what: str, name: str = "up") -> int:
        """A number that a die must reach: from 2 to the highest face."""
        digits, *others = re.findall("[0-9]+", self[name])
        value = int(digits) if len(digits) < 10 else 10**9
        if others and [digits, *others] != [str(face) for face in range(value, self.die + 1)]:
            raise Misread("only faces up to the highest can be named together", self.place(name), hint=f"{digits}+")
        if not 2 <= value <= self.die:
            hint = "no save" if what == "a save" and value > self.die else None
            raise Misread(f"{what} is 2+ to {self.die}+, got {shown(digits)}+", self.place(name), hint=hint)
        return value

    def inches(self, what: str, name: str = "num") -> float:
        """A distance in inches, to three decimals."""
        word = self[name]
        if len(word.partition(".")[2]) > 3:
            raise Misread(f"{what} has at most three decimals", self.place(name))
        if not float(word) <= 1000:
            raise Misread(f"{what} is at most 1000 inches, got {shown(word)}", self.place(name))
        return float(word)

    def amount(self, what: str, most: int, name: str = "amount") -> Amount:
        """A number or dice, from 1 to `most`."""
        value = amount(self[name], self.place(name), what)
        if not (value.low >= 1 and value.high <= most):
            raise Misread(f"{what} is 1 to {most:,}, got {value}", self.place(name))
        return value


_AMOUNT = re.compile(r"(?:([0-9]*)d([0-9]+)|([0-9]+))(?:([+-])([0-9]+))?")


def amount(text: str, at: Span, what: str = "a number here") -> Amount:
    """The amount that a piece of the normal line spells, or a Misread at `at`."""
    match = _AMOUNT.fullmatch(text.replace(" ", ""))
    assert match is not None, text
    count, sides, flat, sign, plus = match.groups()
    if max(len(part or "") for part in (count, sides, flat, plus)) > 6:
        raise Misread("that number is too large", at)
    more = int(f"{sign}{plus}") if sign else 0
    if not flat and not int(count or 1):
        raise Misread("at least one die", at)
    if count and int(count) > MOST_DICE:
        raise Misread(f"at most {MOST_DICE} dice in one expression, got {count}", at)
    if flat and int(flat) > 1000:
        raise Misread(f"{what} is at most 1,000, got {flat}", at)
    try:
        return fixed(int(flat) + more) if flat else Amount(int(count or 1), int(sides), more)
    except Refused as refused:
        raise Misread(refused.message, at) from None


@dataclass(frozen=True)
class Doubt:
    """A question to ask once the whole message is understood.

    Each choice is the message with other words at some places in it.
    """

    message: str
    choices: tuple[tuple[tuple[Span, str], ...], ...]


Says = Callable[[Found], Mapping[str, Any]]


@dataclass(frozen=True)
class Clause:
    """One way of saying something: `says` gives the fields that it fills in.

    The pattern is compiled when a message first comes near it.
    """

    name: str
    place: Place | None
    source: str
    says: Says

    @cached_property
    def beginnings(self) -> frozenset[str]:
        """How the words of the clause can begin."""
        return beginnings(self.source)

    @cached_property
    def match(self) -> Callable[[str, int], re.Match[str] | None]:
        """The match of the clause in a text from a place on."""
        return re.compile(self.source).match


def clause(name: str, place: Place | None, pattern: str, says: Says) -> Clause:
    """A clause from its pattern; `place` None is the part of the message in which it stands."""
    return Clause(name, place, written_out(pattern), says)
