"""What one die needs: to hit, to wound, to save.

needs = ["needs" | "what do I need" | …] [check] clause*
A bare strength against a toughness, or a bare save against an AP, asks the same.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bot.misread import Misread, Unsure
from bot.reading import rerolls, target, weapon
from bot.reading.ask import GAP, ask
from bot.reading.atoms import Line
from bot.reading.clause import Found, clause
from bot.reading.context import Context
from bot.reading.draft import Draft, Part
from bot.reading.gather import Table, gather
from bot.reading.intent import Intent, intent_of
from bot.reading.message import Message
from bot.reading.synonyms import line_of
from bot.requests.dice import Needs
from resolver.attack import Reroll

_NAMES = frozenset(
    (
        "hit",
        "strength",
        "AP",
        "wound",
        "to hit",
        "to wound",
        "melee",
        "toughness",
        "save",
        "fixed save",
        "cover",
        "no cover",
    )
)
_ASKING = (
    "what what's which need number do does did would will should against into onto on at when becomes become attack"
    " target then saving roll throw how if was it again remind hard easy is are likely chance odds chances of that can"
    " could hurt shoot shooting required so guy probability"
)
_FILLER = frozenset(_ASKING.split())
_ASKS = re.compile(r"\b(?:what|what's|which|how)\b(?=.* (?:need|hit|wound|save|roll)\b)| need what\b")
_LONGEST = 30  # words and signs of a question that is not put as one from its beginning
_WHETHER = re.compile(r"\W*(?:do|does|can)\b")  # yes or no: a question about the rules
_WOUND = frozenset(["strength", "toughness", "to_wound", "reroll_wound", "wound"])
_SAVE = frozenset(["save", "ap", "cover", "fixed_save", "reroll_save"])


def _check(found: Found) -> Mapping[str, Any]:
    return {"check": found["check"]}


def _number(found: Found) -> Mapping[str, Any]:
    return {"number": found.up("a number to roll")}


CLAUSES = Table(
    (
        *(one for one in (*weapon.CLAUSES, *target.CLAUSES) if one.name in _NAMES),
        *rerolls.CLAUSES,
        clause("check", None, r"(?:to |my |the |our |their )?(?P<check>hit|wound|save)(?: roll)?", _check),
        clause(
            "save",
            None,
            r"(?:an? )?<plus:up> armour(?! penetration)",
            lambda found: {"save": found.up("a save")},
        ),
        clause(
            "re-roll",
            None,
            r"(?:with )?(?:an? |the )?reroll(?: it| the (?:roll|dice))?",
            lambda found: {"reroll": Reroll.FAILED},
        ),
        clause("number", None, r"(?:on )?(?:an? )?<many:up>|on (?:an? )?<up>", _number),
    )
)


def needs_family(message: Message, context: Context) -> object | None:
    """What one die needs, if that is asked."""
    whole = line_of(message, context.synonyms)
    intent, line = intent_of(whole)
    if intent in (Intent.ROLL, Intent.COMPARE) or _is_attack(whole):
        return None
    if intent is Intent.NEEDS:
        return needs_of(line, context)
    if len(whole.atoms) > _LONGEST:
        return None
    found = _bare(whole, context)
    return needs_of(whole, context) if found is None and _ASKS.search(whole.text) else found


def _is_attack(line: Line) -> bool:
    """Whether a number of attacks is spoken of."""
    pairs = zip(line.atoms, line.atoms[1:], strict=False)
    return any(second.text in ("attack", "dice") and first.text[-1].isdigit() for first, second in pairs)


def _bare(line: Line, context: Context) -> Needs | None:
    """Strength against toughness, or a save against AP, with nothing else said."""
    try:
        part, draft = gather(line, CLAUSES, context.ruleset.die, _FILLER)
    except Misread:
        return None
    said = set(part.fields) - {"reroll", "check"}
    wound = part.get("check") != "save" and {"strength", "toughness"} <= said <= _WOUND | {"number"}
    wound = wound and not (part.get("check") and "number" not in said and _WHETHER.match(line.message.plain))
    save = part.get("check") in (None, "save") and "save" in said <= _SAVE and len(said) > 1
    number = "number" in said and len(said) > 1 and said <= {"number", *_SAVE} - {"save"}
    return _asked(line, part, draft) if wound or save or number else None


def needs_of(line: Line, context: Context) -> Needs:
    """The check that a question is about, with what bears on it."""
    part, draft = gather(line, CLAUSES, context.ruleset.die, _FILLER)
    return _asked(line, part, draft)


def _asked(line: Line, part: Part, draft: Draft) -> Needs:
    ask(draft, line)
    checks = [part.get("check")] if part.get("check") else _checks(part)
    if checks == ["hit"] and {"strength", "toughness"} <= set(part.fields) and not {"hit", "to_hit"} & set(part.fields):
        note = "strength against toughness is the wound roll, so that is what I tell"
        return replace(_wound(line, part, None, part.get("reroll")), notes=(note,))
    if len(checks) == 1:
        return _needs(line, part, checks[0])
    if not checks and "number" not in part.fields:
        raise Misread("What are the numbers?", hint="needs S5 against T4", missing="strength", pending=_pending(line))
    number = part.get("number")
    choices = [str(_needs(line, part, check)) for check in checks] or [
        f"needs {step} {number}+" for step in ("hit", "save")
    ]
    raise Unsure("Which roll?", tuple(choices))


def _checks(part: Part) -> list[str]:
    """The checks that the words could be about."""
    said = set(part.fields)
    found = []
    if said & {"hit", "to_hit", "reroll_hit"}:
        found.append("hit")
    if said & _WOUND:
        found.append("wound")
    if said & (_SAVE - {"ap"}) or "ap" in said <= {"ap", "number"}:
        found.append("save")
    return found


def _needs(line: Line, part: Part, check: str) -> Needs:
    number = part.get(check, part.get("number"))
    reroll = part.get(f"reroll_{check}", part.get("reroll"))
    if check == "hit":
        _require(line, part, number, "hit", "What is the hit number?", "hit 4+")
        melee = bool(part.get("melee", False))
        return Needs(check=check, number=number or None, modifier=part.get("to_hit", 0), reroll=reroll, melee=melee)
    if check == "wound":
        return _wound(line, part, number, reroll)
    if part.get("fixed_save") is None:
        _require(line, part, number, "save", "What is the save?", "save 3+")
    return Needs(
        check=check,
        number=number or None,
        ap=part.get("ap", 0),
        fixed_save=part.get("fixed_save"),
        cover=part.get("cover", False),
        reroll=reroll,
        melee=bool(part.get("melee", False)),
    )


def _wound(line: Line, part: Part, number: int | None, reroll: Any) -> Needs:
    if number is not None and {"strength", "toughness"} <= set(part.fields):
        note = f"{number}+ is what you asked about; strength against toughness decides"
        return replace(_wound(line, part, None, reroll), notes=(note,))
    if number is None:
        _require(line, part, part.get("strength"), "strength", "What is the strength?", "S5")
        _require(line, part, part.get("toughness"), "toughness", "What is the toughness?", "T4")
    return Needs(
        check="wound",
        number=number,
        strength=part.get("strength"),
        toughness=part.get("toughness"),
        modifier=part.get("to_wound", 0),
        reroll=reroll,
    )


def _require(line: Line, part: Part, value: object, name: str, question: str, hint: str) -> None:
    if value is None:
        raise Misread(question, hint=hint, missing=name, pending=_pending(line))


def _pending(line: Line) -> str:
    return f"{line.message.text.rstrip(' ?')} {GAP}"
