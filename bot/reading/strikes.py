"""Attacks by name: `4 Wardens shoot the Kiln Guard at 14 with their rifles in cover`, and their odds."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from bot.misread import Misread
from bot.reading.context import Context
from bot.reading.levels import level_within
from bot.reading.message import Message
from bot.reading.names import find
from bot.reading.said import Said
from bot.reading.synonyms import line_of
from bot.requests.action import CompareByName, Strike

_SHOOT = r"shoots?|fires?|opens? fire|shooting|firing|opening fire|snipes?"
_FIGHT = (
    r"fights? back|strikes? back|hits? back|fights?|fighting|strikes?|striking|melees?|swings?|brawls?"
    r"|fighting back|striking back"
)
_ATTACK = r"attacks?|attacking"
_KILL = r"kills?|killing|slays?|slaying|destroys?|destroying|wipes? out|wiping out|hurts?|hurting"  # asked, never rolled
_VERB = rf"(?P<verb>{_SHOOT}|{_FIGHT}|{_ATTACK}|{_KILL})"
_AT = r"(?: (?:at|on|into|against|towards|with|upon|back at|the enemy))*"
_COUNT = r"(?:(?:only |just )?(?P<count>\d{1,3}|all|both)(?: (?:models )?(?:of|from))?(?: (?:the|my|our))? (?:of the )?)?"
_ODDS = re.compile(
    r"(?:(?:what(?:'s| is| are)|give me|show(?: me)?|tell me|work out|reckon)? ?(?:the )?(?:odds|chances?|probability)"
    r"(?: (?:of|that|if|for|when))*|how (?:likely|good|well|many)[\w ]*?(?: (?:if|that|when|would|will|do|are))+"
    r"|what (?:if|happens if|would happen if|can i expect if|to expect if)|should(?: (?:i|we|have|let))*|expect(?:ed)?"
    r"|reckon|if|is it worth|would|does|do|will)[,:]? "
)
_ROLL = re.compile(r"(?:(?:roll|make|resolve)[,:]? |attack[,:] |have |now )")
_REST = r"(?P<rest>(?:[ ,;]+.*)?)"
STRIKES = (
    rf"{_COUNT}@unit {_VERB} (?:with )?(?:all )?(?:their|its|his|her) (?P<first>[a-z' -]+?) (?:at|into|on|against) @target{_REST}",
    rf"{_COUNT}@unit {_VERB}(?:{_AT} @target)?{_REST}",
    rf"{_VERB}(?:{_AT})? @target with {_COUNT}@other{_REST}",
)

Clause = tuple[re.Pattern[str], Callable[[re.Match[str], Said], dict[str, Any]]]
_NEXT = r"(?=[ ,.;]+(?:at|from|in|not|no|anyway|with|using|on|because|[+-]\d|\d|and in|while|who|which|they)\b|[ ,.;]*$)"
_UNIT = r'(?: ?(?:"|\'\')| ?inch(?:es)?\b|in\b)?(?: (?:away|off|apart|range|distant|of range)\b)?'


def _value(name: str, kind: Callable[[str], Any]) -> Callable[[re.Match[str], Said], dict[str, Any]]:
    return lambda match, said: {name: kind(match[1])}


def _flag(name: str, value: bool = True) -> Callable[[re.Match[str], Said], dict[str, Any]]:
    return lambda match, said: {name: value}


def _weapons(match: re.Match[str], said: Said, group: str = "weapons") -> dict[str, Any]:
    words = said.words(match, group)
    names = re.split(r"\s*,\s*(?:and\s+)?|\s+and\s+", words, flags=re.IGNORECASE)
    return {"weapons": tuple(re.sub(r"^(?:the|their|its)\s+", "", name, flags=re.IGNORECASE) for name in names if name)}


def _level(match: re.Match[str], said: Said) -> dict[str, Any]:
    found = level_within(line_of(Message(match["level"]), {}))
    if found is None or found.rest.atoms:
        raise Misread("I don't understand this level", said.span(*match.span("level")), hint="at least 2 slain")
    return {"level": found.level}


def _faces(match: re.Match[str], said: Said) -> dict[str, Any]:
    return {"faces": faces_of(match[1])}


def faces_of(text: str) -> tuple[int, ...]:
    """Faces with or without blanks between them: "6 4 4", "644"; runs of 1 to 6 are one die a digit."""
    numbers = re.findall(r"\d+", text)
    packed = any(len(number) > 1 for number in numbers) and all(re.fullmatch("[1-6]+", number) for number in numbers)
    return tuple(map(int, "".join(numbers) if packed else numbers))


_LEVEL_BEGINS = (
    r"(?:(?:to|that|they|will|would|and|can) )*(?:(?:at least|at most|exactly|precisely|(?:no|not) (?:more|fewer|less) than"
    r"|more than|fewer than|less than|up to|kill(?:s|ing)?|slay(?:s|ing)?|destroy(?:s|ing)?|wip(?:es?|ing)|deal(?:s|ing)?"
    r"|do(?:es|ing)?|scor(?:es?|ing)|inflict(?:s|ing)?|nobody|no one)\b|\d+ or (?:more|fewer|less)\b|\d+\+ (?:slain|dead|damage|kills)"
    r"|all (?:of them )?(?:slain|dead|killed))"
)
CLAUSES: tuple[Clause, ...] = tuple(
    (re.compile(pattern), build)
    for pattern, build in (
        (rf":? ?(?P<level>{_LEVEL_BEGINS}.*)", _level),
        (rf"(?:(?:at|from)(?: a)?(?: (?:distance|range))?(?: of)?|distance:?|range:?) ?(\d{{1,3}}(?:\.\d{{1,3}})?){_UNIT}(?![\w+])", _value("distance", float)),
        (rf"(?:that (?:is|are) |which (?:is|are) |who are |they are )?(\d{{1,3}}(?:\.\d{{1,3}})?){_UNIT}(?![\w+])(?! (?:to|models?|shots?|attacks?))", _value("distance", float)),
        (r"(?:who are |that are |they(?:'re| are) |which is |target )?(?:not in|no|without|out of) cover\b|in the open\b", _flag("cover", False)),
        (r"(?:who are |that are |they(?:'re| are) |they |which is |target |while )?(?:in|with|behind|has|have|gets?|through) (?:the )?(?:benefit of )?cover\b|cover\b", _flag("cover")),
        (r"(?:with |and )?(?:my |our |own |real )*dice[:,]? ((?:\d+[ ,]*)+)", _faces),
        (r"(?:with|using) (?:(?:my|our|own|real) )+dice\b", lambda match, said: {"faces": ()}),
        (rf"(?:with|using|firing|shooting|and use) (?:(?:all|only|just) )?(?:their|the|its|his|her|my|our|only|just|all)? ?(?P<weapons>[a-z][a-z' ,-]*?){_NEXT}", _weapons),
        (r"(?:with |at )?([+-]\d{1,2}) to hit\b", _value("to_hit", int)),
        (r"(?:with |at )?([+-]\d{1,2}) to wound\b", _value("to_wound", int)),
        (r"anyway\b|all the same\b|regardless\b|even so\b|nevertheless\b|i insist\b", _flag("anyway")),
        (r"(?:in|within) (?:melee|close combat|combat|hand to hand)\b", lambda match, said: {"action": "fight"}),
        (r"(?:please|now|again|and|then|back|too|as well|this turn|this phase|with everything|with all weapons|all of them)(?![\w'-])", lambda match, said: {}),
    )
)  # fmt: skip


_HOW_MANY = rf"how many(?: models)?(?: of)? @target (?:will|would|can|do|does|could|might) {_COUNT}@unit (?P<verb>{_KILL}){_REST}"


def strike(said: Said, context: Context) -> Strike | None:
    """The attack by name that the message makes or asks about, if it is one."""
    match = find(said, context.units, _HOW_MANY)
    odds, said = (True, said) if match else intent(said)
    match = match or find(said, context.units, *STRIKES)
    if match is None:
        return None
    if re.fullmatch(_KILL, match["verb"]) and not odds:
        return None
    count = match["count"]
    values: dict[str, Any] = dict(_clauses(said, match))
    if match.groupdict().get("first"):
        values |= _weapons(match, said, "first")
    made = Strike(
        unit=said.words(match, "unit" if "unit" in match.groupdict() else "other"),
        action=_action(match["verb"]),
        target=said.words(match, "target") or None,
        count=int(count) if count and count.isdigit() else None,
    )
    made = replace(made, odds=odds, **values)
    if made.level is not None and not odds:
        raise Misread("the chance of a level is asked of odds", hint=f"odds {made}")
    return made


_COMPARE = re.compile(r"(?:compare|which is better[:,]?|what is better[:,]?|better[:,]?)(?: (?:if|when|whether|to have))? ")


def comparison(said: Said, context: Context) -> CompareByName | None:
    """`compare Wardens shoot the Kiln Guard at 14 or at 22`: a later part may say only what differs."""
    begins = _COMPARE.match(said.text, said.start, said.end)
    if begins is None:
        return None
    found: list[Strike] = []
    for start, end in _alternatives(said, begins.end()):
        part = said.after(start).until(end)
        other = strike(part, context)
        if other is None and found:
            other = like(found[0], part)
        if other is None:
            return None
        if other.level is not None:
            raise Misread("the chance of a level is told of one unit's attack at a time", hint=str(other))
        found.append(replace(other, odds=True, faces=None, anyway=False))
    return CompareByName(tuple(found)) if len(found) > 1 else None


def _alternatives(said: Said, start: int) -> Iterator[tuple[int, int]]:
    for match in re.compile(r"[ ,]+or(?: if)? ").finditer(said.text, start, said.end):
        yield start, match.start()
        start = match.end()
    yield start, said.end


def like(first: Strike, part: Said) -> Strike | None:
    """The first attack with only what this part says otherwise."""
    rest = re.compile(r"(?P<rest>.*)").fullmatch(part.text, part.start, part.end)
    assert rest is not None
    try:
        return replace(first, **dict(_clauses(part, rest)))
    except Misread:
        return None


def intent(said: Said) -> tuple[bool, Said]:
    """A question is reckoned; a plain statement rolls."""
    match = _ODDS.match(said.text, said.start, said.end)
    if match:
        return True, said.after(match.end())
    match = _ROLL.match(said.text, said.start, said.end)
    return said.asks, said.after(match.end()) if match else said


def _action(verb: str) -> str:
    if re.fullmatch(_SHOOT, verb):
        return "shoot"
    return "fight" if re.fullmatch(_FIGHT, verb) else "attack"


def _clauses(said: Said, match: re.Match[str]) -> Iterator[tuple[str, Any]]:
    """What stands after the target, clause by clause; a word that is no clause is pointed at."""
    at, end = match.span("rest")
    seen: dict[str, Any] = {}
    while at < end:
        if said.text[at] in " ,;.":
            at += 1
            continue
        found = next(((m, build) for pattern, build in CLAUSES if (m := pattern.match(said.text, at, end))), None)
        if found is None:
            word = re.compile(r"\S+").match(said.text, at, end)
            raise Misread(
                "I don't understand this part of the attack",
                said.span(at, word.end() if word else end),
                hint="at 14, in cover, with their rifles, +1 to hit, anyway",
            )
        for name, value in found[1](found[0], said).items():
            if seen.get(name, value) != value:
                raise Misread("this is said twice, and differently", said.span(*found[0].span()))
            seen[name] = value
            yield name, value
        at = found[0].end()
