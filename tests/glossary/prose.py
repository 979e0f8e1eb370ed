"""Prose as data: words, sentences, and a simple measure of how hard a text is to read."""

from __future__ import annotations

import re
from collections.abc import Iterator

from bot.terms import Entry

LONG = 7  # letters


def prose(entry: Entry) -> str:
    """What a person reads of an entry; the mark of a code sample is not read aloud."""
    return f"{entry.short} {entry.text}".replace("`", "")


def sentences(text: str) -> list[str]:
    """The sentences of a text; a full stop inside a number or a command ends none."""
    return re.split(r"(?<=[.!?])\s+(?=[^a-z])", text)


def words(text: str) -> list[str]:
    """The words of a text, numbers among them."""
    return re.findall(r"[A-Za-z0-9+#'\"-]+", text)


def hardness(text: str) -> float:
    """Words per sentence plus the percentage of words of seven letters or more.

    The measure is LIX (C. H. Björnsson, Läsbarhet, 1968; from memory): 25 is a children's book, 35 a story,
    45 a newspaper, 55 a law.
    """
    found = words(text)
    long = sum(len(word) >= LONG for word in found)
    return len(found) / len(sentences(text)) + 100 * long / len(found)


def phrases(text: str, longest: int = 3) -> Iterator[str]:
    """Every run of one to `longest` words, in small letters."""
    found = re.findall(r"[a-z]+", text.lower())
    for length in range(1, longest + 1):
        for start in range(len(found) - length + 1):
            yield " ".join(found[start : start + length])
