"""What sounds like a clause and is none: complained of with the clause that would say it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.misread import Misread
from bot.reading.clause import Clause, Found, Says, clause


def _is_no_clause(message: str, hint: str) -> Says:
    def says(found: Found) -> Mapping[str, Any]:
        place = found.place("guilty") if found["guilty"] else found.span
        raise Misread(message.format(words=found.words), place, hint=hint)

    return says


def _fixed_or_ignore(found: Found) -> Mapping[str, Any]:
    number = found.up("a save")
    question = f'"{found.words}": a fixed save, or an ignore roll?'
    return found.doubt(question, f"fixed save {number}+", f"ignore {number}+")


IN_WEAPON: tuple[Clause, ...] = (
    clause(
        "as much again",
        None,
        r"(?P<guilty>x ?<n>)(?! ?model)",
        _is_no_clause('"{words}": say how many attacks there are in all', "20 attacks"),
    ),
)
IN_TARGET: tuple[Clause, ...] = (
    clause(
        "plain modifier",
        None,
        r"[+-]<n> (?P<guilty>wound)(?! (?:on|lost|each))",
        _is_no_clause('"{words}" is read as nothing: say to which roll', "+1 to wound"),
    ),
)

CLAUSES: tuple[Clause, ...] = (
    clause("fixed save or ignore", None, r"<plus:up> \+(?= (?:,|;|\.|/|and|w ?[0-9]|t ?[0-9])|$)", _fixed_or_ignore),
    clause(
        "as many again",
        None,
        r"<amount> attack(?: each)? ,? ?(?P<guilty><n> times)",
        _is_no_clause('"{words}": say how many attacks there are in all', "20 attacks"),
    ),
    clause(
        "modifier of nothing",
        None,
        r"[+-][0-9]+(?= (?:,|;|\.|into|against)|$)",
        _is_no_clause('"{words}" to what: to hit, or to wound?', "+1 to hit"),
    ),
    clause(
        "models gone",
        None,
        r"(?:of which |with |the |my )?<n>(?: model| of (?:them|us|those|these))?(?: are| is)? (?:already |now )?"
        r"(?P<guilty>dead|killed|slain|destroyed)(?: already| now)?",
        _is_no_clause('"{words}": say how many models are left', "3 models"),
    ),
    clause(
        "bonus to save",
        None,
        r"(?:[+-]|plus|minus) ?<n> (?:to |on )?(?:the |their |armour )?save|save [+-]<n>",
        _is_no_clause('"{words}" is no clause: what helps a save is cover', "cover"),
    ),
    clause(
        "re-roll of other faces",
        None,
        r"reroll (?:all |any )?(?P<guilty>(?:[02-9]|[1-9][0-9]+)[s+])(?: to (?:hit|wound|save))?",
        _is_no_clause("re-rolls are of 1s, of failed or of non-critical dice", "re-roll 1s to hit"),
    ),
    clause(
        "part of a unit",
        None,
        r"(?P<guilty>(?:an?|[0-9]+) of (?:them|these|those|the model)) (?:who |that |which )?"
        r"(?:are |is |have |has |in cover|behind|ignore|reroll|with cover|dead|gone)",
        _is_no_clause(
            "what holds of a part of the unit is said group by group", "2 models in cover then 3 models save 4+"
        ),
    ),
    clause(
        "re-roll of some dice",
        None,
        r"reroll (?P<guilty>[2-9]|[1-9][0-9]+) (?:failed |missed )?(?:hit|wound|save|dice|miss|misses)",
        _is_no_clause("re-rolls are of one die, of 1s, of failed or of non-critical dice", "re-roll one failed hit"),
    ),
    clause(
        "re-roll of a save",
        None,
        r"reroll (?:all |any )?(?P<guilty>(?:non critical|noncrit)) save",
        _is_no_clause("a save has no criticals", "re-roll failed saves"),
    ),
    clause(
        "plain modifier",
        None,
        r"(?:hit|wound) (?P<guilty>[+-][0-9]+)(?! to)",
        _is_no_clause('"{words}" is read as nothing: say to which roll', "+1 to hit"),
    ),
    clause(
        "more damage",
        None,
        r"\+<n> (?:to )?damage|damage \+ ?<n>",
        _is_no_clause('"{words}" is no clause: give the whole damage', "damage d6+1"),
    ),
    clause(
        "spaced minus",
        None,
        r"- [2-9] to (?:hit|wound)",
        _is_no_clause('is "{words}" a modifier or a number to roll?', "-1 to hit, or hit 4+"),
    ),
    clause(
        "wounds of a unit",
        None,
        r"<n> (?:wound|w) (?:in all|in total|total|altogether|between them|left|remaining)",
        _is_no_clause('"{words}": wounds are those of one model', "2 wounds each, 1 wound lost"),
    ),
    clause(
        "range or distance",
        None,
        r"at range <num>(?: ?inch)?",
        _is_no_clause('"{words}": the range of the weapon, or the distance?', "range 30, at 14"),
    ),
)
