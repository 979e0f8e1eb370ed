"""Critical hits and wounds: when a natural face is one, and what it does.

threshold = "critical" ["hits" | "wounds"] ["on"] up
effect    = which ("score" | "give" | …) amount "extra hits" | which "wound" | which "pierce"
which     = "critical hits" | "critical wounds" | "6s to hit" | "6s to wound"
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.misread import Misread
from bot.reading.clause import Clause, Found, Place, Says, clause
from resolver.amount import fixed

WEAPON = Place.WEAPON

_SIX = r"(?:(?:natural|unmodified|each|every|any|an?|on|rolls? of) ){0,4}"


def _sixes_of(step: str) -> str:
    """ "6s to hit", "natural 6s to hit", "hit rolls of 6"."""
    return (
        rf"(?:{_SIX}<many:six> (?:to|on the) {step}(?: roll)?|{_SIX}<n:six> to {step}(?: roll)?"
        rf"|{_SIX}{step} (?:rolls? )?of (?:an? )?<n:six>)"
    )


_SIX_HIT = _sixes_of("hit")
_CRITICAL_HIT = rf"{_SIX}critical (?:(?:to |on the )?hit|hit roll)"
_WOUNDS = rf"(?:{_SIX}critical (?:(?:to |on the )?wound|wound roll)|{_sixes_of('wound')})"
_HITS = rf"(?:{_CRITICAL_HIT}|{_SIX}critical|{_SIX_HIT})"
_ON = r"(?: (?:on|of) (?:an? )?<up>,?| \( (?:on|of) (?:an? )?<up> \))?"
_GIVE = (
    r"(?:score|scores|scoring|give|gives|get|gets|cause|causes|generate|generates|make|makes|deal|deals|do"
    r"|does|add|adds|are|is|=)"
)
_EXTRA = r"(?:extra|additional|more|bonus)"
_THEY = r"(?:(?: ,)?(?: and| which| that| who)?(?: they| these)?)"
_PIERCE = (
    r"(?:(?:pierce|pierces|piercing|are piercing)(?: armour)?|allow no save|get no save|have no save"
    r"|(?:ignore|bypass|bypasses|skip|skips) (?:all |any |the )?save|(?:can't|cannot"
    r"|can not) be save[d]?|are never saved)"
)


def _sixes(found: Found, step: str) -> Mapping[str, Any]:
    """ "6s to hit" stand for critical hits while the threshold is the highest face."""
    if found["up"]:
        threshold = found.up(f"a critical {step}")
        if found["six"] and found.up(f"a critical {step}", "six") != threshold:
            raise Misread(f'"{found.words}" names two faces', found.span, hint=f"critical {step}s on {threshold}+")
        return {f"critical_{step}": threshold}
    if not found["six"]:
        return {}
    face = found.up(f"a critical {step}", "six")
    if " " in found["six"]:  # "5s and 6s to hit"
        return {f"critical_{step}": face}
    if face != found.die:
        raise Misread(
            f"say from which face a {step} is critical", found.place("six"), hint=f"critical {step}s on {face}+"
        )
    return {f"sixes_{step}": True}


def _threshold(step: str) -> Says:
    def says(found: Found) -> Mapping[str, Any]:
        return {f"critical_{step}": found.up(f"a critical {step}")}

    return says


def _extra(found: Found) -> Mapping[str, Any]:
    extra = found.amount("the number of extra hits", 100) if found["amount"] else fixed(1)
    return {"extra_hits": extra, **_sixes(found, "hit")}


def _hits_in_all(found: Found) -> Mapping[str, Any]:
    """ "6s to hit count as two hits": as many, the critical hit itself among them."""
    return {"extra_hits": fixed(found.whole("hits", "the number of hits", 2, 101) - 1), **_sixes(found, "hit")}


def _hits_or_extra(found: Found) -> Mapping[str, Any]:
    """ "critical hits score 2 hits" may count the critical hit itself or not."""
    more = found.whole("hits", "the number of hits", 2, 101)
    on = f" on {found.up('a critical hit')}+, critical hits" if found["up"] else ""
    choices = (f"critical hits{on} score {number} extra hit{'s' if number > 1 else ''}" for number in (more - 1, more))
    return found.doubt(f'"{found.words}": with the critical hit itself, or beside it?', *choices)


def _hits_wound(found: Found) -> Mapping[str, Any]:
    return {"critical_hits_wound": True, **_sixes(found, "hit")}


def _pierce(found: Found) -> Mapping[str, Any]:
    return {"critical_wounds_pierce": True, **_sixes(found, "wound")}


def _wound_or_number(found: Found) -> Mapping[str, Any]:
    """ "critical hits wound 3+" may say what critical hits do, or be a number to wound."""
    number = f"wound {found.up('a wound number')}+"
    return found.doubt(
        f'"{found.words}": do critical hits wound, or is it a number?', f"critical hits wound, {number}", number
    )


CLAUSES: tuple[Clause, ...] = (
    clause("critical hits", WEAPON, r"critical hit ?(?:on |from |at )?(?:an? )?<up>", _threshold("hit")),
    clause("critical wounds", WEAPON, r"critical wound ?(?:on |from |at )?(?:an? )?<up>", _threshold("wound")),
    clause("critical hits", WEAPON, r"critical (?:to |on the )hit (?:on |from |at )?(?:an? )?<up>", _threshold("hit")),
    clause(
        "critical wounds", WEAPON, r"critical (?:to |on the )wound (?:on |from |at )?(?:an? )?<up>", _threshold("wound")
    ),
    clause("critical hits", WEAPON, r"critical (?:on |from |at )?(?:an? )?<up> to hit", _threshold("hit")),
    clause("critical wounds", WEAPON, r"critical (?:on |from |at )?(?:an? )?<up> to wound", _threshold("wound")),
    clause(
        "critical",
        WEAPON,
        r"critical (?:on |from |at |are |is )?(?:an? )?<up>",
        lambda found: {"critical": found.up("a critical")},
    ),
    clause(
        "extra hits", WEAPON, rf"{_HITS}{_ON}{_THEY} (?:{_GIVE} )?(?:an? |<amount> )?{_EXTRA} hit(?: each)?", _extra
    ),
    clause(
        "extra hits",
        WEAPON,
        rf"{_HITS}{_ON} {_GIVE} (?:an? |<amount> ){_EXTRA}(?= (?:,|;|\.|into|against|on|at|t ?[0-9])|$)",
        _extra,
    ),
    clause(
        "extra hits",
        WEAPON,
        rf"{_HITS}{_ON} (?:counts?|is|are|becomes?|is worth|are worth) (?:as )?<n:hits> hit",
        _hits_in_all,
    ),
    clause("extra hits", WEAPON, rf"{_HITS}{_ON} (?:{_GIVE}) <n:hits> hit", _hits_or_extra),
    clause("extra hits", WEAPON, rf"(?:<amount>|an?)? ?{_EXTRA} hit (?:on|for|from|per|with|each) {_HITS}", _extra),
    clause(
        "critical hits wound",
        WEAPON,
        rf"(?:{_CRITICAL_HIT}|{_SIX_HIT}){_ON} (?:auto |automatically |always )?wound(?: automatically"
        rf"| outright| auto)?(?! (?:on )?(?:an? )?[0-9]+[+s])"
        rf"|{_SIX}<many:six> (?:(?:auto|automatically|always) wound|wound (?:automatically|outright|auto))"
        rf"|critical{_ON} (?:(?:auto|automatically|always) wound|wound (?:automatically|outright|auto))",
        _hits_wound,
    ),
    clause("critical wounds pierce", WEAPON, rf"(?:{_WOUNDS}|critical){_ON}{_THEY} {_PIERCE}", _pierce),
    clause(
        "extra hits that wound",
        WEAPON,
        rf"{_HITS}{_ON} (?:{_GIVE} )?(?:an? |<amount> )?{_EXTRA} hit (?:and|, and|,)"
        r" (?:also |they |auto |always )*wound"
        r"(?: automatically| outright)?(?! (?:on |roll )?(?:an? )?[0-9])",
        lambda found: {**_extra(found), **_hits_wound(found)},
    ),
    clause(
        "extra hits that wound",
        WEAPON,
        rf"(?:{_CRITICAL_HIT}|{_SIX_HIT}){_ON} (?:auto |automatically |always )?wound"
        rf"(?: automatically| outright| auto)? (?:and|, and|,) (?:they |also )*{_GIVE} (?:an? |<amount> ){_EXTRA} hit"
        r"(?: each)?",
        lambda found: {**_extra(found), **_hits_wound(found)},
    ),
    clause(
        "critical hits wound",
        WEAPON,
        rf"(?P<which>critical hit|{_SIX_HIT}) wound (?:on )?(?:an? )?<many:up>",
        _wound_or_number,
    ),
)
