"""Rosters in a message: YAML pasted or attached after `roster`, or units typed one a line."""

from __future__ import annotations

import re

from bot.misread import Misread
from bot.reading.card import EXAMPLE, looks_like_card, read_card
from bot.reading.message import Message
from bot.requests.table import PasteRoster, TypeRoster

_HEAD = re.compile(
    r"\s*roster(?: (?:of|for)(?: the)? (?P<side>[^\n:]{1,40}?))?(?: (?:is|are))?\s*:?\s*(?=\n|$)", re.IGNORECASE
)
_ADD = re.compile(
    r"\s*(?:add|new|roster|unit|bring)(?: unit)?"
    r"(?: (?:to|for|of)(?: the)? (?P<side>[^\n:]{1,40}?)\s*:\s*|\s*:?\s+)",
    re.IGNORECASE,
)
_FENCE = re.compile(r"^\s*```\w*[ \t]*\n?|\n?```\s*$")
_YAML = re.compile(r"^(?:\s*#[^\n]*\n|\s*\n|---\n)*\s*(?:side|units|about)\s*:", re.MULTILINE)
# What was meant as such a file: its keys at the wrong level, a list, or another thing altogether.
_NEARLY_YAML = re.compile(
    r"(?:\s*#[^\n]*\n|\s*\n)*(?:---\n|- |[{\[]|(?:name|also|move|toughness|groups|models|weapons)[ ]*:)"
)
# "Reds: Alpha Guard: M5 …": no weapon has a move or a toughness, so the first name is a side's.
_SIDED = re.compile(r"(?P<side>[^\n:\d]{1,40}?)\s*:\s*(?=[^\n:\d]{1,40}:\s*(?:m|moves?|t|toughness) ?\d)")


LONGEST_ROSTER = 100_000  # characters


def is_roster(text: str) -> bool:
    """Whether the message says that the lines after its first one are a roster; such a message may be long."""
    return len(text) <= LONGEST_ROSTER and "\n" in text and _HEAD.match(text) is not None


def roster_request(message: Message) -> PasteRoster | TypeRoster | None:
    """The roster that the message brings, if it brings one."""
    text = message.text
    head = _HEAD.match(text)
    start = head.end() if head else 0
    side = head["side"] if head else None
    body = _FENCE.sub("", text[start:])
    if ((head or "\n" in body) and _YAML.match(body)) or (head and _NEARLY_YAML.match(body)):
        return PasteRoster(body.strip("\n"), side)
    if head and not body.strip():
        raise Misread("the roster itself is missing", hint=f"after `roster` its YAML, or lines: {EXAMPLE}")
    return _typed(message, start, side, sure=head is not None)


def _typed(message: Message, start: int, side: str | None, sure: bool) -> TypeRoster | None:
    """Units one a line; without the word `roster`, only if every line looks like one."""
    lines = _lines(message, start)
    if not sure and side is None and lines:
        add = _ADD.match(message.text, *lines[0])
        if add and looks_like_card(message.plain[add.end() : lines[0][1]]):
            side, sure = add["side"], True
            lines[0] = (add.end(), lines[0][1])
    if side is None:
        side, lines = _of_one_side(message, lines)
    if not lines or not (sure or all(looks_like_card(message.plain[first:last]) for first, last in lines)):
        return None
    return TypeRoster(tuple(read_card(message, first, last) for first, last in lines), side)


def _of_one_side(message: Message, lines: list[tuple[int, int]]) -> tuple[str | None, list[tuple[int, int]]]:
    """The side that stands before every unit, if it is the same one, and the lines without it."""
    found = [_SIDED.match(message.plain, *line) for line in lines]
    if len({match and match["side"] for match in found}) != 1 or found[0] is None:
        return None, lines
    side = message.text[slice(*found[0].span("side"))]
    return side, [(match.end(), last) for match, (_, last) in zip(found, lines, strict=True) if match]


def _lines(message: Message, start: int) -> list[tuple[int, int]]:
    found = []
    for match in re.compile(r"[^\n]+").finditer(message.text, start):
        first = match.start() + len(match[0]) - len(match[0].lstrip())
        if match[0].strip() and not match[0].lstrip().startswith(("#", "```")):
            found.append((first, match.end()))
    return found
