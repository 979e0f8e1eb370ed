"""The chance of a level that was asked for: certain or impossible only if it is, whatever sums of floats round to."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

from bot.chances import chance_words
from bot.level import MOST, Bound, Level
from bot.spread import may_come_to_nothing
from resolver.exact import Odds
from resolver.plan import Plan
from resolver.possible import possible
from resolver.statistics import at_least, below


@dataclass(frozen=True)
class LevelChance:
    """A level of one reckoned attack, its chance and that of the contrary; `settled` as in chance_words."""

    level: Level
    chance: float
    against: float
    settled: bool

    def words(self, *, short: bool = False) -> str:
        """The chance as the other chances are said."""
        return chance_words(self.chance, self.against, short=short, settled=self.settled)

    def data(self) -> dict[str, Any]:
        """The machine form."""
        asked = self.level
        return {
            "read": str(asked),
            "count": asked.count,
            "bound": str(asked.bound),
            "number": asked.number,
            "chance": self.chance,
        }


def level_chance(level: Level, planned: Plan, odds: Odds) -> LevelChance:
    """The exact chance of the level."""
    first, beyond = _ends(level, planned)
    numbers = can_be(planned, odds, level.count)
    within = sum(first <= number < beyond for number in numbers)
    if within in (0, len(numbers)):
        return LevelChance(level, float(within > 0), float(not within), settled=True)
    chances = getattr(odds, level.count)
    chance = min(float(chances[first:beyond].sum()), 1.0)
    return LevelChance(level, chance, below(chances, first) + at_least(chances, beyond), settled=False)


def share_among(share: float, among: Sequence[bool], *, short: bool = False) -> str:
    """A chance in words; `among` tells of each number that can come about whether it is meant."""
    if all(among) or not any(among):
        return chance_words(float(all(among)), short=short)
    return chance_words(share, short=short, settled=False)


def can_be(planned: Plan, odds: Odds, count: str) -> Collection[int]:
    """What a count can come to; where that is not known, whatever its distribution has room for."""
    chances = getattr(odds, count)
    if chances.all():
        return range(len(chances))
    known = possible(planned, count)
    first = 0 if may_come_to_nothing(planned) else 1
    return range(first, len(chances)) if known is None else known


def _ends(level: Level, planned: Plan) -> tuple[int, int]:
    """The first number of the level, and the first beyond it."""
    number = planned.target.models if level.number is None else level.number
    assert number is not None, "whether all are slain is asked of a number of models only"
    first = 0 if level.bound is Bound.AT_MOST else number
    return first, number + 1 if level.bound in (Bound.AT_MOST, Bound.EXACTLY) else MOST + 1
