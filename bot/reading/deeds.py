"""What units do and how they stand: declared actions, distances, questions of permission, mending by hand."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import fields, replace
from typing import Any, NamedTuple

from bot.reading.context import Context
from bot.reading.names import find
from bot.reading.said import NAME, Said
from bot.reading.strikes import faces_of
from bot.requests.action import (
    Act,
    Allocate,
    ChargeAt,
    Distance,
    HowFar,
    LoseWounds,
    MayUnit,
    SetDeed,
    SetEngaged,
    SetModels,
)
from bot.requests.dice import Charge
from bot.requests.table import ShowUnit
from bot.table.permit import DEED
from resolver.movement import ChargeReroll

Build = Callable[[Said, re.Match[str]], object]

NUMBER = r"\d{1,3}(?:\.\d{1,3})?"
INCH = r'(?: ?(?:"|\'\')| ?inch(?:es)?\b| ?in\b)?'
FAR = rf"(?P<inches>{NUMBER}){INCH}(?: (?:away|off|apart|range))?"
COUNT = r"(?P<count>\d{1,4}|an?)"
GROUP = rf"(?: (?:of|on|to|from|in) (?:the |their |its )?(?P<group>{NAME}))?"
ARE = r"(?:are|is|were|was)(?: now| about| still| currently| standing| really| actually)*"
DICE = r"(?:[ ,]+with (?:my |our |own )*dice:? (?P<dice>\d+(?:[ ,]+\d+)*))?"
MOVES = {"move": "move", "advance": "advance", "fall back": "fall back", "stay": "stay"}
ACTIONS = {
    "move": r"moves?|moved|walks?",
    "advance": r"advances?|runs?",
    "fall back": r"falls? back|retreats?|withdraws?|disengages?",
    "shoot": r"shoots?|fires?|attacks?",
    "charge": r"charges?",
    "fight": r"fights?(?: back)?|strikes?",
}
_ANY = "|".join(f"(?:{words})" for words in ACTIONS.values())
DONE = {
    "moved": r"moved",
    "advanced": r"advanced|ran|run",
    "fell back": r"f[ae]ll(?:en)? back|retreated|withdr(?:ew|awn)|disengaged",
    "shot": r"shot|fired",
    "charged": r"charged",
    "failed a charge": r"failed (?:a|the|their) charge",
    "fought": r"fought",
}
_DONE = "|".join(f"(?:{words})" for words in DONE.values())
DEEDS = {**DEED, "charge": "charged"}


def _meaning(table: dict[str, str], words: str) -> str:
    return next(name for name, pattern in table.items() if re.fullmatch(pattern, words))


def _faces(match: re.Match[str]) -> tuple[int, ...] | None:
    dice = match.groupdict().get("dice")
    return faces_of(dice) if dice else None


def _number(match: re.Match[str], group: str = "inches") -> float | None:
    found = match.groupdict().get(group)
    return float(found) if found else None


def _count(match: re.Match[str]) -> int:
    return int(match["count"]) if match["count"].isdigit() else 1


def _act(said: Said, match: re.Match[str]) -> object:
    action = _meaning(ACTIONS, match["action"])
    unit = said.words(match, "unit" if match.groupdict().get("unit") else "other")
    if said.asks:
        return MayUnit(unit, action)
    return Act(unit=unit, action=action, inches=_number(match), faces=_faces(match))


def _stay(said: Said, match: re.Match[str]) -> object:
    return Act(unit=said.words(match, "unit"), action="stay")


def _charge(said: Said, match: re.Match[str]) -> object:
    unit = said.words(match, "unit" if match.groupdict().get("unit") else "other")
    distance = _number(match)
    if said.asks:
        return MayUnit(unit, "charge") if distance is None else Charge(distance=distance)
    target = said.words(match, "target") or None
    modifier, reroll = int(match["modifier"] or 0), None
    if match["reroll"]:
        one = re.search(r"\b(?:1|die|lower|lowest|single)\b", match["which"] or "")
        reroll = ChargeReroll.ONE if one else ChargeReroll.WHOLE
    return ChargeAt(
        unit=unit, target=target, distance=distance, modifier=modifier, reroll=reroll, faces=_faces(match)
    )


def _may(said: Said, match: re.Match[str]) -> object:
    target = said.words(match, "target") or None
    return MayUnit(said.words(match, "unit"), _meaning(ACTIONS, match["action"]), target, _number(match))


def _distance(said: Said, match: re.Match[str]) -> object:
    inches = float(match["inches"])
    if said.asks:
        return HowFar(said.words(match, "unit"), said.words(match, "other"))
    return Distance(said.words(match, "unit"), said.words(match, "other"), inches)


def _how_far(said: Said, match: re.Match[str]) -> object:
    return HowFar(said.words(match, "unit"), said.words(match, "other"))


def _allocate(said: Said, match: re.Match[str]) -> object:
    names = re.split(r"\s*(?:,|\bthen\b|\bbefore\b|\band\b)\s*(?:then\s+|and\s+)?", said.words(match, "groups"))
    cleaned = tuple(re.sub(r"^(?:the|first)\s+|\s+(?:first|last)$", "", name.strip()) for name in names if name.strip())
    return Allocate(said.words(match, "unit"), cleaned)


def _models(said: Said, match: re.Match[str]) -> object:
    groups = match.groupdict()
    group = said.words(match, "group") if groups.get("group") else said.words(match, "kind") if groups.get("kind") else None
    group = None if group and re.fullmatch(r"models?|minis?|figures?|men|guys", group.lower()) else group
    lost = "lost" in groups and groups["lost"] is not None
    return SetModels(unit=said.words(match, "unit" if groups.get("unit") else "other"), models=_count(match), lost=lost, group=group)


def _wounds(said: Said, match: re.Match[str]) -> object:
    back = match["verb"].startswith(("re", "he", "gi"))
    groups = match.groupdict()
    group = said.words(match, "group") if groups.get("group") else None
    return LoseWounds(unit=said.words(match, "unit" if groups.get("unit") else "other"), wounds=_count(match), back=back, group=group or None)


def _deed(said: Said, match: re.Match[str]) -> object:
    did = match["done"]
    what = DEEDS[_meaning(ACTIONS, did)] if re.fullmatch(_ANY, did) else _meaning(DONE, did)
    if said.asks:
        return ShowUnit(said.words(match, "unit"))
    return SetDeed(unit=said.words(match, "unit"), what=what, done=match["never"] is None)


def _engaged(said: Said, match: re.Match[str]) -> object:
    other = said.words(match, "other") or None
    if said.asks:
        return ShowUnit(said.words(match, "unit"))
    return SetEngaged(unit=said.words(match, "unit"), other=other, engaged=match["never"] is None)


def _show(said: Said, match: re.Match[str]) -> object:
    return ShowUnit(said.words(match, "unit"))


class Row(NamedTuple):
    """Templates that mean the same. `sure` rows need a table with that unit on it."""

    build: Build
    templates: tuple[str, ...]


_TAIL = rf"(?: (?:up |forward |on |back |sideways |left |right )*(?P<inches>{NUMBER}){INCH})?(?:[ ,]+(?:up|down|towards?|to|into|onto|behind|through|over|along|out|off|on|forward|closer|back|away|left|right|sideways|their|full|carefully|again)\b[^\d]*)?"
_FROM = rf"(?:[ ,]+(?:from|at|distance(?: of)?|range)? ?{FAR})?"
_HELP = (
    r"(?:[ ,]+(?:with |and )?(?P<modifier>[+-]\d{1,2}) to (?:the )?charges?)?"
    r"(?:[ ,]+(?:and |with |using )?(?:an? )?(?P<reroll>re-?roll(?:s|ing)?)(?P<which>(?: (?:of|the|if|it|needed|fails?|failed|whole|both|all|charge|dice"
    r"|die|1|lower|lowest|single))*))?"
)
_NOT = r"(?P<never>not |n't |no longer |never )?"
_LEFT = r"(?: left| remaining| standing| alive| still standing)"

ROWS: tuple[Row, ...] = (
    Row(_may, (
        rf"(?:can|may|could|are|is|should) @unit (?:still |now |also |even |allowed to |able to |permitted to )*(?P<action>{_ANY})(?: (?:at |against |back at )?@target)?(?:[ ,]+(?:(?:from|at|up to) )?{FAR})?(?: (?:now|again|too|this (?:turn|phase)|yet))?",
        rf"(?:why )?(?:can't|cannot|can not|may not|why can|can) @unit (?:not )?(?P<action>{_ANY})(?: @target)?(?P<inches>)(?: (?:now|again|this (?:turn|phase)))?",
        rf"(?:is|are) @unit (?:still )?(?:free|allowed|able|permitted) to (?P<action>{_ANY})(?P<target>)(?P<inches>)(?: now| again)?",
    )),
    Row(_charge, (
        rf"@unit (?:to )?(?:charges?|charging|declares? a charge|launch(?:es)? a charge|try to charge|attempt(?:s)? (?:a|to) charge|mak(?:es?|ing) (?:a|the|their) charge)(?: (?:at|into|on|against|towards))?(?: @target)?{_FROM}{_HELP}{DICE}",
        rf"charge @target with @other{_FROM}{_HELP}{DICE}",
    )),
    Row(_stay, (r"@unit (?:stays?|holds?|remains?|stands?|waits?|does not move|do not move|don't move|doesn't move)(?: (?:still|put|fast|here|there|stationary|position|their ground|the line|where (?:they|it|he|she) (?:are|is|stands?)|in place|back))*",)),
    Row(_act, (
        rf"@unit (?P<action>{ACTIONS['fall back']})(?P<inches>)(?: from @other)?{DICE}",
        rf"@unit (?P<action>{ACTIONS['move']}|{ACTIONS['advance']}){_TAIL}{DICE}",
        rf"(?:i |we )?(?P<action>move|advance|run|fall back|retreat)(?: with)? @other{_TAIL}{DICE}",
    )),
    Row(_distance, (
        rf"@unit {ARE} {FAR}(?: (?:away )?(?:from|off|to)) @other",
        rf"(?:the )?distance(?: (?:between|from))? @unit (?:and|to) @other(?:[:,]| {ARE}| =)? {FAR}",
        rf"@unit (?:to|-|->) @other(?:[:,]| {ARE}| =)? {FAR}",
        rf"@unit and @other {ARE} {FAR}",
        rf"set (?:the )?distance (?:between|from) @unit (?:and|to) @other (?:to|at) {FAR}",
        rf"(?:it(?:'s| is) )?{FAR} (?:from|between) @unit (?:to|and) @other",
    )),
    Row(_how_far, (
        r"(?:how far (?:away )?is it|what(?:'s| is) the (?:distance|range)|distance|how far) (?:between|from) @unit (?:and|to) @other",
        rf"(?:how far(?: away)?|(?:at )?what distance) (?:{ARE} )?@unit(?: {ARE})?(?: away)? (?:from|to|off) @other",
    )),
    Row(_allocate, (
        rf"(?:allocate|allocation(?: for| of)?|order of losses(?: for| of)?)(?: (?:casualties|wounds|losses|damage|hits))?(?: (?:to|of|on|from|for|in))? @unit(?::| to| lose| as)? (?P<groups>{NAME}(?:(?: then|,| before| and)+ {NAME})*)",
        rf"@unit (?:loses?|allocates?|takes? losses|takes? wounds|dies?)(?: from| on)?:? (?P<groups>(?!\d)(?:the |their )?{NAME}(?: first|(?:(?: then|,| before)+ {NAME})+))",
        rf"take (?P<groups>{NAME} first) (?:from|in|of|off) @unit",
    )),
    Row(_wounds, (
        rf"@unit (?:has |have )?(?P<verb>lost|loses?|takes?|took|taken|suffers?|suffered|regains?|regained|heals?|healed|recovers?|recovered) (?:another )?{COUNT}(?: more)? wounds?(?: back)?{GROUP}",
        rf"(?:the |their )?(?P<group>{NAME}) of @other (?:has |have )?(?P<verb>lost|loses?|takes?|took|suffers?|suffered|regains?|regained|heals?|healed) (?:another )?{COUNT}(?: more)? wounds?(?: back)?",
        rf"(?P<verb>give) @unit(?: back)? {COUNT} wounds?(?: back)?",
    )),
    Row(_models, (
        rf"@unit (?:has |have )?(?P<lost>lost|loses?|lose) (?:another )?{COUNT}(?: more)?(?: (?P<kind>{NAME}))?{GROUP}",
        rf"{COUNT}(?: (?P<kind>models?|minis?))?(?: (?:of|in|from)(?: the)?)? @unit (?P<lost>die|dies|died|fall|falls|fell|are dead|is dead|are slain|is slain|are gone|is gone|are removed|are lost|are down)",
        rf"(?P<lost>remove|take off|take away|lost|kill) {COUNT}(?: (?P<kind>{NAME}) (?:of|from|off))? @other",
        rf"@unit(?: (?:really|actually|only|still|now))* (?:has|have|had|{ARE}|{ARE} down to|should have|should be|down to|has only|have only)(?: (?:only|just|actually|really|now|down to|at))* {COUNT}(?: (?P<kind>{NAME}))??{GROUP}{_LEFT}",
        rf"@unit(?: (?:really|actually|only|still|now))* (?:has|have|should have|{ARE} down to|down to)(?: (?:only|just|actually|really|now))* {COUNT} (?P<kind>models?|minis?|figures?){GROUP}",
        rf"(?:there (?:are|is) )?(?:only )?{COUNT}(?: (?P<kind>models?|minis?) (?:of|in)(?: the)?)? @unit(?: (?:are|is))?{_LEFT}",
        rf"@unit[:,] {COUNT}(?: (?P<kind>{NAME}))??{_LEFT}",
        rf"set @unit(?:'s)?(?: models)? to {COUNT}(?: (?P<kind>{NAME}))??",
    )),
    Row(_engaged, (
        rf"@unit {ARE} {_NOT}(?:engaged|in (?:melee|combat|close combat)|locked(?: in combat)?|in contact)(?: (?:any ?more|now))?(?: (?:with|by|to) @other)?",
        rf"@unit and @other {ARE} {_NOT}(?:engaged|in (?:melee|combat|close combat)|locked(?: in combat)?|in contact)(?: (?:any ?more|now))?",
        r"(?P<never>dis)?engage @unit(?: (?:and|with|from) @other)?",
        r"@unit (?:are|is)(?P<never>n't) (?:engaged|in (?:melee|combat))(?: (?:any ?more))?(?: with @other)?",
    )),
    Row(_deed, (
        rf"(?:note(?: that)? )?@unit (?:have |has |had |already )*(?P<never>not |never )?(?:already )?(?P<done>{_DONE})(?: (?:already|yet|this turn|after all))*",
        rf"(?:note(?: that)? )?@unit (?:have|has|had)(?P<never>n't) (?P<done>{_DONE})(?: (?:yet|this turn|after all))*",
        rf"(?:note(?: that)? )?@unit did(?P<never> not|n't| never)? (?P<done>{_ANY})(?: (?:yet|this turn|after all))*",
    )),
    Row(_show, (
        r"(?:show(?: me)?(?: the)?(?: unit)?|unit|look at|describe|stat ?lines?(?: of| for)?|stats?(?: of| for)?|status of|state of|card of|how (?:are|is)|what about|what(?:'s| is) left of|what (?:do|does)|who(?:'s| is) left (?:in|of)|what(?:'s| is) the (?:state|status|condition) of) @unit(?: (?:doing|have|has|got|unit|card|like))?",
        r"how many (?:models |minis |men )?(?:(?:of|in|from) )?@unit(?: (?:models|men))?(?: (?:are|is|do(?:es)? (?:the )?.+ have))?(?: still)?(?: there)?(?: left| standing| alive| remaining)?",
        r"how many (?:models|minis|men|wounds) (?:do|does|are|is|left|are left)(?: (?:in|of|on))? @unit(?: (?:have|has))?(?: left)?",
    )),
)  # fmt: skip


def deed(said: Said, context: Context) -> object | None:
    """What the whole message says of a unit, if it is one of these."""
    because, said = _because(said)
    anyway, said = _anyway(said)
    for row in ROWS:
        match = find(said, context.units, *row.templates)
        if match is None or not _mine(said, match, row, context):
            continue
        request = row.build(said, match)
        return _with(request, anyway, because)
    return None


def _mine(said: Said, match: re.Match[str], row: Row, context: Context) -> bool:
    """Without a table only a declared charge or a distance is certain to be meant for one."""
    return bool(context.units) or row.build in (_charge, _distance)


def _because(said: Said) -> tuple[str | None, Said]:
    match = re.compile(r"[ ,;(-]*\b(?:because|since|reason:)[ ]+(?P<why>.+)$").search(said.text, said.start, said.end)
    if match is None:
        return None, said
    return said.words(match, "why")[:200], said.until(match.start())


def _anyway(said: Said) -> tuple[bool, Said]:
    match = re.compile(r"[ ,]*\b(?:anyway|all the same|regardless|even so|nevertheless|i insist)\b[ ,]*$").search(
        said.text, said.start, said.end
    )
    return (False, said) if match is None else (True, said.until(match.start()))


def _with(request: Any, anyway: bool, because: str | None) -> object:
    names = {item.name for item in fields(request)}
    values: dict[str, Any] = {}
    if anyway and "anyway" in names:
        values["anyway"] = True
    if because and "because" in names:
        values["because"] = because
    return replace(request, **values)


