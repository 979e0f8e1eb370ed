"""Answers that are documents: a battle report or a roster is shown readably and also handed over as a file."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

from bot.reply import Block, Line, Note, Reply

# What a reply's data calls a document, the file that it becomes, and what that is.
FILES: Mapping[str, tuple[str, str]] = {
    "markdown": ("report.md", "The battle report as text in Markdown, to keep"),
    "roster": ("roster.yaml", "The roster as a file, to keep, to change, and to be loaded again"),
}

_ESCAPE = re.compile(r"\\([\\`*_\[\]|<>~])")
_BORDER = re.compile(r"(?<!\\)\|")


@dataclass(frozen=True)
class Document:
    """A text worth keeping as a file."""

    name: str
    about: str
    text: str


def document_of(reply: Reply) -> Document | None:
    """The document that the reply brings, if it brings one."""
    data = reply.data or {}
    found = ((file, data.get(key)) for key, file in FILES.items())
    return next((Document(*file, text) for file, text in found if isinstance(text, str) and text), None)


def as_written(reply: Reply, document: Document) -> tuple[Block, ...]:
    """The blocks of the reply with the document in a form that a chat can show; notes stay."""
    notes = [block for block in reply.blocks if isinstance(block, Note)]
    if document.name.endswith(".md"):
        return (*_from_markdown(document.text), *notes)
    return (Line(document.text), *notes)


def _from_markdown(text: str) -> Iterator[Block]:
    """Headings below the title, lines and tables, without the escapes of Markdown: all that a report has."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("# ")]
    for is_table, group in groupby(lines, lambda line: line.startswith("|")):
        if is_table:
            yield from _table(list(group))
        else:
            yield from map(_line, group)


def _line(line: str) -> Line:
    if line.startswith("#"):
        return Line(_said(line.lstrip("# ")), strong=True)
    return Line(_said(f"• {line[2:]}" if line.startswith("- ") else line))


def _said(text: str) -> str:
    """What was escaped as it was said."""
    return _ESCAPE.sub(r"\1", text)


def _table(lines: list[str]) -> Iterator[Line]:
    """A table as one line for each row, names before numbers: a phone has no room for its columns."""
    head, dashes, *rows = [[_said(cell.strip()) for cell in _BORDER.split(line.strip("|"))] for line in lines]
    names = sum(not cell.endswith(":") for cell in dashes)
    for row in rows:
        numbers = ", ".join(f"{what.lower()} {cell}" for what, cell in zip(head[names:], row[names:], strict=False))
        yield Line(": ".join(filter(None, (f"• {', '.join(row[:names])}", numbers))))
