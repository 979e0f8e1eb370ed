"""One number of a unit or weapon on the table: "what save do the Ember Crew have?", "what does the rifle do?".

stat   = "what is the" STAT "of" NAME | "what" STAT "do" NAME "have" | NAME"'s" STAT
move   = "how far can" NAME "move"
weapon = "what does" WEAPON "do" | "what is" WEAPON | "how far does" WEAPON "shoot"
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from bot.reading.context import Context
from bot.reading.names import find, known
from bot.reading.said import Said
from bot.requests.glance import StatOf

STATS: Mapping[str, str] = {
    "move": r"moves?|movement|speed|m",
    "toughness": r"toughness|t",
    "save": r"(?:armour )?saves?|saving throws?|armour|sv|fixed saves?",
    "wounds": r"wounds? (?:each|per model|characteristic|statistic)|wounds|w",
    "range": r"ranges?",
    "attacks": r"(?:number of )?(?:attacks|shots)|rate of fire",
    "strength": r"strength|s",
    "AP": r"ap|armour penetration",
    "damage": r"damage",
    "skill": r"(?:weapon |ballistic )?skill|bs|ws|to hit",
    "numbers": r"numbers|stats|statistics|stat ?lines?|profile",
}
_STAT = rf"(?P<stat>{'|'.join(STATS.values())})"
_BE = r"(?:'s|s| is| are)"
_END = r"(?: (?:again|now|please|on|at))*"
_OF = (
    rf"(?:what{_BE} )?(?:the )?{_STAT} (?:of|for|on) @unit{_END}",
    rf"(?:what{_BE} )?@unit's? {_STAT}{_END}",
    rf"(?:what|which|how much) {_STAT} (?:do|does|has|have|is|are) @unit(?: (?:have|has|got|get|use))?{_END}",
    rf"what (?:do|does) @unit (?:have|has) (?:for|as) (?:an? |its |their )?{_STAT}{_END}",
)
_MOVES = (
    r"how (?:far|fast|much|many inches) (?:can|may|do|does|could|will) @unit (?:still )?"
    rf"(?:move|go|walk|run|travel|advance)(?: (?:this turn|in a turn|per turn|each turn|a turn))?{_END}",
)
_WEAPONS = (
    rf"what (?:do|does|can|will) @unit do{_END}",
    rf"what(?:'s| is| are) (?=(?:the|my|our|your|their) )@unit{_END}",
    rf"(?:how far|what range) (?:do|does|can|will) @unit (?:shoot|fire|reach|carry|have)?{_END}",
    rf"how (?:good|strong|many (?:shots|attacks|dice)) (?:is|are|do|does) @unit(?: (?:have|get|fire|roll|make))?{_END}",
    rf"(?:tell me about|show(?: me)?|describe|explain) @unit{_END}",
)


def stats_asked(said: Said, context: Context) -> StatOf | None:
    """What is asked of a unit or a weapon of the open table, if it is one of its numbers."""
    if not context.units:
        return None
    names = (*context.units, *context.parts)
    match = find(said, names, *_OF)
    if match is not None:
        request = StatOf(_stat(match["stat"]), said.words(match, "unit"))
        whole = request.stat == "numbers" and known(request.unit, context.units)
        return None if whole else request  # the unit is shown
    match = find(said, context.units, *_MOVES)
    if match is not None:
        return StatOf("move", said.words(match, "unit"))
    match = find(said, context.parts, *_WEAPONS) if context.parts else None
    return None if match is None else StatOf("numbers", said.words(match, "unit"))


def _stat(words: str) -> str:
    return next(name for name, pattern in STATS.items() if re.fullmatch(pattern, words))
