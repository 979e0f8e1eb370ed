"""A Reply as rows of text at a given width, each piece with a tone that a channel may colour or ignore.

Nothing is said by colour alone. Widths count terminal cells, so wide characters keep carets in place.
"""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from enum import StrEnum
from typing import Any

from rich.cells import cell_len

from bot.reply import Bars, Block, Caret, Dice, Line, Note, Picture, Reply, Shell, Table

PHONE = 45
MOST_MARKED = 120  # characters of a guilty place that are shown
MOST_FACES = 30  # more dice than this are shown as a tally


class Tone(StrEnum):
    """How loud a piece is."""

    TITLE = "title"
    STRONG = "strong"
    PLAIN = "plain"
    QUIET = "quiet"


Row = tuple[Tone, str]


def paint(reply: Reply, width: int = PHONE) -> list[Row]:
    """The rows of the whole reply, none wider than `width` unless a single word is."""
    rows = list(_wrapped(Tone.TITLE, reply.title, width, hang="  "))
    for block in reply.blocks:
        rows.extend(PAINTERS[type(block)](block, width))
    if reply.offers and reply.kind != "choice":
        rows.extend(_wrapped(Tone.QUIET, "you can say: " + " | ".join(reply.offers), width, hang="  "))
    return rows


def plain(reply: Reply, width: int = PHONE) -> str:
    """The reply as plain text."""
    return "\n".join(text for _, text in paint(reply, width))


def clean(text: str) -> str:
    """Text of unknown origin with everything that could move a cursor made visible, length kept."""
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else " " if char.isspace() else "�" for char in text)


def _wrapped(tone: Tone, text: str, width: int, hang: str = "", lead: str = "") -> Iterator[Row]:
    for line in text.splitlines() or [""]:
        pieces = textwrap.wrap(clean(line), width, initial_indent=lead, subsequent_indent=hang) or [""]
        for piece in pieces:
            yield tone, piece


def _line(block: Line, width: int) -> Iterator[Row]:
    return _wrapped(Tone.STRONG if block.strong else Tone.PLAIN, block.text, width, hang="  ")


def _note(block: Note | Shell, width: int) -> Iterator[Row]:
    return _wrapped(Tone.QUIET, block.text, width, hang="  ", lead="- ")


def _dice(block: Dice, width: int) -> Iterator[Row]:
    head, *more = dice_rows(block, width)
    yield from _wrapped(Tone.PLAIN, head, width, hang="  ")
    for faces in more:
        yield from _wrapped(Tone.PLAIN, faces, width, hang="  ", lead="  ")
    if block.why:
        yield from _wrapped(Tone.QUIET, block.why, width, hang="  ", lead="  ")


def dice_rows(block: Dice, width: int) -> tuple[str, ...]:
    """The step, what it needed and what it came to, with the faces: in one row if they fit, else in two.

    Of a single die that is added up the total is the face.
    """
    outcome = f"{block.step}{f' {block.needed}' if block.needed else ''}: {block.outcome}"
    if block.needed is None and len(block.faces) == 1:
        return (outcome,)
    row = f"{outcome} ({faces_text(block)})"
    return (row,) if cell_len(row) <= width else (outcome, faces_text(block))


def faces_text(block: Dice) -> str:
    """The faces, highest first, successes before the bar; a re-roll is written "1>5"."""
    if block.needed is None:
        return _faces(block.faces)
    good = [die for die, ok in zip(block.faces, block.good, strict=True) if ok]
    rest = [die for die, ok in zip(block.faces, block.good, strict=True) if not ok]
    return f"{_faces(good) or 'none'} | {_faces(rest) or 'none'}"


def _faces(dice: Sequence[tuple[int, ...]]) -> str:
    ordered = sorted(dice, key=lambda die: (-die[-1], die))
    words = [">".join(map(str, die)) for die in ordered]
    if len(words) <= MOST_FACES:
        return " ".join(words)
    return ", ".join(f"{count} of {word}" for word, count in Counter(words).items())


