"""A unit as one reads it off a card, in its own small grammar.

    card    = NAME ":" part (" plus " part)*        each part begins with "NAME:" or belongs to the unit
    part    = (clause | weapon)*                    commas, semicolons and line breaks are optional
    weapon  = name clause*                          words that are no clause begin a weapon

In a roster a number is flat and D3 or D6 a die; a bare N+ is the save of models, the hit number of a weapon.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, TypeVar

from bot.misread import Misread
from bot.reading.message import Message
from bot.roster import Group, Unit, Weapon
from resolver.amount import Amount, fixed
from resolver.attack import Reroll
from resolver.refused import Refused

EXAMPLE = "Kiln Guard: M5 T5 W3 Sv2+, 5 models, hammer A3 WS3+ S6 AP-1 damage 2"
DICE = r"(?:\d{0,3}d\d{1,3}(?:[+-]\d{1,3}|\s[+-]\s?\d{1,3}(?!\d| to | attacks?| shots?))?|\d{1,4})"
NUMBER = r"\d{1,4}"
STEP = r"(?:to )?(?P<step>hit|wound|save)s?(?: rolls?)?"


@dataclass
class _Holder:
    """Where clauses go: the unit, a group or a weapon; each key once."""

    kind: str
    name: str
    at: tuple[int, int]
    values: dict[str, Any] = field(default_factory=dict)


def amount(text: str) -> Amount:
    """A number or dice."""
    match = re.fullmatch(r"(?:(\d*)d(\d+)([+-]\d+)?|(\d+))", text.replace(" ", ""))
    assert match is not None
    count, sides, plus, flat = match.groups()
    return fixed(int(flat)) if flat else Amount(int(count or 1), int(sides), int(plus or 0))


def _stat_damage(text: str) -> Amount:
    """The statistic D: D3 and D6 are dice, any other number is flat."""
    return Amount(1, int(text)) if text in ("3", "6") else fixed(int(text))


def _reroll(text: str) -> Reroll:
    return Reroll(text.replace("ones", "1s"))


T = TypeVar("T")
Convert = Callable[[str], Any]
# (kind of holder, key, pattern with one group or none, conversion); for one place the first that fits is taken.
_UNIT: tuple[tuple[str, str, Convert], ...] = (
    ("move", rf"(?:m|move|moves) ?({NUMBER}(?:\.\d)?)(?: ?\"| ?inch(?:es)?\b)?", float),
    ("toughness", rf"(?:t|toughness) ?({NUMBER})", int),
)
_GROUP: tuple[tuple[str, str, Convert], ...] = (
    ("models", rf"({NUMBER}) ?(?:models?|minis?|figures?|men|bodies)\b", int),
    ("wounds", rf"(?:w|wounds) ?({NUMBER})(?: each)?", int),
    ("wounds", rf"({NUMBER}) ?(?:w|wounds?)(?: each)?\b", int),
    ("fixed_save", rf"fixed (?:save|sv) ?({NUMBER})\+?", int),
    ("fixed_save", rf"({NUMBER})\+ fixed save\b", int),
    ("save", r"no save()\b", lambda _: None),
    ("save", rf"(?:sv|save|armou?r(?: save)?) ?({NUMBER})\+?", int),
    ("save", rf"({NUMBER})\+ (?:sv|save|armou?r)\b", int),
    ("ignore", rf"ignores? ?({NUMBER})\+?", int),
    ("reduce", rf"damage -({NUMBER})", int),
    ("halve", r"half damage()\b", lambda _: True),
    ("reroll_save", r"re-?roll (1s|ones|failed|one failed) (?:to )?saves?(?: rolls?)?\b", _reroll),
)
_WEAPON: tuple[tuple[str, str, Convert], ...] = (
    (
        "per_five",
        rf"\+({NUMBER}) (?:attack|shot)s? per (?:5|five) (?:targets?|models?)\b",
        int,
    ),
    ("half_plus", rf"(?:at )?half[ -]range:? \+({DICE})(?: (?:attack|shot)s?\b)?", amount),
    ("half_plus", rf"\+({DICE}) (?:attack|shot)s? (?:at|within|in) half[ -]range\b", amount),
    (
        "half_double",
        r"(?:at )?half[ -]range:? (?:double|x2|twice the)(?: (?:attack|shot)s?)?()\b",
        lambda _: True,
    ),
    ("half_double", r"double(?: (?:attack|shot)s?)? (?:at|within|in) half[ -]range()\b", lambda _: True),
    ("attacks", rf"({DICE}) (?:attack|shot)s?(?: each)?\b", amount),
    ("attacks", rf"(?:attacks?|shots?|a) ?({DICE})", amount),
    ("hit", r"auto(?:matic)?(?:ally)?[ -]hits?()\b", lambda _: None),
    ("hit", r"hits automatically()\b", lambda _: None),
    ("hit", rf"(?:bs|ws|skill|hits?)(?: on)? ?({NUMBER})(?:\+|s)?", int),
    ("wound", rf"wounds?(?: on)? ({NUMBER})(?:\+|s)", int),
    ("strength", rf"(?:s|str|strength) ?({NUMBER})", int),
    ("ap", rf"(?:ap|armou?r penetration) ?-? ?({NUMBER})", int),
    ("ap", rf"-({NUMBER}) ap\b", int),
    ("damage", rf"(?:damage|dmg) ?({DICE})", amount),
    ("damage", rf"d({NUMBER})", _stat_damage),
    ("range", rf"range ?({NUMBER}(?:\.\d)?)(?: ?\"| ?inch(?:es)?\b)?", float),
    ("range", rf"({NUMBER}(?:\.\d)?)(?: ?\"| ?inch(?:es)?\b)(?: range\b)?", float),
    ("to_hit", r"([+-]\d) to hit\b", int),
    ("to_wound", r"([+-]\d) to wound\b", int),
    ("reroll_hit", r"re-?roll (1s|ones|failed|non-critical|one failed) (?:to )?hits?(?: rolls?)?\b", _reroll),
    (
        "reroll_wound",
        r"re-?roll (1s|ones|failed|non-critical|one failed) (?:to )?wounds?(?: rolls?)?\b",
        _reroll,
    ),
    ("critical_hit", rf"crit(?:ical)?s? hits? on ({NUMBER})\+?", int),
    ("critical_wound", rf"crit(?:ical)?s? wounds? on ({NUMBER})\+?", int),
    ("extra_hits", rf"crit(?:ical)?s? hits? score ({DICE}) extra hits?\b", amount),
    ("critical_hits_wound", r"crit(?:ical)?s? hits? wound()\b", lambda _: True),
    ("critical_wounds_pierce", r"crit(?:ical)?s? wounds? pierce()\b", lambda _: True),
    ("spills", r"(?:damage )?spills()\b", lambda _: True),
    ("hit", rf"({NUMBER})\+", int),
)
_BARE_SAVE = ("save", rf"({NUMBER})\+", int)
_MARKS = re.compile(r"[\s,;.|]+|(?:and|with|each|has|have|carry|carries|armed|a|an|the|on|of)\b")
_WORD = re.compile(r"[^\W\d_][\w'’-]*")
_END = r"(?![\w+])"


def _compiled(kind: str, rows: tuple[tuple[str, str, Convert], ...]) -> list[tuple[str, str, re.Pattern[str], Convert]]:
    return [(kind, key, re.compile(pattern + _END), convert) for key, pattern, convert in rows]


_HEAD = _compiled("unit", _UNIT) + _compiled("group", (*_GROUP, _BARE_SAVE))
_BODY = _compiled("weapon", _WEAPON) + _compiled("unit", _UNIT) + _compiled("group", _GROUP)


GROUP_CLAUSES = _compiled("group", _GROUP)
WEAPON_CLAUSES = _compiled("weapon", _WEAPON)


def looks_like_card(plain: str) -> bool:
    """Whether a line is meant as a unit: a name, a colon, and both a move and a toughness after it."""
    name, colon, rest = plain.partition(":")
    stats = (r"\bm(?:oves?)? ?\d", r"\bt(?:oughness)? ?\d")
    found = all(re.search(stat, rest) is not None for stat in stats)
    return bool(colon) and 0 < len(name.split()) <= 6 and found


def read_card(message: Message, start: int, end: int) -> Unit:
    """The unit of one line of the message, from `start` to `end`. Raises Misread that points at the word."""
    colon = message.plain.find(":", start, end)
    if colon < 0:
        raise Misread("a unit begins with its name and a colon", (start, end), hint=EXAMPLE)
    name = message.text[start:colon].strip()
    holders = [_Holder("unit", name, (start, colon))]
    for first, last in _parts(message.plain, colon + 1, end):
        holders += _read_part(message, first, last, holders[0], named=first > colon + 1)
    return _unit(holders, (start, end))


def _parts(plain: str, start: int, end: int) -> Iterator[tuple[int, int]]:
    at = start
    for match in re.compile(r"\s(?:plus|led by)\s").finditer(plain, start, end):
        yield at, match.start()
        at = match.end()
    yield at, end


def _read_part(message: Message, start: int, end: int, unit: _Holder, named: bool) -> list[_Holder]:
    """One group and its weapons."""
    match = re.compile(r"\s*(?:(?:an? |the )?(?:\d+ )?)([^\d:,]+?)\s*:").match(message.plain, start, end)
    count = re.compile(r"\s*(\d+)\s+(?!models?\b)").match(message.plain, start, end) if match else None
    group = _Holder("group", unit.name, (start, end))
    if match and named:
        group = _Holder("group", message.text[match.start(1) : match.end(1)], match.span(1))
        if count:
            group.values["models"] = int(count[1])
        start = match.end()
    holders, at = [group], start
    while at < end:
        at = _step(message, at, end, unit, holders)
    empty = not group.values and len(holders) == 1
    return [] if empty else holders


def _step(message: Message, at: int, end: int, unit: _Holder, holders: list[_Holder]) -> int:
    """Read one clause, or begin a weapon; the place after it."""
    for kind, key, pattern, convert in _BODY if len(holders) > 1 else _HEAD:
        match = pattern.match(message.plain, at, end)
        if match:
            holder = unit if kind == "unit" else holders[0] if kind == "group" else holders[-1]
            _put(holder, key, convert, match)
            return match.end()
    marks = _MARKS.match(message.plain, at, end)
    if marks:
        return marks.end()
    return _begin_weapon(message, at, end, holders)


def _put(holder: _Holder, key: str, convert: Convert, match: re.Match[str]) -> None:
    try:
        value = convert(match[1])
    except (Refused, ValueError) as error:
        raise Misread(str(error), match.span()) from None
    if holder.values.get(key, value) != value:
        raise Misread(f"{key.replace('_', ' ')} stands twice for {holder.name}", match.span())
    holder.values[key] = value


def _begin_weapon(message: Message, at: int, end: int, holders: list[_Holder]) -> int:
    """The words up to the first clause are the weapon's name."""
    here = at
    while here < end:
        word = _WORD.match(message.plain, here, end)
        if not word or (here > at and any(row[2].match(message.plain, here, end) for row in _BODY)):
            break
        here = word.end() + (message.plain[word.end() : word.end() + 1] == " ")
    name = message.text[at:here].strip()
    if not name:
        raise Misread("this is not a statistic I know", (at, min(at + 1, end)), hint=EXAMPLE)
    holders.append(_Holder("weapon", name, (at, at + len(name))))
    return here + (message.plain[here : here + 1] == ":")


