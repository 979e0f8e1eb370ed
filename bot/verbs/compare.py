"""compare: two or more whole attacks side by side, and the exact chance that one slays more than another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations
from string import ascii_uppercase
from typing import Any

from bot.asked import Asked
from bot.chances import number_words
from bot.house import House
from bot.reply import Block, Line, Reply, Table
from bot.requests.attack import Compare
from bot.requests.attack import Odds as OddsRequest
from bot.spread import at_least_words, may_come_to_nothing, steps
from bot.verbs.level_answer import LevelChance, can_be, level_chance, share_among
from bot.verbs.odds_answer import odds_data, wipe_words
from bot.verbs.odds_picture import compare_picture
from bot.wording import attack_text
from resolver.exact import Odds, better, odds
from resolver.plan import Plan, plan
from resolver.refused import within

MOST_OPTIONS = 6
MEANS = ("hits", "wounds", "unsaved", "damage", "slain")

Better = list[list[float | None]]


def answer(request: Compare, asked: Asked, house: House) -> Reply:
    """Reckon every option and set them beside each other."""
    called = tuple(map(attack_text, request.options))
    reply = side_by_side(request, called, [f"roll {words}" for words in called], asked, house)
    return replace(reply, offers=tuple(f"roll {name}" for name in ascii_uppercase[: len(called)]))


def side_by_side(request: Compare, called: Sequence[str], rolls: Sequence[str], asked: Asked, house: House) -> Reply:
    """The same, where each option is called so; `rolls` are the messages that roll them, by letter too."""
    within("number of attacks to compare", len(request.options), 2, MOST_OPTIONS)
    ruleset = house.ruleset(asked.where)
    plans = [plan(attack, ruleset) for attack in request.options]
    found = [odds(planned) for planned in plans]
    chances = _better(found)
    levels = [
        None if request.level is None else level_chance(request.level, planned, reckoned)
        for planned, reckoned in zip(plans, found, strict=True)
    ]
    options = [
        {"kind": "odds", **odds_data(planned, reckoned, str(OddsRequest(attack, request.level)), level)}
        for planned, reckoned, attack, level in zip(plans, found, request.options, levels, strict=True)
    ]
    data: dict[str, Any] = {
        "options": options,
        "better": chances,
        "rolls": list(rolls),
        "read": str(request),
        "ruleset": ruleset.id,
    }
    names = ascii_uppercase[: len(found)]
    blocks: list[Block] = [Line(f"{name}: {words}") for name, words in zip(names, called, strict=True)]
    blocks += _asked(names, levels)
    slain = [set(can_be(planned, reckoned, "slain")) for planned, reckoned in zip(plans, found, strict=True)]
    blocks += [_means(names, found), _chances(names, plans, found, slain)]
    blocks += [_verdict(names, one, two, chances, slain) for one, two in combinations(range(len(found)), 2)]
    blocks.append(compare_picture(names, called, plans, found))
    memory = house.memory.recall(asked.where, asked.who)
    house.memory.remember(asked.where, asked.who, memory | {"compared": list(rolls)})
    return Reply("compare", f"{len(found)} attacks side by side", tuple(blocks), data)


def _asked(names: str, levels: Sequence[LevelChance | None]) -> list[Line]:
    """The level that was asked for, of each option."""
    told = [(name, level) for name, level in zip(names, levels, strict=True) if level is not None]
    chances = ", ".join(f"{name} {level.words(short=True)}" for name, level in told)
    return [Line(f"{told[0][1].level}: {chances}", strong=True)] if told else []


def _better(found: Sequence[Odds]) -> Better:
    """In row i and column j the chance that i slays strictly more than j."""
    return [[None if one is other else better(one, other) for other in found] for one in found]


def _means(names: str, found: Sequence[Odds]) -> Table:
    rows = tuple((count, *(number_words(float(option.mean[count])) for option in found)) for count in MEANS)
    return Table(("on average", *names), rows)


def _chances(names: str, plans: Sequence[Plan], found: Sequence[Odds], slain: Sequence[set[int]]) -> Table:
    """Chances of at least k slain (of at least k damage where no option slays two) and of slaying all."""
    count = "slain" if max(len(option.slain) for option in found) > 2 else "damage"
    spread = [getattr(option, count) for option in found]
    settled = [not may_come_to_nothing(planned) for planned in plans]
    rows = [
        (f"{k}+ {count}", *(at_least_words(chances, k, sure) for chances, sure in zip(spread, settled, strict=True)))
        for k in steps(*spread) or [1]
    ]
    if any(option.wipe is not None for option in found):
        rows.append(("all slain", *(wipe_words(*each, short=True) for each in zip(plans, found, slain, strict=True))))
    return Table(("chance of", *names), tuple(rows))


def _verdict(names: str, one: int, two: int, chances: Better, slain: Sequence[set[int]]) -> Block:
    """Who slays more, how often, and how often they slay alike; `slain` are the numbers that each can slay."""
    ahead, behind = chances[one][two] or 0.0, chances[two][one] or 0.0
    first, second = slain[one], slain[two]
    alike = [bool(first & second), len(first | second) > 1]
    shares = (
        f"{names[one]} slays more {_share(ahead, max(first) > min(second), max(second) >= min(first))}",
        f"{names[two]} slays more {_share(behind, max(second) > min(first), max(first) >= min(second))}",
        f"alike {_share(max(0.0, 1 - ahead - behind), *alike)}",
    )
    return Line(", ".join(shares), strong=True)


def _share(share: float, can_be: bool, can_fail: bool) -> str:
    """A chance, impossible or certain only if it is."""
    return share_among(share, [True] * can_be + [False] * can_fail, short=True)
