"""How many attacks are made, and by how many models.

attacks = amount "attacks" [each] | "A" amount | ("shooting" | …) number "times" [each] | "each" … amount "attacks"
models  = number "models" | "squad of" number | "the boss"
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.reading.clause import Clause, Found, Place, clause
from bot.reading.singular import is_single
from resolver.amount import fixed
from resolver.attack import MOST_DICE_IN_ALL, MOST_MODELS

AUTO = 0  # the hit number of a hit that needs no die
WEAPON = Place.WEAPON

_DO = r"(?:shoot|shooting|shoots|fire|fires|firing|attack|attacking|swinging|striking|strike|strikes)"
_MAKE = (
    r"(?:with|making|make|makes|has|have|having|got|gets|get|getting|throwing|rolling|doing|do|does|taking|take"
    r"|shoot|shoots|shooting|fire|fires|firing)"
)
_UNIT = r"(?:unit|squad|team|group|gang|band|crew|block|mob)"


def _attacks(found: Found) -> Mapping[str, Any]:
    amount = found.amount("the number of attacks", MOST_DICE_IN_ALL)
    return {"attacks": amount, "each": bool(found["each"] or found["every"]), **_both(found)}


def _both(found: Found) -> Mapping[str, Any]:
    return {"models": 2} if found["every"].startswith("both") else {}


def _auto_hits(found: Found) -> Mapping[str, Any]:
    return {**_attacks(found), "hit": AUTO}


def _attacks_ahead(found: Found) -> Mapping[str, Any]:
    """ "10 S4 shots": the word that says what they are a number of stands behind their statistics."""
    return {**(_auto_hits(found) if found["noun"] == "hit" else _attacks(found)), "noun": found["noun"]}


def _in_all(found: Found) -> Mapping[str, Any]:
    return {**_attacks(found), "in_all": True}


def _models_and_attacks(found: Found) -> Mapping[str, Any]:
    return {**_models(found), **_attacks(found), "each": True}


def _melee_attacks(found: Found) -> Mapping[str, Any]:
    return {**_attacks(found), "melee": True}


def _stat_attacks(found: Found) -> Mapping[str, Any]:
    return {"attacks": found.amount("the number of attacks", MOST_DICE_IN_ALL), "stat": True}


def _attacks_or_damage(found: Found) -> Mapping[str, Any]:
    """ "A2D6" may be 2d6 attacks, or two statistics."""
    question = f"Is {found.words} a number of dice, or attacks and damage?"
    two = f"{found['count']} attacks each, damage {found['die']}"
    return {**_stat_attacks(found), **found.doubt(question, f"{found['amount']} attacks each", two)}


def _times(found: Found) -> Mapping[str, Any]:
    number = found.whole("n", "the number of attacks", 1, MOST_DICE_IN_ALL)
    return {"attacks": fixed(number), "each": bool(found["each"] or found["every"]), **_both(found)}


def _models(found: Found) -> Mapping[str, Any]:
    return {"models": found.whole("one", "the number of models", 1, MOST_MODELS)}


def _the_one(found: Found) -> Mapping[str, Any]:
    """ "and the boss with 3 attacks" is one model; "the men with 3 attacks each" are as many as are said elsewhere."""
    return {"models": 1} if is_single(found.words) else {}


# "D2 auto hit" behind other clauses is damage and a way to hit; "d6 auto hits" at the beginning counts the hits.
_FIRST = r"(?:(?<!. )|(?<=plus )|(?<=and )|(?<=with ))"
_EVERY = (
    rf"(?:(?P<every>(?:each|both)(?: (?:of (?:my|our|the|these) )?model| of them)?|every (?:model|1)) (?:{_MAKE} )?)?"
)
_OF = r"(?:of (?:my|our|the|their|these|those) )?(?:(?:shooting|ranged) )?"
_STATISTIC = (
    r"(?:(?:s|strength) ?[0-9]+|ap ?-? ?[0-9]+|-[0-9]+ ap|no ap|damage [0-9]*d?[0-9]+|d ?[0-9]+|(?:bs|ws) ?[0-9]\+"
    r"|[2-6]\+)"
)
CLAUSES: tuple[Clause, ...] = (
    clause("attacks", WEAPON, rf"{_EVERY}<tight:amount> {_OF}(?:attack|dice)(?: dice)?<each>", _attacks),
    clause(
        "attacks",
        WEAPON,
        rf"{_EVERY}<amount> {_OF}(?:attack|dice)<each>"  # but "d3 +1 attack at half range" is damage and a bonus
        r"(?! (?:per|for (?:every|each)|(?:at|within|in|inside|when (?:at|within|in)) half))",
        _attacks,
    ),
    clause("attacks", WEAPON, rf"{_EVERY}<amount> (?:melee|close combat) attack<each>", _melee_attacks),
    clause(
        "attacks",
        WEAPON,
        r"attack (?:of )?(?:(?P<every>each) )?<amount>(?! (?:model|attack|of|man|t ?[0-9]))<each>",
        _attacks,
    ),
    clause("attacks", WEAPON, r"a(?P<amount>[0-9]+)<each>", _stat_attacks),
    clause(
        "attacks",
        WEAPON,
        r"a (?P<amount>[0-9]+|d[0-9]+)(?= (?:,|;|\.|/|ws|bs|s ?[0-9]|ap|skill|d[0-9])|$)",
        _stat_attacks,
    ),
    clause("attacks", WEAPON, r"a(?P<amount>(?P<count>[0-9]+)(?P<die>d[0-9]+))", _attacks_or_damage),
    clause("attacks", WEAPON, rf"(?:(?P<every>each|both(?: model| of them)?) )?(?:{_DO} )?<n> times<each>", _times),
    clause("attacks", WEAPON, rf"{_FIRST}<amount> (?:auto|automatic) hit<each>", _auto_hits),
    clause("attacks", WEAPON, r"<amount> (?:auto|automatic|automatically) hit attack<each>", _auto_hits),
    clause("attacks", WEAPON, r"(?:auto|automatic) hit <amount>(?= (?:,|;|\.|s ?[0-9]|at s|with s)|$)", _auto_hits),
    clause(
        "attacks",
        WEAPON,
        rf"<tight:amount>(?: x)?(?= {_STATISTIC}(?:(?: ,| and)? {_STATISTIC})* (?:(?P<noun>attack)\b(?! ?[0-9])"
        rf"|(?P<noun>hit) (?:into|against|on t|at|,|$)))",
        _attacks_ahead,
    ),
    clause(
        "attacks",
        WEAPON,
        r"<tight:amount> hit(?= (?:,|;|\.|at|with|s ?[0-9]|strength|ap|into|against|on t))",
        _auto_hits,
    ),
    clause(
        "attacks",
        WEAPON,
        r"(?:a total of )?<amount> attack (?:in all|in total|all in all|all told|altogether|together|between them)",
        _in_all,
    ),
    clause("attacks", WEAPON, r"(?:in total|a total of|in all|altogether) <amount> attack", _in_all),
    clause("attacks", WEAPON, r"<one> (?:model )?x ?<amount> attack(?: each)?", _models_and_attacks),
    clause("attacks", WEAPON, r"<amount> attack x ?<one> model", _models_and_attacks),
    clause(
        "attacks",
        WEAPON,
        rf"each of (?:my |the |our )?<one> model (?:{_MAKE} )?<amount> (?:attack|dice)",
        _models_and_attacks,
    ),
    clause("attacks", WEAPON, r"<amount> a(?= (?:,|;|ws|bs|hit|skill|auto|automatic|[0-9]+\+|s ?[0-9]))", _attacks),
    clause(
        "models",
        None,
        r"(?:the |all |an? )?<one> (?:of (?:them|us|my|the|our|their|these|those) )?model",
        _models,
    ),
    clause(
        "models",
        WEAPON,
        rf"(?:the |my |our )?model(?= (?:{_MAKE} )(?:an? |[0-9]*d?[0-9]+(?:\+[0-9]+)? )(?:attack|dice)\b)",
        _the_one,
    ),
    clause("models", None, rf"(?:an? |the )?{_UNIT} of ?<one>(?: model)?", _models),
    clause("models", None, rf"(?:an? |the )?<one> (?:model|strong|person)(?: {_UNIT})", _models),
    clause("models", WEAPON, r"<one> ?x(?= a ?[0-9])", _models),
    clause("models", WEAPON, r"<one>(?= (?:with|has|having|making|firing) [0-9]*d?[0-9]+ (?:attack|dice)\b)", _models),
    clause("models", WEAPON, r"(?:from|by) (?:my |the |our )?<one> model", _models),
    clause("models", None, r"<one> (?:strong|enem(?:y|ies)|target|opponents?|foes?|person)", _models),
    clause("models", None, r"model ?(?P<one>[0-9]+)(?= (?:,|;|\.)|$)", _models),
)
