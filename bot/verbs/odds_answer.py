"""A reckoned attack as an answer: its machine form and its lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from bot.chances import chance_words, number_words
from bot.reply import Bars, Block, Line, Note, Table
from bot.spread import may_come_to_nothing, spread_lines
from resolver.exact import Odds
from resolver.plan import Plan

COUNTS = ("attacks", "hits", "wounds", "unsaved", "damage", "slain")
MOST_BARS = 9


def needs_data(planned: Plan) -> list[dict[str, Any]]:
    """The numbers needed, one item for each weapon group."""
    return [{"hit": needs.hit, "wound": needs.wound, "save": list(needs.save)} for needs in planned.needs]


def odds_data(planned: Plan, odds: Odds, read: str) -> dict[str, Any]:
    """The machine form of a reckoned attack."""
    return {
        "read": read,
        "ruleset": planned.ruleset.id,
        "needs": needs_data(planned),
        "reasons": list(planned.reasons),
        "idle": list(planned.idle),
        "distributions": {name: getattr(odds, name).tolist() for name in COUNTS},
        "mean": {name: float(odds.mean[name]) for name in COUNTS},
        "wipe": odds.wipe,
    }


def needs_lines(needs: Sequence[Mapping[str, Any]], weapons: Sequence[str] = ()) -> list[str]:
    """The numbers needed by each weapon group, which is named where there are several; `needs` as in needs_data."""
    said = [_needs_words(group) for group in needs]
    if len(said) == 1:
        return [f"needs {said[0]}"]
    names = weapons or [f"weapon group {number}" for number in range(1, len(said) + 1)]
    return [f"{name}, {words}" for name, words in zip(names, said, strict=True)]


def _needs_words(needs: Mapping[str, Any]) -> str:
    """The numbers of one weapon group; target groups that save alike are said once."""
    hit = f"hit {needs['hit']}" if needs["hit"] else "hits automatically"
    wound = f", wound {needs['wound']}" if needs["wound"] else ""
    return f"{hit}{wound}, save {' / '.join(dict.fromkeys(needs['save']))}"


def odds_blocks(planned: Plan, odds: Odds, weapons: Sequence[str] = ()) -> tuple[Block, ...]:
    """What to expect, the shape of it, and why each number is what it is; `weapons` names the weapon groups."""
    means = tuple((name, number_words(float(odds.mean[name]))) for name in COUNTS)
    shown = "slain" if odds.slain.size > 2 else "damage"
    settled = not may_come_to_nothing(planned)
    blocks: list[Block] = [
        *map(Line, needs_lines(needs_data(planned), weapons)),
        Table(("on average", ""), means),
        Bars(f"chance of {shown} exactly", _bars(getattr(odds, shown), settled or shown != "slain")),
        *spread_lines(shown, getattr(odds, shown), settled),
    ]
    if odds.wipe is not None:
        blocks.append(Line(f"wipes the unit: {wipe_words(planned, odds)}", strong=True))
    blocks += [Note(reason) for reason in planned.reasons]
    blocks.append(Note(f"ruleset: {planned.ruleset.title}"))
    return tuple(blocks)


def wipe_words(planned: Plan, odds: Odds, short: bool = False) -> str:
    """The chance of slaying every model; never certain, nor impossible, by rounding alone."""
    models = planned.target.models
    if odds.wipe is None or models is None:
        return "-"
    settled = odds.slain.size <= models or not may_come_to_nothing(planned)
    return chance_words(odds.wipe, short=short, settled=settled)


def _bars(
    distribution: np.ndarray[Any, np.dtype[np.float64]], settled: bool
) -> tuple[tuple[str, float, str], ...]:
    """The likeliest stretch of a distribution, its ends lumped so that the bars add up to one."""
    size = distribution.size
    if size <= MOST_BARS:
        low, high = 0, size - 1
    else:
        middle = int(np.argmax(distribution))
        low = max(0, min(middle - MOST_BARS // 2, size - MOST_BARS))
        high = low + MOST_BARS - 1
    rows = []
    for count in range(low, high + 1):
        share, label = float(distribution[count]), str(count)
        if count == low and low:
            share, label = float(distribution[: low + 1].sum()), f"{low} or fewer"
        if count == high and high < size - 1:
            share, label = float(distribution[high:].sum()), f"{high} or more"
        rows.append((label, share, chance_words(share, short=True, settled=settled)))
    return tuple(rows)
