"""The message as typed and as read: same length, so that every span points into the words of the player."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cached_property, lru_cache

LONGEST = 5_000  # characters in one message

_DASHES = "‐‑‒–—―−﹣－"
_QUOTES = {"“": '"', "”": '"', "„": '"', "″": '"', "‘": "'", "’": "'", "′": "'", "`": "'"}


@lru_cache(maxsize=4096)
def _plain(char: str) -> str:
    """One character as the grammar knows it; always exactly one character."""
    if char in _DASHES:
        return "-"
    if char in _QUOTES:
        return _QUOTES[char]
    if char.isspace() or unicodedata.category(char) == "Cf":  # what has no width is a blank too
        return " "
    folded = unicodedata.normalize("NFKC", char).lower()
    return folded if len(folded) == 1 else char


@dataclass(frozen=True)
class Message:
    """`text` is what was typed; `plain` is the same, character for character, in lower case and plain signs."""

    text: str

    @cached_property
    def plain(self) -> str:
        return "".join(map(_plain, self.text))

    @cached_property
    def lines(self) -> str:
        """The plain words with the line breaks left in."""
        pairs = zip(self.text, self.plain, strict=True)
        return "".join("\n" if char == "\n" else plain for char, plain in pairs)
