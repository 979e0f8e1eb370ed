"""Requests about talking itself: help, and a table's own words for our clauses."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Help:
    """What can be asked, or how one thing is asked."""

    topic: str | None = None

    def __str__(self) -> str:
        return "help" if self.topic is None else f"help {self.topic}"


@dataclass(frozen=True)
class CallWord:
    """From now on `word` means `meaning` in this channel; no meaning takes the word back."""

    word: str
    meaning: str | None

    def __str__(self) -> str:
        return f'call "{self.word}" {self.meaning or "nothing"}'


@dataclass(frozen=True)
class Words:
    """Show the channel's own words."""

    def __str__(self) -> str:
        return "words"
