"""The wording of luck: where a result stands among a hundred such attacks, never overstated."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bot.ledger.entry import Entry

TOO_LARGE = "too large an attack to be reckoned"
_EVEN = 0.05  # this close to the middle nobody was lucky


def luck_line(percentile: float, such: str = "such attacks") -> str:
    """A percentile in plain words: "better than 83 in 100 such attacks"."""
    if abs(percentile - 0.5) <= _EVEN + 1e-9:
        return f"about what {such} bring"
    if percentile > 0.5:
        return f"better than {_in(percentile)} {such}"
    return f"worse than {_in(1 - percentile)} {such}"


def has_luck(entry: Entry) -> bool:
    """Whether an attack on record has a luck."""
    return entry.data["luck"]["percentile"] is not None


def luck_words(data: Mapping[str, Any]) -> str:
    """The line on the luck of a rolled attack, from its machine form."""
    percentile = data["luck"]["percentile"]
    return f"luck: {TOO_LARGE if percentile is None else luck_line(percentile)}"


def _in(share: float) -> str:
    """How many in a hundred, rounded down; in more where a hundred would not tell."""
    for whole in (100, 1_000, 10_000):
        if share < 1 - 1 / whole:
            return f"{int(share * whole + 1e-9):,} in {whole:,}"
    return "9,999 in 10,000"
