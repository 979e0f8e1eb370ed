"""A Reply as the messages of a chat: marked-up lines that wrap on a phone, fixed width only where it is needed.

Whatever players wrote is shown as they wrote it: nothing in it becomes a mark, a link preview or a mention.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from bot.channels.discord_documents import as_written, document_of
from bot.channels.paint import PAINTERS, PHONE, clean, dice_rows
from bot.reply import Bars, Block, Caret, Dice, Line, Note, Picture, Reply, Shell, Table

MOST_CHARACTERS = 2000
FIXED_WIDTH = 38  # columns of a fixed-width block on a small phone
MOST_MESSAGES = 8
FENCE = "```"
NOTHING = "(nothing to show)"
CUT_SHORT = "… the rest is too long to show here"


@dataclass(frozen=True)
class Row:
    """One line of a message; fixed rows stand together in a fixed-width block."""

    text: str
    fixed: bool = False


def paint(reply: Reply, pictured: bool = False) -> list[str]:
    """The messages that show the reply; with its picture beside it the bars are not said again."""
    return [message if message.strip() else NOTHING for message in packed(rows(reply, pictured))]


def rows(reply: Reply, pictured: bool = False) -> Iterator[Row]:
    """The lines of the whole reply."""
    yield from map(_strong, _lines(reply.title))
    notes: list[str] = []
    document = document_of(reply)
    for block in reply.blocks if document is None else as_written(reply, document):
        if isinstance(block, Shell):
            continue
        if isinstance(block, Note):
            notes.extend(map(escaped, _lines(block.text)))
            continue
        yield from _quiet(notes)
        notes.clear()
        if not (pictured and isinstance(block, Bars)):
            yield from BLOCKS[type(block)](block)
    yield from _quiet(notes)


def _quiet(notes: list[str]) -> Iterator[Row]:
    """Notes that follow each other, in one small line."""
    if notes:
        yield Row("-# " + " · ".join(notes))


def _line(block: Line) -> Iterator[Row]:
    if _INDENTED.search(block.text):
        yield from (Row(clean(line).replace("`", "ˋ"), fixed=True) for line in block.text.splitlines())
        return
    for line in _lines(block.text):
        yield _strong(line) if block.strong else Row(at_the_start(escaped(line)))


def _strong(line: str) -> Row:
    return Row(f"**{escaped(line)}**" if line.strip() else "")


def _dice(block: Dice) -> Iterator[Row]:
    for row in dice_rows(block, PHONE):
        yield Row(at_the_start(escaped(row)))
    if block.why:
        yield Row("-# " + escaped(block.why))


def _fixed(block: Table | Bars | Caret) -> Iterator[Row]:
    """Columns that must stay below each other."""
    for _, text in PAINTERS[type(block)](block, FIXED_WIDTH):
        yield Row(text.replace("`", "ˋ"), fixed=True)


def _nothing(block: Picture) -> Iterator[Row]:
    return iter(())


BLOCKS: Mapping[type[Block], Callable[[Any], Iterator[Row]]] = {
    Line: _line,
    Dice: _dice,
    Table: _fixed,
    Bars: _fixed,
    Caret: _fixed,
    Picture: _nothing,
}


# text that stays text

_MARKS = re.compile(r"[\\*_`]|~~|\|\||<(?=[@#:/!?t])|\[(?=[^\]]*\]\()")
_LINE_MARKS = re.compile(r"^(\s*)(?=(?:#{1,3}|-#|[-+]) |>)")
_INDENTED = re.compile(r"\n[ -]*  [^\n]*\n")  # columns or levels that a proportional line would lose
_MENTION = re.compile(r"@(?=everyone|here)")


def escaped(text: str) -> str:
    """Text of unknown origin as one line that is shown as it is."""
    marked = _MARKS.sub(lambda match: "".join("\\" + char for char in match[0]), clean(text))
    marked = _MENTION.sub("@\N{ZERO WIDTH SPACE}", marked)
    return marked.replace("://", ":\N{ZERO WIDTH SPACE}//")


def at_the_start(line: str) -> str:
    """An escaped line that is no heading, list or quotation by what it begins with."""
    return _LINE_MARKS.sub(r"\1\\", line)


def _lines(text: str) -> list[str]:
    return [line for line in text.splitlines() if line.strip()] or [text]


# packing


def packed(lines: Iterable[Row]) -> Iterator[str]:
    """Messages within the limit, divided at the borders of rows, or of words in a very long row."""
    message = _Message()
    made = 0
    for row in lines:
        for piece in _pieces(row):
            if message.takes(piece):
                message.add(piece)
                continue
            made += 1
            if made == MOST_MESSAGES:
                yield message.cut_short()
                return
            yield message.text()
            message = _Message()
            message.add(piece)
    yield message.text()


class _Message:
    def __init__(self) -> None:
        self._parts: list[str] = []
        self._length = 0
        self._fixed = False

    def takes(self, row: Row) -> bool:
        room = MOST_CHARACTERS - len(CUT_SHORT) - 2 * (len(FENCE) + 1) - 1
        return self._length + len(row.text) + 2 * (len(FENCE) + 1) <= room

    def add(self, row: Row) -> None:
        if row.fixed != self._fixed:
            self._put(FENCE)
            self._fixed = row.fixed
        self._put(row.text)

    def _put(self, text: str) -> None:
        self._parts.append(text)
        self._length += len(text) + 1

    def text(self) -> str:
        if self._fixed:
            self._put(FENCE)
            self._fixed = False
        return "\n".join(self._parts)

    def cut_short(self) -> str:
        return f"{self.text()}\n{CUT_SHORT}"


def _pieces(row: Row) -> Iterator[Row]:
    """A row in parts that fit a message, divided after a sentence, or else at a blank, or else anywhere."""
    text, most = row.text, MOST_CHARACTERS - 100
    if len(text) > most and not row.fixed:
        text = re.sub(r"^\*\*(.*)\*\*$", r"\1", text)
    while len(text) > most:
        end = text.rfind(". ", 0, most) + 1 or text.rfind(" ", 0, most)
        end = end if end > 0 else most - (text[most - 1] == "\\")
        yield Row(text[:end], row.fixed)
        text = text[end:].lstrip()
    yield Row(text, row.fixed)
