"""Range, distance, and what they and the size of the target do to the number of attacks.

range    = "range" inches | inches "range"
distance = "at" inches | inches "away" | "distance" inches | "from" inches | "within half range"
half     = "half range" bonus | bonus ("at" | "within") "half range"
bonus    = "double attacks" | "+" amount "attacks"
per five = "+" number "attacks" ("per" | "for every") "5" ("targets" | …)
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.misread import Misread
from bot.reading.clause import Clause, Found, Place, clause
from resolver.amount import fixed

WEAPON = Place.WEAPON
SHOT = Place.SHOT

_IN = r"(?: ?inch)?"
_AT_HALF = r"(?:at|within|in|inside|when (?:at|within|in)|if (?:at|within|in)) half(?: the)?(?: range)?"
_COUNTED = (
    r"(?:model|of|man|attack|strong|enem(?:y|ies)|target|opponents?|foes?|person|unit"
    r"|squad|team|gun|weapon)\b"
)
_STATS = r"(?:t|toughness|w|sv|save) ?[0-9]+\+? "  # "at 5 T4 models" counts the target
_ITS = r"(?: (?:the|their|its|his|our|my))?"
_DOUBLE = (
    rf"(?:double{_ITS}(?: attack| number of attack)?|(?:attack )?(?:are |is )?doubled|doubles{_ITS}(?: attack)?"
    r"|2 times (?:the |as many )?attack)"
)
_PLUS = (
    r"(?:(?:\+|plus) ?<amount>|<amount> (?:extra|additional|more|bonus)|an? (?:extra|additional"
    r"|more)) attack(?: each)?"
)


def _range(found: Found) -> Mapping[str, Any]:
    inches = found.inches("range")
    if inches < 0.5:
        raise Misread("range is 0.5 to 1000 inches", found.place("num"))
    return {"range": inches}


def _distance(found: Found) -> Mapping[str, Any]:
    return {"distance": found.inches("the distance")}


def _distance_or_models(found: Found) -> Mapping[str, Any]:
    """ "at 10 T3" may be ten models of T3."""
    number = found.whole("n", "the number behind at", 1, 1000)
    question = f'"{found.words}": the distance, or that many models?'
    return found.doubt(question, f"at {number}, into", f"into {number} models")


def _plus(found: Found) -> Mapping[str, Any]:
    return {"half_plus": found.amount("a half-range bonus", 100) if found["amount"] else fixed(1)}


def _per_five(found: Found) -> Mapping[str, Any]:
    if found["five"] != "5":
        raise Misread(
            "the bonus counts full fives of the target's models", found.place("five"), hint="+1 attack per 5 targets"
        )
    return {"per_five": found.whole("one", "a bonus per five targets", 1, 100) if found["one"] else 1}


CLAUSES: tuple[Clause, ...] = (
    clause("distance", SHOT, rf"at <n>(?= (?:t|toughness) ?[0-9])(?! (?:{_STATS})*{_COUNTED})", _distance_or_models),
    clause("range", WEAPON, rf"range ?(?:of |is )?<num>{_IN}", _range),
    clause("range", WEAPON, rf"<num>{_IN} range(?! model)", _range),
    clause("range", WEAPON, r"<num> inch (?:ranged )?(?:gun|weapon|model)", _range),
    clause(
        "distance",
        SHOT,
        rf"(?:at|from|distance|from a distance of|at a distance of|distance of) ?<num>{_IN}(?: away| distance"
        rf"| off)?(?! (?:{_STATS})*{_COUNTED})",
        _distance,
    ),
    clause("distance", SHOT, rf"<num>{_IN} (?:away|off|apart|distant)", _distance),
    clause("within half range", SHOT, r"(?:at|within|in|inside) half range", lambda found: {"half": True}),
    clause(
        "half range",
        WEAPON,
        rf"(?:{_AT_HALF}|half range) (?:has |have |gets? |gives? |is )?{_DOUBLE}",
        lambda found: {"half_double": True},
    ),
    clause("half range", WEAPON, rf"{_DOUBLE} {_AT_HALF}", lambda found: {"half_double": True}),
    clause("half range", WEAPON, rf"(?:{_AT_HALF}|half range) (?:has |have |gets? |gives? |is )?{_PLUS}", _plus),
    clause("half range", WEAPON, rf"{_PLUS} {_AT_HALF}", _plus),
    clause(
        "per five targets",
        WEAPON,
        r"(?:(?:\+|plus) ?<one>(?: (?:extra|more|additional))?|(?:(?P<one>an|a|[0-9]+) )?(?:extra|more|additional"
        r"|bonus))"
        r"(?: attack)? (?:per|for every|for each|every|each) (?:full )?<n:five> "
        r"(?:enemy |target |enemies|of the )?(?:model|target|enemies|enemy|of them)?(?: in the (?:unit|target))?"
        r"(?: each)?",
        _per_five,
    ),
)
