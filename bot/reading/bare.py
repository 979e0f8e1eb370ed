"""Clauses that mean one thing in the attack part and another in the target part."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.reading import target, wrong
from bot.reading.clause import Clause, Doubt, Found, Place, clause
from bot.reading.weapon import to
from resolver.attack import MOST_DAMAGE, MOST_MODELS


def _bare_hit(found: Found) -> Mapping[str, Any]:
    return {"bare": found.up("a hit number")}


def _bare_save(found: Found) -> Mapping[str, Any]:
    return {"bare": found.up("a save")}


def _hit_or_save(found: Found) -> Mapping[str, Any]:
    number = found.up("a number")
    return found.doubt(f'"{found.words}": to hit or to save?', f"hit {number}+", f"save {number}+")


def _reduce(found: Found) -> Mapping[str, Any]:
    return {"reduce": found.whole("n", "a damage reduction", 0, MOST_DAMAGE)}


def _whose_damage(found: Found) -> Mapping[str, Any]:
    number = found["n"]
    message = f'"{found.words}": is it the damage, or taken off it?'
    end = len(found.line.message.text)
    taken_off = ((found.span, ""), ((end, end), f", damage -{number}"))
    found.doubts.append(Doubt(message, (((found.span, f"damage {number}"),), taken_off)))
    return {}


_SIGNED = (
    r"(?:(?:all|the|each) )?damage (?:(?:is |are |gets? )?(?:reduced|lowered) by |reduction (?:of )?|- ?|minus )<n>"
    r"|(?:- ?|minus )<n> (?:to |from )?damage|<n> (?:less damage|damage less)"
    r"|(?:reduces?|lowers?) (?:(?:all|the|each|any) )?damage by <n>"
)

_OF_THEM = r"(?:all )?<n:one> of (?:them|us|these|those|my|our|their|theirs|ours|mine|yours)"
# "2 of them in cover" speaks of a part of the unit, which no clause can
_A_PART = (
    r"(?! (?:and|who|that|which)?(?: ?(?:are|is|in|with|have|has|had|behind|get|got|hit|on|lost|out"
    r"|not|dead|gone|reroll|ignore))\b)"
)


def _of_them(found: Found) -> Mapping[str, Any]:
    return {"models": found.whole("one", "the number of models", 1, MOST_MODELS)}


def _then_wound(found: Found) -> Mapping[str, Any]:
    return {"wound": found.up("a wound number")}


def _three_numbers(found: Found) -> Mapping[str, Any]:
    """ "4+/3+/5+": to hit, to wound and to save, in the order of rolling."""
    return {
        "hit": found.up("a hit number", "hit"),
        "wound": found.up("a wound number", "wound"),
        "save": found.up("a save", "save"),
    }


def _two_saves(found: Found) -> Mapping[str, Any]:
    """ "4+ fixed saves on 5s" may be two clauses either way."""
    first, second = found.up("a save"), found.up("a save", "second")
    return found.doubt(
        f'"{found.words}": which number is the fixed save?',
        f"fixed save {first}+, save {second}+",
        f"save {first}+, fixed save {second}+",
    )


# "on 3s, 4s, 5s": three bare numbers come in the order of rolling
_AND = r"(?: ,| /| then|(?: ,)? and)?"
_IN_ORDER = (
    rf"(?:on |need )?(?P<hit>[0-9]+s){_AND} (?P<wound>[0-9]+s){_AND} (?P<save>[0-9]+s)"
    r"(?! (?:to|for|save|saves|armour|fixed|ignore|hit|wound|/|,? ?[0-9]+s)\b)"
)

HERE_WEAPON: tuple[Clause, ...] = (
    *wrong.IN_WEAPON,
    clause(
        "to wound", Place.WEAPON, r"(?P<sign>[+-])<n> wound(?: roll)?(?! (?:on|lost|each|per|for|if|when))", to("wound")
    ),
    clause("hit, wound and save", Place.WEAPON, _IN_ORDER, _three_numbers),
    clause("hit, wound and save", Place.WEAPON, r"<plus:hit> / <plus:wound> / <plus:save>(?! [/0-9])", _three_numbers),
    clause(
        "hit, wound and save",
        Place.WEAPON,
        r"hit (?:on )?<n:hit>(?: ,)?(?: and)? wound (?:on )?<n:wound>(?: ,)?(?: and)? save (?:on )?<n:save>"
        r"(?! (?:model|w))",
        _three_numbers,
    ),
    clause("models", None, _OF_THEM + r"(?! (?:are |is )?(?:in cover|in the open|behind|lost|dead|gone)\b)", _of_them),
    clause(
        "wound", Place.WEAPON, r"then (?:need |on )?(?:an? )?<many:up>(?! (?:to|save|armour|fixed|ignore))", _then_wound
    ),
    clause("bare number", None, r"(?:(?:need|on|at) )?(?:an? )?<many:up>", _bare_hit),
    clause("bare number", None, r"(?:need|on) (?:an? )?<up>(?! (?:model|of|man|inch))", _bare_hit),
    clause("damage reduction", None, _SIGNED, _whose_damage),
)

HERE_TARGET: tuple[Clause, ...] = (
    *wrong.IN_TARGET,
    clause("models", None, _OF_THEM + _A_PART, _of_them),
    clause("two saves", None, r"<many:up> fixed save on (?:an? )?(?P<second>[0-9]+[+s])", _two_saves),
    clause("bare number", None, r"(?:an? )?<plus:up>", _bare_save),
    clause("bare number", None, r"(?:need|on) (?:an? )?<up>(?! (?:model|of|man|inch))|<many:up>", _hit_or_save),
    clause("damage reduction", Place.TARGET, _SIGNED, _reduce),
    *target.WHERE_SPOKEN_OF,
)
