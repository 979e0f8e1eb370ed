"""Questions back to the player: which of two readings, and where the answer goes in a pending message."""

from __future__ import annotations

import re

from bot.misread import Unsure
from bot.reading.atoms import Line
from bot.reading.draft import Draft

GAP = "‸"  # where the missing part of a pending message goes


def ask(draft: Draft, line: Line) -> None:
    """Ask the first question that the words left open."""
    for doubt in draft.doubts:
        text = line.message.text
        changed = (f"{text[:start]}{words}{text[end:]}" for (start, end), words in doubt.choices)
        raise Unsure(doubt.message, tuple(re.sub(r"\s+", " ", choice).strip() for choice in changed))
