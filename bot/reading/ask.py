"""Questions back to the player: which of two readings, and where the answer goes in a pending message."""

from __future__ import annotations

import re

from bot.misread import Span, Unsure
from bot.reading.atoms import Line
from bot.reading.draft import Draft

GAP = "‸"  # where the missing part of a pending message goes


def ask(draft: Draft, line: Line) -> None:
    """Ask the first question that the words left open."""
    for doubt in draft.doubts:
        raise Unsure(doubt.message, tuple(_changed(line.message.text, choice) for choice in doubt.choices))


def _changed(text: str, edits: tuple[tuple[Span, str], ...]) -> str:
    """The text with other words at some places."""
    for (start, end), words in sorted(edits, reverse=True):
        text = f"{text[:start]}{words}{text[end:]}"
    return re.sub(r"\s+", " ", text).strip(" ,")
