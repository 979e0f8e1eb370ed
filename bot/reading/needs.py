"""What a die needs: to hit, to wound, to save; one of them, or all that are spoken of.

needs = ["needs" | "what do I need" | …] [check] clause*
A bare strength against a toughness, or a bare save against an AP, asks the same.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bot.misread import Misread, Unsure
from bot.reading import criticals, ranges, rerolls, target, weapon
from bot.reading.ask import GAP, ask
from bot.reading.atoms import Line
from bot.reading.clause import Doubt, Found, clause
from bot.reading.context import Context
from bot.reading.doubts import one_critical
from bot.reading.draft import Draft, Part
from bot.reading.gather import Table, gather
from bot.reading.intent import Intent, intent_of
from bot.reading.message import Message
from bot.reading.synonyms import line_of
from bot.requests.dice import Needs, SeveralNeeds
from bot.wording import CLAUSES as WORDS
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
        "critical",
        "critical hits",
        "critical wounds",
    )
)
_CARD_NAMES = frozenset(
    (
        "damage",
        "models",
        "wounds",
        "range",
        "distance",
        "ignore",
        "half damage",
        "lost",
        "spill",
        "extra hits",
        "extra hits that wound",
        "critical hits wound",
        "critical wounds pierce",
    )
)
_VERB = re.compile(r"\W*needs?\b")
_ASKING = (
    "what what's which need number do does did would will should against into onto on at when becomes become attack"
    " target then saving roll throw how if was it again remind hard easy is are likely chance odds chances of that can"
    " could hurt shoot shooting required so guy probability"
)
_FILLER = frozenset(_ASKING.split())
_ASKS = re.compile(r"\b(?:what|what's|which|how)\b(?=.* (?:need|hit|wound|save|roll)\b)| need what\b")
_LONGEST = 30  # words and signs of a question that is not put as one from its beginning
_WHETHER = re.compile(r"\W*(?:do|does|can)\b")  # yes or no: a question about the rules
_STEPS = ("hit", "wound", "save")
# The words that ask for a step; AP and cover alone ask for the save where nothing else is spoken of.
_HIT = frozenset(["hit", "to_hit", "reroll_hit", "critical_hit"])
_WOUND = frozenset(["strength", "toughness", "to_wound", "reroll_wound", "wound", "critical_wound"])
_SAVE = frozenset(["save", "ap", "cover", "fixed_save", "reroll_save"])
_BESIDE = frozenset(["ap", "cover"])
_OF = {"hit": _HIT, "wound": _WOUND, "save": _SAVE}
_ANYWHERE = frozenset(["number", "reroll", "melee", "no_rerolls", *(f"check_{step}" for step in _STEPS)])


def _check(found: Found) -> Mapping[str, Any]:
    return {f"check_{found['check']}": True}


def _number(found: Found) -> Mapping[str, Any]:
    return {"number": found.up("a number to roll")}


CLAUSES = Table(
    (
        *(one for one in (*weapon.CLAUSES, *target.CLAUSES, *criticals.CLAUSES) if one.name in _NAMES),
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


# With all that may stand on a card: where numbers are asked for in so many words, it is named as beside the matter.
CARD = Table(
    (
        *CLAUSES.clauses,
        *(
            one
            for one in (*weapon.CLAUSES, *criticals.CLAUSES, *ranges.CLAUSES, *target.CLAUSES)
            if one.name in _CARD_NAMES
        ),
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


def _bare(line: Line, context: Context) -> Needs | SeveralNeeds | None:
    """Strength against toughness, or a save against AP, with nothing else said."""
    try:
        part, draft = gather(line, CLAUSES, context.ruleset.die, _FILLER)
    except Misread:
        return None
    named = _named(part)
    said = set(part.fields) - {"reroll", *(f"check_{step}" for step in _STEPS)}
    wound = "save" not in named and {"strength", "toughness"} <= said <= _WOUND | {"number"}
    wound = wound and not (named and "number" not in said and _WHETHER.match(line.message.plain))
    save = named in ([], ["save"]) and "save" in said <= _SAVE and len(said) > 1
    number = "number" in said and len(said) > 1 and said <= {"number", *_SAVE} - {"save"}
    return _asked(line, part, draft) if wound or save or number else None


def needs_of(line: Line, context: Context) -> Needs | SeveralNeeds:
    """The checks that a question is about, with what bears on them."""
    try:
        part, draft = gather(line, CLAUSES, context.ruleset.die, _FILLER)
    except Misread:
        if not _VERB.match(line.message.plain):
            raise
        part, draft = gather(line, CARD, context.ruleset.die, _FILLER)
    return _asked(line, part, draft)


def _named(part: Part) -> list[str]:
    """The steps that are called by name, without a number."""
    return [step for step in _STEPS if part.get(f"check_{step}")]


def _asked(line: Line, part: Part, draft: Draft) -> Needs | SeveralNeeds:
    one_critical(draft, part)
    checks = _checks(part)
    if len(checks) > 1:
        checks = _with_bare(draft, part, checks)
    ask(draft, line)
    if checks == ["hit", "wound"] and _named(part) == ["hit"] and not _HIT & set(part.fields):
        note = "strength against toughness is the wound roll, so that is what I tell"
        return _noted(replace(_needs(line, part, "wound"), notes=(note,)), part, ["wound"])
    if not checks and "number" not in part.fields:
        raise Misread("What are the numbers?", hint="needs S5 against T4", missing="strength", pending=_pending(line))
    if not checks:
        raise Unsure("Which roll?", tuple(f"needs {step} {part.get('number')}+" for step in ("hit", "save")))
    found = [_needs(line, part, check) for check in checks]
    found[-1] = _noted(found[-1], part, checks)
    return found[0] if len(found) == 1 else SeveralNeeds(tuple(found))


def _checks(part: Part) -> list[str]:
    """The steps that are asked for: by name, or by words of their own. A named one needs nothing of the others."""
    said, named = set(part.fields), _named(part)
    own = [step for step in _STEPS if said & (_OF[step] - _BESIDE)]
    if not own and not named and said & _BESIDE:
        own = ["save"]
    return [step for step in _STEPS if step in named or (step in own and (not named or _whole(part, step)))]


def _whole(part: Part, step: str) -> bool:
    """Whether all that a step needs is said."""
    said = set(part.fields)
    if step == "wound":
        return "wound" in said or {"strength", "toughness"} <= said
    return step in said or (step == "save" and "fixed_save" in said)


def _with_bare(draft: Draft, part: Part, checks: list[str]) -> list[str]:
    """Of several steps, ask which one a bare number or a re-roll is of; a number is of the only one without any."""
    number, reroll = part.fields.pop("number", None), part.fields.get("reroll")
    if number is not None:
        free = [step for step in _STEPS if not _whole(part, step)]
        if len(free) == 1:
            draft.put(part, free[0], number)
            return _with_bare(draft, part, _checks(part))
        choices = tuple(((number.span, f"{step} {number.value}+"),) for step in free or _STEPS)
        draft.doubts.append(Doubt(f'"{number.words}": which roll?', choices))
    if reroll is not None:
        texts = (WORDS[f"reroll_{step}"](reroll.value) for step in checks)
        draft.doubts.append(Doubt("Which roll is rolled again?", tuple(((reroll.span, text),) for text in texts)))
    return checks


def _noted(needs: Needs, part: Part, checks: list[str]) -> Needs:
    """With what was said beside the matter, since nothing is passed over in silence."""
    used = _ANYWHERE.union(*(_OF[step] for step in checks))
    beside = [said for name, said in part.fields.items() if name not in used]
    words = dict.fromkeys(said.words for said in beside)
    notes = tuple(f'"{said}" changes nothing here' for said in words)
    return replace(needs, notes=(*needs.notes, *notes))


def _needs(line: Line, part: Part, check: str) -> Needs:
    number = part.get(check, part.get("number"))
    reroll = part.get(f"reroll_{check}", part.get("reroll"))
    critical = part.get(f"critical_{check}")
    if check == "hit":
        _require(line, part, number, "hit", "What is the hit number?", "hit 4+")
        melee = bool(part.get("melee", False))
        modifier = part.get("to_hit", 0)
        return Needs(
            check=check, number=number or None, modifier=modifier, reroll=reroll, critical=critical, melee=melee
        )
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
        critical=part.get("critical_wound"),
    )


def _require(line: Line, part: Part, value: object, name: str, question: str, hint: str) -> None:
    if value is None:
        raise Misread(question, hint=hint, missing=name, pending=_pending(line))


def _pending(line: Line) -> str:
    return f"{line.message.text.rstrip(' ?')} {GAP}"
