"""Patterns with unit names in them: the names on the table as they stand, or any words that may be a name."""

from __future__ import annotations

import re
from functools import lru_cache

from bot.naming import matches
from bot.reading.message import Message
from bot.reading.numbers import with_digits
from bot.reading.said import NAME, THE, Said

# A name that stands before other words ends where a clause begins.
_CLAUSE = (
    r"at|from|in|into|on|with|using|without|anyway|all|regardless|even|because|while|who|that|which|they|not|no|to"
    r"|within|behind|firing|shooting|please|now|again|then|first|left|are|is|and|by|range|distance|dice|cover|out|this|yet|too"
)
WORDS = rf"(?!(?:{_CLAUSE})\b)[^\W\d_][\w'&-]*(?:[ .](?!(?:{_CLAUSE})\b)[^\W\d_][\w'&-]*)*"
GROUPS = ("unit", "target", "other")


@lru_cache(maxsize=512)
def pattern(template: str, names: tuple[str, ...]) -> re.Pattern[str]:
    """The template with @unit, @target and @other filled in: exact names first, then any name."""
    exact = "".join(f"{re.escape(_as_said(name))}(?!\\w)|" for name in sorted(names, key=len, reverse=True))
    for group in GROUPS:
        any_name = NAME if group == "unit" else WORDS
        template = template.replace(f"@{group}", f"{THE}(?P<{group}>{exact}{any_name})")
    return re.compile(template)


def _as_said(name: str) -> str:
    return with_digits(Message(name).plain)[0]


def find(said: Said, names: tuple[str, ...], *templates: str) -> re.Match[str] | None:
    """The first template that fits the whole message and names a unit of the table.

    Without a table a message fits if it names two units, so that it can be said that no table is open.
    """
    for template in templates:
        match = said.full(pattern(template, names))
        if match is not None and _right(said, match, names):
            return match
    return None


def _right(said: Said, match: re.Match[str], names: tuple[str, ...]) -> bool:
    named = [said.words(match, group) for group in GROUPS if match.groupdict().get(group)]
    if names:
        return any(known(words, names) for words in named)
    return len(named) > 1 and not any(re.search(r"\d", words) for words in named)


def known(words: str, names: tuple[str, ...]) -> bool:
    """Whether the words may mean a unit of the table."""
    return bool(matches(words, [(name, name) for name in names]))
