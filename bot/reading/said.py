"""A message as the table's grammar sees it: filler cut off both ends, number words as digits, places kept."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.misread import Span
from bot.reading.message import Message
from bot.reading.numbers import Origin, with_digits

_BEFORE = re.compile(
    r"(?:[\s,.;:!]+|(?:ok(?:ay)?|right|alright|all right|so|then|now then|well|please|hey|hi|umpire|drumhead"
    r"|(?:great|good)(?=[,.!])|and|also|let us|let's|lets|let me|let|could you|can you|would you|will you|would like to"
    r"|i'd like to|i would like to|i want to|we want to|we'd like to|i wish to|go ahead and|oh|hm+|uh|um|ah"
    r"|this time|first of all)(?![\w'-]))"
)
_AFTER = re.compile(
    r"(?:[\s,.;!]|\b(?:please|thanks|thank you|cheers|mate|friend|umpire|drumhead|ok|okay|then|for now))$"
)
_LONGEST_AFTER = len("thank you")
NAME = r"[^\W_](?:[\w'.& -]*?[\w.])??"
THE = r"(?:the |my |our |your |their |all (?:of )?(?:the |my |our )?|those |these )?"


@dataclass(frozen=True)
class Said:
    """`text` is what patterns are matched against, from `start` to `end`; `asks` is set by a question mark."""

    message: Message
    text: str
    origin: Origin
    start: int
    end: int
    asks: bool

    def full(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """The pattern against the whole of what was said."""
        return pattern.fullmatch(self.text, self.start, self.end)

    def words(self, match: re.Match[str], group: str) -> str:
        """The words of a group as they were typed."""
        if match[group] is None:
            return ""
        start, end = self.span(*match.span(group))
        return self.message.text[start:end].strip()

    def span(self, start: int, end: int) -> Span:
        """The place in the message of a piece of the text."""
        if start >= end:
            return 0, 0
        return self.origin.place(start, end - 1)

    def until(self, end: int) -> Said:
        """Only what stands before `end`."""
        return Said(self.message, self.text, self.origin, self.start, end, self.asks)

    def after(self, start: int) -> Said:
        """Only what stands after `start`."""
        return Said(self.message, self.text, self.origin, start, self.end, self.asks)


def said_of(message: Message) -> Said:
    """What the message says, without filler around it."""
    text, origin = with_digits(message.plain)
    start, end = 0, len(text)
    while match := _BEFORE.match(text, start, end):
        start = match.end()
    asks = False
    while end > start:
        if text[end - 1] == "?":
            asks, end = True, end - 1
        elif match := _AFTER.search(text, max(start, end - _LONGEST_AFTER), end):
            end = match.start()
        else:
            break
    return Said(message, text, origin, start, end, asks)
