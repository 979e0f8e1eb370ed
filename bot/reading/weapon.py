"""What is said of a weapon group beside its attacks: the hit and wound numbers, strength, AP, damage, modifiers.

hit      = "hit" ["on"] up | up "to hit" | ("BS" | "WS" | "skill") up | "auto hit" | …
strength = ("S" | "strength") number
AP       = ("AP" | "armour penetration") ["-"] number | "-" number "AP" | "no AP"
damage   = "damage" amount | amount "damage" | "D" number | dice
wound    = "wound" up | up "to wound"
modifier = sign number "to" ("hit" | "wound")
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.reading import volume
from bot.reading.clause import Clause, Found, Place, clause
from bot.reading.volume import AUTO
from resolver.amount import fixed
from resolver.attack import LARGEST_STAT, MOST_DAMAGE

WEAPON = Place.WEAPON

_FOR = r"(?:on|for|with|of|is|at)"


def _hit(found: Found) -> Mapping[str, Any]:
    return {"hit": found.up("a hit number")}


def _shooting_hit(found: Found) -> Mapping[str, Any]:
    return {"hit": found.up("a hit number"), "melee": False}


def _melee_hit(found: Found) -> Mapping[str, Any]:
    return {"hit": found.up("a hit number"), "melee": True}


def _wound(found: Found) -> Mapping[str, Any]:
    return {"wound": found.up("a wound number")}


def _strength(found: Found) -> Mapping[str, Any]:
    return {"strength": found.whole("n", "strength", 1, LARGEST_STAT)}


def _ap(found: Found) -> Mapping[str, Any]:
    return {"ap": found.whole("n", "AP", 0, LARGEST_STAT)}


def _better_ap(found: Found) -> Mapping[str, Any]:
    number = found["n"]
    return found.doubt("AP is written as a minus: which is meant?", f"AP-{number}", "no AP")


def _damage(found: Found) -> Mapping[str, Any]:
    return {"damage": found.amount("damage", MOST_DAMAGE, "last" if found["last"] else "amount")}


def _stat_damage(found: Found) -> Mapping[str, Any]:
    """As a statistic D1, D2, D4, D5 are flat, D3 and D6 dice; other bare Dn are asked about."""
    sides = found.whole("n", "damage", 1, MOST_DAMAGE)
    if sides in (3, 6):
        return {"damage": found.amount("damage", MOST_DAMAGE, "die")}
    if sides in (1, 2, 4, 5):
        return {"damage": fixed(sides)}
    return {
        "damage": fixed(sides),
        **found.doubt(f"Is D{sides} a number or a die?", f"damage {sides}", f"damage d{sides}"),
    }


def _die_damage(found: Found) -> Mapping[str, Any]:
    """A die before the word damage: "d3 damage" is a die, "d2 damage" is asked about."""
    value = found.amount("damage", MOST_DAMAGE)
    if value.dice == 1 and value.sides in (1, 2, 4, 5) and not value.plus and found["amount"][0] == "d":
        return {
            "damage": value,
            **found.doubt(f"Is D{value.sides} a number or a die?", f"damage {value.sides}", f"damage d{value.sides}"),
        }
    return {"damage": value}


def to(step: str) -> Any:
    """What a modifier to one of the rolls says."""

    def says(found: Found) -> Mapping[str, Any]:
        sign = -1 if found["sign"] in ("-", "minus") else 1
        fields = {f"to_{step}": sign * found.whole("n", f"the size of a modifier to {step}", 0, 10)}
        if found["also"]:
            fields[f"to_{found['also']}"] = fields[f"to_{step}"]
        return fields

    return says


_ENDS = r"(?! (?:roll )?(?:on |of |for |with )?(?:an? )?[0-9])"  # "3+ wound 4+" are two numbers
_SIGN = r"(?:at |with )?(?P<sign>\+|-|plus|minus) ?<n>"

CLAUSES: tuple[Clause, ...] = (
    *volume.CLAUSES,
    clause("hit", WEAPON, rf"(?:to )?hit ?(?:roll )?(?:{_FOR} )?(?:an? |the )?<up>", _hit),
    clause("hit", WEAPON, r"(?:need )?(?:on |at )?(?:an? )?<many:up> (?:to|for) hit(?: roll)?", _hit),
    clause("hit", WEAPON, r"(?:(?:need|on) )?(?:an? )?<up> (?:to|for) hit", _hit),
    clause("hit", WEAPON, rf"<plus:up> hit{_ENDS}", _hit),
    clause("hit", WEAPON, rf"skill (?:{_FOR} )?<up>|(?:at |with )?(?:an? )?<plus:up> skill", _hit),
    clause("hit", WEAPON, rf"(?:bs|ballistic skill) ?(?:{_FOR} )?<up>", _shooting_hit),
    clause("hit", WEAPON, rf"(?:ws|weapon skill) ?(?:{_FOR} )?<up>", _melee_hit),
    clause(
        "auto hit",
        WEAPON,
        r"(?:auto|automatic|automatically|always) hit|autohits?|hit automatically|no hit roll|no roll to hit",
        lambda found: {"hit": AUTO},
    ),
    clause("strength", WEAPON, r"(?:s|strength) ?(?:of |is )?<n>", _strength),
    clause("strength", WEAPON, r"<n> strength", _strength),
    clause("AP", WEAPON, r"(?:ap|a p|armour (?:penetration|pen|piercing)) ?(?:of |is )?(?:- ?|minus )?<n>", _ap),
    clause("AP", WEAPON, r"(?:- ?|minus )?<n> (?:ap|armour (?:penetration|pen))", _ap),
    clause("AP", WEAPON, r"(?:ap|armour penetration) ?\+ ?<n>|\+<n> ap", _better_ap),
    clause("AP", WEAPON, r"no (?:ap|armour penetration)|ap (?:-|none|nil|nothing)(?! ?[0-9])", lambda found: {"ap": 0}),
    clause(
        "damage",
        WEAPON,
        r"(?:each|every)(?: hit| wound| attack| 1)? (?:do|does|doing|deals?|dealing|causes?|causing) <amount> damage",
        _die_damage,
    ),
    clause(
        "damage", WEAPON, r"damage ?(?:of |is |flat |a )?<last>(?: flat)?(?: each)?|d <dice:last>(?: each)?", _damage
    ),
    clause(
        "damage", WEAPON, r"(?:flat )?(?P<amount>[0-9]+) (?:points? of )?damage(?: each| a ?piece)?(?! model)", _damage
    ),
    clause(
        "damage",
        WEAPON,
        r"<dice:amount> (?:points? of )?damage(?: each| a ?piece)?(?! [0-9]+(?![0-9+s]| (?:model|wound|w|attack|inch|of"
        r"|strong|[0-9])\b))",
        _die_damage,
    ),
    clause("damage", WEAPON, r"(?P<die>d ?<n>)(?: each)?", _stat_damage),
    clause("damage", WEAPON, r"(?P<amount>[0-9]+) d(?= (?:,|;|\.|into|against|on|ap|s ?[0-9])|$)", _damage),
    clause(
        "damage",
        WEAPON,
        r"(?P<amount>d(?:3|6)(?:\+[0-9]+| \+ ?[0-9]+(?! (?:to|ap|attack|damage|extra|more)\b)))(?: each)?",
        _damage,
    ),
    clause("wound", WEAPON, r"(?:to )?wound (?:roll )?(?:on|for|with) (?:an? |the )?<up>", _wound),
    clause("wound", WEAPON, r"wound ?<many:up>", _wound),
    clause("wound", WEAPON, r"(?:need )?(?:on |at )?(?:an? )?<many:up> (?:to|for) wound(?: roll)?", _wound),
    clause("wound", WEAPON, r"(?:(?:need|on) )?(?:an? )?<up> (?:to|for) wound", _wound),
    clause("wound", WEAPON, rf"<plus:up> wound{_ENDS}", _wound),
    clause(
        "to hit",
        WEAPON,
        rf"{_SIGN} to (?:the |be )?hit(?: roll)?(?: and (?:to )?(?P<also>wound)(?: roll)?)?",
        to("hit"),
    ),
    clause("to hit", WEAPON, r"(?P<sign>[+-])<n> hit(?: roll)?(?! (?:on|each|lost|per|for|if|when))", to("hit")),
    clause(
        "to wound",
        WEAPON,
        rf"{_SIGN} to (?:(?:the )?wound(?: roll)?|be wounded)(?: and (?:to )?(?P<also>hit)(?: roll)?)?",
        to("wound"),
    ),
    clause("melee", WEAPON, r"(?:in )?(?:a )?(?:melee|close combat|hand to hand)", lambda found: {"melee": True}),
    clause("verb", WEAPON, r"attack (?:with|using)|w(?= [0-9]\S* (?:attack|dice)\b)", lambda found: {}),
    clause("label", WEAPON, r"first(?= [0-9]+ (?:attack|model))", lambda found: {}),
    clause("label", WEAPON, r"(?:the |my )?(?:first|1st) (?:weapon|gun|group|profile) [:,-]", lambda found: {}),
    clause("label", WEAPON, r"(?:weapon|gun|group|profile) 1 [:,-]|next [:,-]", lambda found: {}),
    clause("shooting", WEAPON, r"(?:in )?(?:the )?shooting|shoots?|fir(?:e|es|ing)", lambda found: {"shooting": True}),
    clause(
        "spill",
        WEAPON,
        r"(?:(?:excess|extra|surplus|spare|leftover) )?damage (?:that )?(?:spill|spills|spilling|carries|carry"
        r"|carrying)(?: over| on)?(?: (?:to|into|onto) the next(?: model| 1)?)?"
        r"|(?:spill|spills|spilling)(?: over| damage)?",
        lambda found: {"spills": True},
    ),
)
