"""A level that is asked for in an attack: "at least 2 slain", "killing 2 or more", "no more than 5 hits", "all slain".

level = lead verb how [whom] | lead [verb] how noun | lead (all | nobody) slain
lead  = [asking word] small words              "what's the chance of", "that they"
how   = "at least" number | "at most" number | "exactly" number | number "or more" | number "or fewer" | number
A level stands before the attack, behind it or within it, and is taken out of the line before the attack is read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import TypeVar

from bot.level import ALL_SLAIN, MOST, Bound, Level
from bot.misread import Misread, Span
from bot.reading.ask import GAP
from bot.reading.atoms import Line
from bot.reading.clause import shown
from bot.reading.draft import Said
from bot.reading.filler import PUNCTUATION
from bot.requests.attack import Compare, Odds

_ASKING = (
    r"(?:(?:(?:what (?:is|are|would be)|what's|tell me|give me|show me) )?(?:(?:the|my|our|their|any|a) )?"
    r"(?:odds|chances?|probability|likelihood) (?:is |are )?|how (?:(?:likely|probable) (?:is|are|am)"
    r"|often (?:do|does|will|would|can)) )"
)
_SMALL = r"(?:(?:that|i|we|they|he|she|it|you|of|for|to|by|so|and|will|would|can|could|might|do|does|is|are) ){0,5}"
_SLAY = (
    r"(?:kill|kills|killing|killed|slay|slays|slaying|destroy|destroys|destroying|remove|removes|removing|lose|loses"
    r"|losing|(?:take|takes|taking) (?:out|down))"
)
_WIPE = r"(?:wipe|wipes|wiping)"
_DO = (
    r"(?:(?:do|does|doing|deal|deals|dealing|cause|causes|causing|inflict|inflicts|inflicting|score|scores|scoring|get"
    r"|gets|getting|make|makes|making|roll|rolling|land|lands|landing|take|takes|taking|suffer|suffering) )?"
)
_HOW = (
    r"(?:(?:at least|(?:no|not) (?:fewer|less) than|(?:a )?minimum(?: of)?) (?P<least>[0-9]+)"
    r"|(?:more than|over) (?P<above>[0-9]+)|(?P<up>[0-9]+)\+"
    r"|(?:at most|(?:no|not) more than|up to|(?:a )?maximum(?: of)?) (?P<most>[0-9]+)"
    r"|(?:fewer than|less than|under) (?P<below>[0-9]+)|(?P<fewer>[0-9]+) or (?:fewer|less)"
    r"|(?:exactly|precisely) (?P<exactly>[0-9]+))"
)
_DEALS = re.compile(r"(?:do|deal|caus|inflict|scor|suffer)")  # no die needs what follows
_MORE, _FEWER = r"(?P<more>[0-9]+)", r"(?P<less>[0-9]+)"
_BARE = r"(?P<bare>[0-9]+)"
# A number alone is a level only where nothing follows that it might be a number of: "killing 2 with 10 attacks".
_ENDS = r"(?= (?:(?:with|from|using|by|if|when) (?!(?:an? )?(?:t|toughness|sv|save|[0-9]+\+) ?[0-9s])|[,.:;?!)])|$)"
_OWN = r"(?:(?:of )?(?:(?:the|my|our|his|her|their|your|these|those|enemy|whole|entire) ){0,4})"
_WHOM = (
    rf"(?: (?:(?:of )?(?:them|these|those)|{_OWN}(?:model|enem(?:y|ies)|targets?|opponents?))"
    r"(?! ,? ?(?:with )?(?:t|toughness|w|sv|save) ?[0-9]))?"
)
_PART = r"(?:(?<=kill )|(?<=kills )|(?<=killing )|(?<=slay ))"  # "kill at least 3 of 5 models": the target follows
_DEAD = r"(?:(?:is|are|gets?) )?(?:slain|dead|killed)"
_ALL = (
    rf"(?:all(?: of (?:them|these|those|it)| {_OWN}(?:model|enemies|targets?))?|them all|every(?:one|body|thing)"
    rf"|every (?:1|(?:single )?model)|{_OWN}(?:lot|unit|squad|team))(?! [0-9])"
)
_NONE = r"(?:no(?:body|ne(?: of (?:them|these|those))?|thing)|no (?:1|model|enem(?:y|ies)))(?! [0-9])"
_ANY = r"any(?:one|body|thing| 1| model| of (?:them|these|those))?(?! [0-9])"
_COUNTS = {
    "unsaved": r"(?:unsaved(?: wound)?|wound unsaved|failed save)",
    "hits": r"hit(?! (?:on|roll|[0-9]))",
    "wounds": r"wound(?! (?:on|roll|lost|unsaved|each|apiece|per|a model|get|[0-9]))",
    "damage": r"(?:points? of )?damage(?! (?:each|spills?|[+-]?d?[0-9]))",
    "slain": rf"(?:(?:of (?:them|these|those) |{_OWN}model )?{_DEAD}|kills?|casualty|casualties|losses)(?! [0-9])",
}
_NOBODY, _ANYBODY = Level("slain", Bound.EXACTLY, 0), Level("slain", Bound.AT_LEAST, 1)
_ROWS: tuple[tuple[str | Level, str], ...] = (
    (_NOBODY, rf"{_SLAY} {_NONE}|(?:not|never) {_SLAY} {_ANY}|{_NONE} {_DEAD}"),
    (_ANYBODY, rf"{_SLAY} (?:{_ANY}|some(?:one|body|thing))"),
    (ALL_SLAIN, rf"(?:{_SLAY}|{_WIPE}(?: out)?) {_ALL}(?: out)?|{_ALL} {_DEAD}"),
    (ALL_SLAIN, rf"{_WIPE} (?:(?:them|him|her|it|these|those)(?: all)?(?: out)?|out)(?! [0-9])"),
    ("slain", rf"{_PART}{_HOW}(?= of (?:(?:the|his|her|their|my|our) )?[0-9]+ )"),
    ("slain", rf"{_SLAY} (?:{_HOW}{_WHOM}|{_MORE}{_WHOM} or more|{_FEWER}{_WHOM} or (?:fewer|less))"),
    ("slain", rf"{_SLAY} (?:just|only) (?P<exactly>[0-9]+){_WHOM}"),
    ("slain", rf"{_SLAY} {_BARE}{_WHOM}{_ENDS}"),
    ("slain", rf"{_BARE} {_COUNTS['slain']}{_ENDS}"),
    ("hits", rf"hit {_HOW} times"),
    ("wounds", rf"wound {_HOW} times"),
    *(
        (count, rf"{_DO}(?:{_HOW} {noun}|{_MORE} {noun} or more|{_FEWER} {noun} or (?:fewer|less))")
        for count, noun in _COUNTS.items()
    ),
    *((Level(count, Bound.EXACTLY, 0), rf"{_DO}(?:no|0) {noun}(?! (?:re)?roll)") for count, noun in _COUNTS.items()),
)
_WHERE_ASKED = tuple((count, rf"{_DO}{_BARE} {noun}{_ENDS}") for count, noun in _COUNTS.items())
# Most messages have nothing of a level in them.
_CUE = re.compile(
    r"\b(?:least|most|than|over|under|up to|minimum|maximum|fewer|less|exactly|precisely|kill|slay"
    r"|slain|destroy|remov|lose|losing|losses|tak(?:e|es|ing) (?:out|down)|wip|dead|casualt|unsaved|failed save|nobody"
    r"|(?:no|0) (?:hit|wound|damage)"
    r"|[0-9]\+? (?:or more|(?:hit|wound|(?:points? of )?damage)(?! ?[0-9]| each| apiece| per| lost)))"
)
# What the rest must hold to be an attack: a number of attacks, or two other things that are said of one.
_ATTACKS = re.compile(r"[0-9] (?:attack|dice|times)\b")
_THINGS = re.compile(r"\b(?:s|t|ap|w|bs|ws|sv) ?-?[0-9]|[0-9](?:\+|s\b)")
Request = TypeVar("Request", bound=Odds | Compare)
_Found = tuple[tuple[str | Level, re.Match[str]], ...]
_BOUNDS = {
    "least": (Bound.AT_LEAST, 0),
    "up": (Bound.AT_LEAST, 0),
    "more": (Bound.AT_LEAST, 0),
    "bare": (Bound.AT_LEAST, 0),
    "above": (Bound.AT_LEAST, 1),
    "most": (Bound.AT_MOST, 0),
    "fewer": (Bound.AT_MOST, 0),
    "less": (Bound.AT_MOST, 0),
    "below": (Bound.AT_MOST, -1),
    "exactly": (Bound.EXACTLY, 0),
}


@dataclass(frozen=True)
class Asked:
    """A level with its words, and the rest of the line; `last` says that nothing stands behind it.

    `places` are where it was said, with the words that only ask for it. `plain` says that its words can be nothing
    else: "at least 2 slain", not "2+ slain" or "killing 2".
    """

    level: Level
    said: Said
    places: tuple[Span, ...]
    rest: Line
    last: bool
    plain: bool
    notes: tuple[str, ...] = ()


def asked_level(line: Line) -> Asked | None:
    """The level that a line asks for beside an attack, if it does; a Misread if there are two."""
    found = _found(line)
    rest = _rest(line, found)[0].text if found else ""
    return level_within(line) if _ATTACKS.search(rest) or len(_THINGS.findall(rest)) > 1 else None


def level_within(line: Line) -> Asked | None:
    """The level that a line asks for, whatever else it says; a Misread if there are two."""
    found = _found(line)
    if not found:
        return None
    (count, match), *_ = found
    first, *others = (_level(line, count, match) for count, match in found)
    for other in others:
        if other.value != first.value:
            message = f'"{first.words}" and "{other.words}": the chance of one level at a time'
            raise Misread(message, other.span, also=first.span)
    bare = "bare" in match.re.groupindex
    notes = (f'"{first.words}": {first.value.number} or more',) if bare else ()
    plain = not bare and count != ALL_SLAIN and not (match["said"][0].isdigit() and match["asking"] is None)
    rest, last = _rest(line, found)
    places = tuple(line.span(*one.span()) for _, one in found)
    return Asked(first.value, first, places, rest, last, plain, notes)


def with_level(request: Request, asked: Asked) -> Request:
    """The request with the level; a Misread if all are asked for of nobody knows how many."""
    attacks = request.options if isinstance(request, Compare) else (request.attack,)
    if asked.level == ALL_SLAIN and any(attack.target.models is None for attack in attacks):
        question, hint = "How many models does the target have?", "10 models"
        if isinstance(request, Compare):
            raise Misread(question, asked.said.span, hint=hint)
        raise Misread(question, hint=hint, missing="models", pending=f"{request}, {GAP}: {asked.level}")
    trace = tuple(sorted((*request.trace, *((place, str(asked.level)) for place in asked.places))))
    return replace(request, level=asked.level, notes=(*request.notes, *asked.notes), trace=trace)


def _rest(line: Line, found: _Found) -> tuple[Line, bool]:
    """The line without what was found in it, and whether that stood last; then what led to it goes too."""
    spans = [match.span() for _, match in found]
    kept = [index for index, at in enumerate(line.starts) if not any(start <= at < end for start, end in spans)]
    last = all(line.atoms[index].text in PUNCTUATION for index in kept if line.starts[index] > spans[-1][0])
    while last and kept and line.atoms[kept[-1]].text in (*PUNCTUATION, "and"):
        kept.pop()
    return Line(line.message, tuple(line.atoms[index] for index in kept)), last


@cache
def _patterns() -> tuple[tuple[str | Level, re.Pattern[str]], ...]:
    asking = f"(?P<asking>{_ASKING})"
    rows = [(count, f"{asking}?", pattern) for count, pattern in _ROWS]
    rows += [(count, asking, pattern) for count, pattern in _WHERE_ASKED]
    return tuple(
        (count, re.compile(rf"(?<![^ ]){lead}{_SMALL}(?P<said>{pattern})(?= |$)")) for count, lead, pattern in rows
    )


def _found(line: Line) -> _Found:
    return tuple(_apart(line)) if _CUE.search(line.text) else ()


def _apart(line: Line) -> Iterator[tuple[str | Level, re.Match[str]]]:
    """The matches in the order of the line; of those that overlap the first, and of these the longest."""
    found = [(count, match) for count, pattern in _patterns() for match in pattern.finditer(line.text)]
    end = 0
    for count, match in sorted(found, key=lambda one: (one[1].start(), -one[1].end())):
        if match.start() >= end and not _is_needed(line, count, match):
            end = match.end()
            yield count, match


def _is_needed(line: Line, count: str | Level, match: re.Match[str]) -> bool:
    """Whether "3+ hits" is the number that a die needs: so it is where nothing asks and it is not "3 or more"."""
    if match.groupdict().get("up") is None or count == "slain" or match["asking"] is not None:
        return False
    typed = line.message.text[slice(*line.span(*match.span("said")))].lower()
    return "more" not in typed and not _DEALS.match(match["said"])


def _level(line: Line, count: str | Level, match: re.Match[str]) -> Said:
    span = line.span(*match.span("said"))
    words = line.message.text[slice(*span)]
    if isinstance(count, Level):
        return Said(count, span, words)
    how, digits = next((name, match[name]) for name in _BOUNDS if match.groupdict().get(name) is not None)
    bound, more = _BOUNDS[how]
    number = int(digits[:9]) + more
    if not 0 <= number <= MOST:
        raise Misread(f"a level is 0 to {MOST:,}, got {shown(digits) if number > MOST else number}", span)
    return Said(Level(count, bound, number), span, words)