def _unit(holders: list[_Holder], span: tuple[int, int]) -> Unit:
    unit = holders[0]
    for key, ask in (("move", "M6"), ("toughness", "T4")):
        if key not in unit.values:
            raise Misread(f"{unit.name} have no {key}", unit.at, hint=ask)
    groups: list[tuple[_Holder, list[Weapon]]] = []
    for holder in holders[1:]:
        if holder.kind == "group":
            groups.append((holder, []))
        else:
            groups[-1][1].append(_weapon(holder))
    if not groups:
        raise Misread(f"how many models has {unit.name}?", unit.at, hint="5 models Sv4+")
    made = tuple(_group(holder, weapons) for holder, weapons in groups)
    return _built(unit, lambda: Unit(name=unit.name, groups=made, **unit.values))


def _weapon(holder: _Holder) -> Weapon:
    for key, ask in (("attacks", "A2"), ("hit", "hit 4+")):
        if key not in holder.values:
            raise Misread(f'"{holder.name}" is no statistic, and as a weapon it has no {key}', holder.at, hint=ask)
    return _built(holder, lambda: Weapon(name=holder.name, **holder.values))


def _group(holder: _Holder, weapons: list[Weapon]) -> Group:
    if "models" not in holder.values:
        raise Misread(f"how many models has {holder.name}?", holder.at, hint="5 models")
    if "save" not in holder.values:
        raise Misread(f"what is the save of {holder.name}?", holder.at, hint="Sv4+, or no save")
    return _built(holder, lambda: Group(name=holder.name, weapons=tuple(weapons), **holder.values))


def _built(holder: _Holder, build: Callable[[], T]) -> T:
    try:
        return build()
    except Refused as refused:
        raise Misread(f"{holder.name}: {refused.message}", holder.at) from None
