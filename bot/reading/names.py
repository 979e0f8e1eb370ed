"""Patterns with unit names in them: the names on the table as they stand, or any words that may be a name."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from bot.misread import NobodyThere, Span, Unsure
from bot.naming import ONE_AT_A_TIME, clipped, holds, matches, nearest, several, there
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
_ARTICLE = re.compile(r"^(?:the|my|our) ", re.IGNORECASE)
ANYTHING = r"[^\W_](?:[\w'.,:& -]*?[\w.])??"  # that may stand where a name should


@lru_cache(maxsize=512)
def pattern(template: str, names: tuple[str, ...], anything: bool = False) -> re.Pattern[str]:
    """The template with @unit, @target and @other filled in: exact names first, then any name, or any words at all."""
    exact = "".join(f"{_spelt(name)}(?!\\w)|" for name in sorted(names, key=len, reverse=True))
    for group in GROUPS:
        any_name = ANYTHING if anything else NAME if group == "unit" else WORDS
        template = template.replace(f"@{group}", f"{THE}(?P<{group}>{exact}{any_name})")
    return re.compile(template)


def _spelt(name: str) -> str:
    """The name as a pattern; a colon may stand behind a word of it, as behind the side's name before the unit's."""
    return ":? ".join(map(re.escape, with_digits(Message(name).plain)[0].split()))


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


def complain_of_names(said: Said, names: tuple[str, ...], *templates: str) -> None:
    """Complain if a template fits but for a name with a unit's name in it and other words, or a second unit, beside."""
    if holds(said.text[said.start : said.end], names):
        strange = [place for template in templates for place in _strange(said, names, template)]
        if strange:
            raise _complaint(said, min(strange, key=lambda place: place[1] - place[0]), names)


def _strange(said: Said, names: tuple[str, ...], template: str) -> Iterator[Span]:
    """Where such names stand."""
    match = said.full(pattern(template, names, anything=True))
    for group, words in (match.groupdict() if match is not None else {}).items():
        if match is None or group not in GROUPS or not words or re.search(r"\d", words):
            continue
        if several(words, names) or (holds(words, names) and not known(words, names)):
            yield said.span(*match.span(group))


def _complaint(said: Said, place: Span, names: tuple[str, ...]) -> NobodyThere | Unsure:
    typed, (start, end) = said.message.text, place
    words = typed[start:end]
    parts = several(words, names)
    if parts:
        bare = (_ARTICLE.sub("", part) for part in parts)  # it stands before the first one already, if it does
        return Unsure(ONE_AT_A_TIME, tuple(typed[:start] + part + typed[end:] for part in bare))
    told = f'no unit on this table is called "{clipped(words)}"; there are {there(names)}'
    return NobodyThere(told, place, hint=nearest(words, names))
