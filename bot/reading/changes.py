"""What a correction changes: `T4`, `AP-2`, `at 16`, `rifles S5`, `captain save 3+`; in the words of a stat line."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from bot.misread import Misread
from bot.naming import matches
from bot.reading.card import GROUP_CLAUSES, WEAPON_CLAUSES
from bot.reading.said import Said
from bot.reading.strikes import CLAUSES

_TOUGHNESS = re.compile(r"(?:t|toughness) ?(\d{1,3})(?![\w+])")
_SAVE = re.compile(
    r"(?:no (?:save|armour)()|(?:sv|save|armou?r(?: save)?) ?(\d{1,2})\+?|(\d{1,2})\+ (?:sv|save))(?![\w+])"
)
_MARKS = re.compile(
    r"[\s,;.:]+|(?:and|with|it was|was|is|the|their|its|to|a|an|all|really|actually|into|against|target)\b"
)
_COUNT = re.compile(r"(\d{1,3}) (?:attackers?|shooters?|models? (?:shoot|shooting|attack|attacking|fight|fighting))\b")
_WORDS = re.compile(r"[^\W\d_][\w'-]*(?: [^\W\d_][\w'-]*)*?(?= )")
HINT = "T4, S5, AP-1, hit 3+, damage 2, save 4+, W2, at 16, in cover"


@dataclass(frozen=True)
class Change:
    """One changed value. `where` is message, target, weapon or group; `name` is the weapon or group meant."""

    where: str
    key: str
    value: Any
    name: str | None = None


def read_changes(said: Said, weapons: Sequence[str], groups: Sequence[str]) -> tuple[Change, ...]:
    """Every change of a correction. Raises Misread that points at the word."""
    found: list[Change] = []
    at, name = said.start, None
    while at < said.end:
        step = _change(said, at, name)
        if step is not None:
            change, at = step
            found += change
            continue
        marks = _MARKS.match(said.text, at, said.end)
        words = None if marks else _WORDS.match(said.text, at, said.end)
        if marks:
            at = marks.end()
        elif words and (name := _name(words[0], [*weapons, *groups])) is not None:
            at = words.end()
        else:
            end = said.text.find(" ", at + 1, said.end)
            raise Misread("I don't know what this changes", said.span(at, end if end > 0 else said.end), hint=HINT)
    if not found:
        raise Misread("what should have been said?", hint=HINT)
    return tuple(found)


def _name(words: str, names: Sequence[str]) -> str | None:
    found = matches(words, [(name, name) for name in names])
    return found[0] if len(found) == 1 else None


def _change(said: Said, at: int, name: str | None) -> tuple[list[Change], int] | None:
    """The change that begins here, if one does."""
    match = _TOUGHNESS.match(said.text, at, said.end)
    if match:
        return [Change("target", "toughness", int(match[1]))], match.end()
    match = _SAVE.match(said.text, at, said.end)
    if match:
        number = match[2] or match[3]
        return [Change("group", "save", int(number) if number else None, name)], match.end()
    match = _COUNT.match(said.text, at, said.end)
    if match:
        return [Change("message", "count", int(match[1]))], match.end()
    return _message(said, at) or _stat(said, at, name)


def _message(said: Said, at: int) -> tuple[list[Change], int] | None:
    """What belongs to the message: distance, cover, weapons, modifiers."""
    for pattern, build in CLAUSES:
        match = pattern.match(said.text, at, said.end)
        values = build(match, said) if match else {}
        if match and values and set(values) <= {"distance", "cover", "weapons", "to_hit", "to_wound"}:
            return [Change("message", key, value) for key, value in values.items()], match.end()
    return None


def _stat(said: Said, at: int, name: str | None) -> tuple[list[Change], int] | None:
    rows: list[tuple[str, str, re.Pattern[str], Callable[[str], Any]]] = [*GROUP_CLAUSES, *WEAPON_CLAUSES]
    for where, key, pattern, convert in rows:
        match = pattern.match(said.text, at, said.end)
        if match and key not in ("models", "range"):
            return [Change(where, key, convert(match[1]), name)], match.end()
    return None
