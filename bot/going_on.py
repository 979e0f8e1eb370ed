"""How an attack that is being typed may go on: the clause that it lacks next, in the ways it is commonly said."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence

from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.standing import Standing
from bot.wording import target_text
from resolver.attack import Target
from resolver.refused import Refused

_COUNT = re.compile(r"(?:\d{1,3}|\d{0,2}d\d{1,3})")
_AIMED = re.compile(r"\b(?:into|vs|v|against)\b", re.IGNORECASE)
STRENGTHS, TOUGHNESSES = range(3, 11), range(3, 9)  # what is commonly met (common practice, no source)


def going_on(typed: str, context: Context, targets: Sequence[str]) -> list[str]:
    """The attack as typed, with each clause that may come next; a last word half typed is made whole."""
    said = typed.strip(" ,")
    if _COUNT.fullmatch(said):
        return [f"{said} attacks"]
    begun, _, half = said.rpartition(" ")
    return _ways(said, "", context, targets) or _ways(begun.rstrip(" ,"), half, context, targets)


def _ways(said: str, half: str, context: Context, targets: Sequence[str]) -> list[str]:
    clauses = _NEXT.get(_lacking(said, context) or "", _nothing)(context.ruleset.die, targets)
    if _AIMED.search(said):
        clauses = [clause.removeprefix("into ") for clause in clauses]
    fitting = [clause for clause in clauses if clause.lower().startswith(half.lower())]
    return [f"{said}{' ' if clause.startswith('into ') else ', '}{clause}" for clause in fitting]


def _lacking(said: str, context: Context) -> str | None:
    """What would be asked for next, if all that was said is understood."""
    if not said:
        return None
    try:
        read(f"odds {said}", context)
    except Misread as misread:
        return misread.missing
    except (Unsure, Refused):
        return None
    return None


def targets_of(units: Iterable[Standing]) -> list[str]:
    """What is left of each unit, as the target of an attack."""
    found = []
    for standing in units:
        groups = tuple(group.defending(models, lost) for _, group, models, lost in standing.groups if models)
        if groups:
            found.append(f"into {target_text(Target(groups=groups, toughness=standing.unit.toughness))}")
    return found


def _nothing(die: int, targets: Sequence[str]) -> list[str]:
    return []


_NEXT: Mapping[str, Callable[[int, Sequence[str]], list[str]]] = {
    "hit": lambda die, _: [*(f"hit {number}+" for number in range(2, die + 1)), "auto hit"],
    "strength": lambda *_: [f"S{number}" for number in STRENGTHS],
    "toughness": lambda _, targets: [*targets, *(f"into T{number}" for number in TOUGHNESSES)],
    "save": lambda die, _: [*(f"save {number}+" for number in range(2, die + 1)), "no save"],
}
