"""A reckoned attack as an answer: its machine form and its lines."""

from __future__ import annotations

from typing import Any

import numpy as np

from bot.chances import chance_words, number_words
from bot.reply import Bars, Block, Line, Note, Picture, Table
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
        "distributions": {name: getattr(odds, name).tolist() for name in COUNTS},
        "mean": {name: float(odds.mean[name]) for name in COUNTS},
        "wipe": odds.wipe,
    }


def needs_line(planned: Plan) -> str:
    """The numbers needed in one line, weapon groups one after the other."""
    return "; ".join(
        ", ".join(
            [f"hit {needs.hit}" if needs.hit else "hits automatically"]
            + ([f"wound {needs.wound}"] if needs.wound else [])
            + [f"save {' / '.join(needs.save)}"]
        )
        for needs in planned.needs
    )


def odds_blocks(planned: Plan, odds: Odds) -> tuple[Block, ...]:
    """What to expect, the shape of it, and why each number is what it is."""
    means = tuple((name, number_words(float(odds.mean[name]))) for name in COUNTS)
    shown = "slain" if odds.slain.size > 2 else "damage"
    settled = not may_come_to_nothing(planned)
    blocks: list[Block] = [
        Line(f"needs {needs_line(planned)}"),
        Table(("on average", ""), means),
        Bars(f"chance of {shown} exactly", _bars(getattr(odds, shown), settled or shown != "slain")),
        *spread_lines(shown, getattr(odds, shown), settled),
    ]
    if odds.wipe is not None:
        blocks.append(Line(f"wipes the unit: {wipe_words(planned, odds)}", strong=True))
    blocks += [Note(reason) for reason in planned.reasons]
    blocks.append(Note(f"ruleset: {planned.ruleset.title}"))
    series = tuple((name, tuple(getattr(odds, name).tolist())) for name in ("damage", "slain"))
    blocks.append(Picture("chances of damage and models slain", series, _alt(odds)))
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


def _alt(odds: Odds) -> str:
    mean = odds.mean
    return (
        f"Bars of the chance of each amount of damage (average {number_words(float(mean['damage']))}) "
        f"and of models slain (average {number_words(float(mean['slain']))})."
    )