def _table(block: Table, width: int) -> Iterator[Row]:
    rows = [block.head, *block.rows]
    widths = [max(cell_len(row[i]) for row in rows) for i in range(len(block.head))]
    if sum(widths) + 2 * (len(widths) - 1) > width:
        yield from _stacked(block, width)
        return
    for number, row in enumerate(rows):
        cells = [row[0] + " " * (widths[0] - cell_len(row[0]))]
        cells += [" " * (size - cell_len(cell)) + cell for cell, size in zip(row[1:], widths[1:], strict=True)]
        yield Tone.PLAIN if number else Tone.QUIET, "  ".join(cells).rstrip()


def _stacked(block: Table, width: int) -> Iterator[Row]:
    """A table too wide for the screen: one row of it after the other."""
    for row in block.rows:
        yield from _wrapped(Tone.PLAIN, row[0], width, hang="  ")
        for name, cell in zip(block.head[1:], row[1:], strict=True):
            yield from _wrapped(Tone.PLAIN, f"{name}: {cell}", width, hang="    ", lead="  ")


def _bars(block: Bars, width: int) -> Iterator[Row]:
    yield from _wrapped(Tone.QUIET, block.title, width)
    names = max((cell_len(label) for label, _, _ in block.rows), default=0)
    words = max((cell_len(text) for _, _, text in block.rows), default=0)
    room = max(4, min(40, width - names - words - 2))
    top = max((share for _, share, _ in block.rows), default=0.0)
    for label, share, text in block.rows:
        length = round(room * share / top) if top else 0
        bar = "█" * length if length else "·"
        yield Tone.PLAIN, f"{label:>{names}} {bar:<{room}} {text:>{words}}"


def _caret(block: Caret, width: int) -> Iterator[Row]:
    """The message cut into rows, with carets under the guilty places; only rows near them are shown."""
    text = clean(block.text)
    marks = [False] * len(text)
    for span in (block.at, block.also):
        if span is not None:
            start, end = span
            for i in range(min(start, len(text)), min(max(end, start + 1), start + MOST_MARKED, len(text))):
                marks[i] = True
    if not any(marks):
        text, marks = text + " ", [*marks, True]
    for start, end in _rows_of(text, width - 2):
        if any(marks[start:end]):
            yield Tone.PLAIN, "  " + text[start:end].rstrip()
            yield Tone.STRONG, "  " + _carets(text[start:end], marks[start:end])


def _carets(row: str, marks: Sequence[bool]) -> str:
    """Carets under the marked characters of a row; what takes no column is marked by what it stands on."""
    under, columns = "", 0
    for char, marked in zip(row, marks, strict=True):
        size = cell_len(char)
        columns += size
        under = under[:-1] + "^" if marked and not size else under + ("^" if marked else " ") * size
    return under[: max(columns, 1)].rstrip()


def _rows_of(text: str, width: int) -> Iterator[tuple[int, int]]:
    """Spans of the text that fit the width, broken at blanks where possible."""
    start = 0
    while start < len(text):
        end, cells = start, 0
        while end < len(text) and cells + cell_len(text[end]) <= width:
            cells += cell_len(text[end])
            end += 1
        end = max(end, start + 1)
        if end < len(text):
            blank = text.rfind(" ", start + 1, end)
            end = blank + 1 if blank > start else end
        yield start, end
        start = end


def _picture(block: Picture, width: int) -> Iterator[Row]:
    """A picture is drawn by channels that can; in text the bars above say the same."""
    return iter(())


PAINTERS: dict[type[Block], Callable[[Any, int], Iterator[Row]]] = {
    Line: _line,
    Note: _note,
    Shell: _note,
    Dice: _dice,
    Table: _table,
    Bars: _bars,
    Caret: _caret,
    Picture: _picture,
}
