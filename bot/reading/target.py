"""What is said of the target: toughness, saves, wounds, what it ignores, cover, what it has lost.

toughness = ("T" | "toughness") number
save      = "save" up | up "save" | "no save"
fixed     = "fixed save" up | up "fixed save"
wounds    = "W" number | number ("W" | "wounds") [each] | "wounds" number
ignore    = "ignore" up | up "ignore"
cover     = ["in"] "cover" | "no cover" | "not in cover" | "in the open"
reduce    = "damage" "-" number | "-" number "damage"        halve = "half damage"
lost      = number "wounds lost"
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.reading.clause import Clause, Found, Place, clause
from bot.reading.singular import is_single
from resolver.attack import LARGEST_STAT, MOST_DAMAGE, MOST_MODELS, MOST_WOUNDS

NO_SAVE = 0  # the save of a target that has none
TARGET = Place.TARGET


def _toughness(found: Found) -> Mapping[str, Any]:
    return {"toughness": found.whole("n", "toughness", 1, LARGEST_STAT)}


def _save(found: Found) -> Mapping[str, Any]:
    return {"save": found.up("a save")}


def _fixed(found: Found) -> Mapping[str, Any]:
    return {"fixed_save": found.up("a fixed save")}


def _ignore(found: Found) -> Mapping[str, Any]:
    return {"ignore": found.up("an ignore roll")}


def _wounds(found: Found) -> Mapping[str, Any]:
    return {"wounds": found.whole("one", "W", 1, MOST_WOUNDS)}


def _wounds_of_models(found: Found) -> Mapping[str, Any]:
    """ "2-wound models", or one "10-wound model"."""
    return {**_wounds(found), **({"models": 1} if is_single(found.words) else {})}


def _models_of_wounds(found: Found) -> Mapping[str, Any]:
    return {"models": found.whole("n", "the number of models", 1, MOST_MODELS), **_wounds(found)}


def _models_before_toughness(found: Found) -> Mapping[str, Any]:
    return {"models": found.whole("n", "the number of models", 1, MOST_MODELS)}


def _lost(found: Found) -> Mapping[str, Any]:
    return {"lost": found.whole("one", "wounds lost", 0, MOST_WOUNDS)}


def _reduce(found: Found) -> Mapping[str, Any]:
    return {"reduce": found.whole("n", "a damage reduction", 0, MOST_DAMAGE)}


_NOUN = r"(?:(?:armour|fixed) save|save|fixed|armour|ignore(?: roll| wound| damage)?|to (?:save|ignore))"
_NUMBER = r"(?:roll )?(?:on |of )?(?:an? )?[0-9]+[+s]"
# "3+ ignore 5+" is a save and an ignore roll: where a row of such ends with a number, numbers stand behind their words
_ALONE = rf"(?! {_NUMBER}(?: {_NOUN} {_NUMBER})*+(?! {_NOUN}\b))"
_OWN = r"(?:(?:each |(?:each|every) model )?(?:with|has|have|having|on) )?(?:each )?"
_EACH = r"(?: (?:each|apiece|(?:per|by|for each|for every) (?:model|head)|a model|a piece|every))?"
_AIM = r"(?:shoot|shooting|attack|attacking|fire|firing)(?: at| on)?"
_FIRST = r"(?:(?:the )?(?:first )?model|(?:the )?first(?: 1| of them)?|1(?: model| of (?:them|the model|their model))?)"
_LOST = r"(?:lost|gone|down|taken|missing|already lost|already gone|already taken|already suffered|suffered)"

CLAUSES: tuple[Clause, ...] = (
    clause("toughness", Place.UNIT, r"(?:t|toughness|tough) ?(?:of |is )?<n>", _toughness),
    clause("toughness", Place.UNIT, r"<n> toughness", _toughness),
    clause("save", TARGET, r"(?:an? )?(?:armour )?save ?(?:on |of |is )?(?:an? )?<up>", _save),
    clause("save", TARGET, r"armour ?(?:of |is )?<plus:up>", _save),
    clause("save", TARGET, r"(?:an? )?(?:on )?<many:up> (?:armour )?save" + _ALONE, _save),
    clause("save", TARGET, r"<up> to save" + _ALONE, _save),
    clause("save", TARGET, r"(?:an? )?<plus:up> armour(?= (?:,|;|\.|and|with|w ?[0-9]|in)|$)", _save),
    clause("save", TARGET, r"(?:(?:is|are|be|being|get|gets) )?saved (?:on|with) (?:an? )?<up>", _save),
    clause("save", TARGET, r"no (?:armour )?save", lambda found: {"save": NO_SAVE}),
    clause("fixed save", TARGET, r"(?:an? )?fixed (?:save )?(?:on |of |is )?(?:an? )?<up>", _fixed),
    clause("fixed save", TARGET, r"(?:an? )?<many:up> fixed(?: save(?= |$))?+" + _ALONE, _fixed),
    clause(
        "ignore",
        TARGET,
        r"ignore (?:roll )?(?:(?:each |every |all )?(?:wound|damage|point)s? )?(?:on |of |is )?(?:an? )?<up>",
        _ignore,
    ),
    clause(
        "ignore",
        TARGET,
        r"(?:an? )?(?:on )?(?:an? )?<many:up> (?:to )?ignore(?: (?:roll|wound|damage))?+(?! (?:the )?(?:cover"
        r"|armour|ap|save))" + _ALONE,
        _ignore,
    ),
    clause(
        "ignore",
        TARGET,
        r"(?:(?:each|every|all|any|lost|point of) )*(?:wound|damage|point) (?:(?:is|are|lost|can be|may be) )*ignore"
        r" (?:on |of )?(?:an? )?<up>",
        _ignore,
    ),
    clause("wounds", TARGET, rf"{_OWN}<one> ?w{_EACH}", _wounds),
    clause("wounds", TARGET, r"w ?(?:of |is )?(?P<one>[0-9]+)(?! (?:attack|dice)\b)(?: each)?", _wounds),
    clause("wounds", TARGET, r"(?P<one>[0-9]+) (?:w|wound) model", _wounds_of_models),
    clause("wounds", TARGET, r"<n> (?P<one>[0-9]+) (?:w|wound) model", _models_of_wounds),
    clause("models", TARGET, r"(?<!/ )<n>(?: x)?(?= (?:t|toughness) ?[0-9])", _models_before_toughness),
    clause("models", TARGET, r"<n>(?= w ?[0-9]+ (?:model|t ?[0-9]))", _models_before_toughness),
    clause("models", TARGET, r"all <n>(?= (?:with|using|from|if)\b)", _models_before_toughness),
    clause("models", TARGET, rf"{_AIM} <n> of (?:them|these|those)", _models_before_toughness),
    clause("models", TARGET, rf"{_AIM} <n> model(?= ,? ?(?:with )?(?:t|toughness) ?[0-9])", _models_before_toughness),
    clause("label", TARGET, r"(?:the )?first(?= [0-9]+ model)", lambda found: {}),
    clause("verb", TARGET, r"(?:dice|fall|drop) (?:to|from)(?= (?:my |our |the )?[0-9])", lambda found: {}),
    clause("verb", TARGET, r"(?:get|gets|are|is|be|being|getting) (?:attack|hit) by", lambda found: {}),
    clause("lost", TARGET, rf"(?:with )?<one> wound (?:is |are )?(?:has |have )?(?:been )?{_LOST}(?: already)?", _lost),
    clause(
        "lost",
        TARGET,
        rf"(?:{_FIRST} )?(?:has |have |is |had )?(?:already )?(?:lost|missing|suffered|taken|took|down)"
        r" <one> wound(?: already| so far)?",
        _lost,
    ),
    clause(
        "lost",
        TARGET,
        rf"(?:{_FIRST} (?:has |have )?(?:already )?|already |has |have )?(?:lost|down) <one>(?= (?:,|;|\.|and|in)|$)",
        _lost,
    ),
    clause(
        "cover",
        TARGET,
        r"(?:in|with|has|have|behind|gets|claiming|claims)? ?(?:the )?cover",
        lambda found: {"cover": True},
    ),
    clause(
        "no cover",
        TARGET,
        r"(?:in |with |has |have )?no cover|not in cover|out of cover|(?:out )?in the open",
        lambda found: {"cover": False},
    ),
    clause(
        "half damage",
        TARGET,
        r"(?:takes? )?(?:half|halve|halves|halved|halving) (?:the )?damage|damage (?:is )?halved",
        lambda found: {"halve": True},
    ),
)

# "2 wounds" are a statistic, and "x5" a number of models, only where the target is spoken of.
WHERE_SPOKEN_OF: tuple[Clause, ...] = (
    clause("models", TARGET, r"x ?<n>(?: model)?", _models_before_toughness),
    clause("wounds", TARGET, rf"{_OWN}<one> wound{_EACH}", _wounds),
    clause("wounds", TARGET, r"wound (?:of |is )?(?P<one>[0-9]+)(?: each)?(?! inch)", _wounds),
)
