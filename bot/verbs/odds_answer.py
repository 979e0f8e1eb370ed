"""A reckoned attack as an answer: its machine form and its lines."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise
from typing import Any

import numpy as np

from bot.chances import number_words
from bot.level import ALL_SLAIN
from bot.reply import Bars, Block, Line, Note, Table
from bot.spread import may_come_to_nothing, spread_lines
from bot.verbs.level_answer import LevelChance, can_be, share_among
from resolver.counts import Distribution
from resolver.exact import Odds
from resolver.plan import Plan
from resolver.statistics import quantile

COUNTS = ("attacks", "hits", "wounds", "unsaved", "damage", "slain")
MOST_BARS = 9
NONE = "none"  # in the place of a number that no face reaches
SEVERAL = " / "  # between the numbers of different target groups
_RARELY = 0.01  # what is rarer at either end is not looked at closely


def needs_data(planned: Plan) -> list[dict[str, Any]]:
    """The numbers needed, one item for each weapon group."""
    return [{"hit": needs.hit, "wound": needs.wound, "save": list(needs.save)} for needs in planned.needs]


def odds_data(planned: Plan, odds: Odds, read: str, level: LevelChance | None = None) -> dict[str, Any]:
    """The machine form of a reckoned attack; a level only if one is asked for."""
    asked = {} if level is None else {"level": level.data()}
    return {
        "read": read,
        "ruleset": planned.ruleset.id,
        "needs": needs_data(planned),
        "reasons": list(planned.reasons),
        "idle": list(planned.idle),
        "distributions": {name: getattr(odds, name).tolist() for name in COUNTS},
        "mean": {name: float(odds.mean[name]) for name in COUNTS},
        "wipe": odds.wipe,
        **asked,
    }


def needs_lines(
    needs: Sequence[Mapping[str, Any]], die: int, weapons: Sequence[str] = (), groups: Sequence[str] = ()
) -> list[str]:
    """The numbers needed by each weapon group, which is named where there are several; `needs` as in needs_data.

    `groups` are what the target groups are called, to be named where they save differently.
    """
    said = [_needs_words(group, die, groups) for group in needs]
    if len(said) == 1:
        return [f"needs {said[0]}"]
    names = weapons or [f"weapon group {number}" for number in range(1, len(said) + 1)]
    return [f"{name}, {words}" for name, words in zip(names, said, strict=True)]


def _needs_words(needs: Mapping[str, Any], die: int, groups: Sequence[str]) -> str:
    """The numbers of one weapon group; target groups that save alike are said once, and who cannot save has none."""
    hit = f"hit {needs['hit']}" if needs["hit"] else "hits automatically"
    wound = f", wound {needs['wound']}" if needs["wound"] else ""
    numbers = list(dict.fromkeys(needs["save"]))
    if groups and len(numbers) > 1:
        having = {
            number: [name for name, its in zip(groups, needs["save"], strict=True) if its == number]
            for number in numbers
        }
        saves = [f"{_reached(number, die)} ({' and '.join(names)})" for number, names in having.items()]
    else:
        saves = [_reached(number, die) for number in numbers]
    return f"{hit}{wound}, {'no save' if saves == [NONE] else f'save {SEVERAL.join(saves)}'}"


def _reached(number: str, die: int) -> str:
    """The number, if a face reaches it."""
    return number if int(number.removesuffix("+")) <= die else NONE


def spreads(planned: Plan, odds: Odds, level: LevelChance | None = None) -> dict[str, tuple[Line, ...]]:
    """What the distributions of damage, of models slain and of the count of the level say."""
    settled = not may_come_to_nothing(planned)
    told = {noun: spread_lines(noun, getattr(odds, noun), settled) for noun in ("damage", "slain")}
    if level is not None and (noun := level.level.count) not in told:
        told[noun] = spread_lines(noun, getattr(odds, noun), 0 not in can_be(planned, odds, noun))
    return told


def odds_blocks(
    planned: Plan,
    odds: Odds,
    told: Mapping[str, Sequence[Line]],
    weapons: Sequence[str] = (),
    level: LevelChance | None = None,
) -> tuple[Block, ...]:
    """The level asked for, what to expect, the shape of it, and why each number is what it is.

    `told` is what `spreads` says, `weapons` names the weapon groups.
    """
    means = tuple((name, number_words(float(odds.mean[name]))) for name in COUNTS)
    shown = level.level.count if level is not None else "slain" if odds.slain.size > 2 else "damage"
    slain = can_be(planned, odds, "slain")
    bars = _bars(getattr(odds, shown), slain if shown == "slain" else can_be(planned, odds, shown))
    exactly = "" if any(" to " in label for label, _, _ in bars) else " exactly"
    blocks: list[Block] = [
        *map(Line, needs_lines(needs_data(planned), planned.ruleset.die, weapons)),
        *([] if level is None else [Line(f"{level.level}: {level.words()}", strong=True)]),
        Table(("on average", ""), means),
        Bars(f"chance of {shown}{exactly}", bars),
        *told[shown],
    ]
    if odds.wipe is not None and (level is None or level.level != ALL_SLAIN):
        blocks.append(Line(f"wipes the unit: {wipe_words(planned, odds, slain)}", strong=True))
    blocks += [Note(reason) for reason in planned.reasons]
    blocks.append(Note(f"ruleset: {planned.ruleset.title}"))
    return tuple(blocks)


def wipe_words(planned: Plan, odds: Odds, slain: Collection[int], short: bool = False) -> str:
    """The chance of slaying every model, of the numbers that can be slain; certain or impossible only if it is."""
    models = planned.target.models
    if odds.wipe is None or models is None:
        return "-"
    return share_among(odds.wipe, [number == models for number in slain], short=short)


def _bars(distribution: Distribution, numbers: Collection[int]) -> tuple[tuple[str, float, str], ...]:
    """The distribution in a few rows, which add up to one; `numbers` are what can come about."""
    distribution = distribution[: max(numbers) + 1]
    starts = _starts(distribution)
    rows = []
    for start, end in pairwise([*starts, distribution.size]):
        share, label = float(distribution[start:end].sum()), str(start) if end - start == 1 else f"{start} to {end - 1}"
        if start == 0 and end > 1:
            label = f"{end - 1} or fewer"
        if start == starts[-1] and end - start > 1:
            label = f"{start} or more"
        rows.append((label, share, share_among(share, [start <= number < end for number in numbers], short=True)))
    return tuple(rows)


def _starts(distribution: Distribution) -> list[int]:
    """The numbers with which rows begin: one for each likely number, or for several alike where they are many."""
    size = distribution.size
    if size <= MOST_BARS:
        return list(range(size))
    first, last = quantile(distribution, _RARELY), quantile(distribution, 1 - _RARELY)
    wide = -(-(last - first + 1) // MOST_BARS)
    if wide > 1:
        return [0, *range(first + wide, last + 1, wide)]
    middle = int(np.argmax(distribution))
    low = max(0, min(middle - MOST_BARS // 2, size - MOST_BARS))
    return [0, *range(low + 1, low + MOST_BARS)]
