"""What a distribution says to a player: the likeliest result, the usual range, the spread, and at least k."""

from __future__ import annotations

from bot.chances import chance_words, number_words
from bot.reply import Line
from resolver.plan import Plan
from resolver.statistics import (
    Distribution,
    at_least,
    below,
    deviation,
    middle,
    most_likely,
    quantile,
)

MOST_STEPS = 5
_USUAL = 0.8  # the share of results that the usual range holds
_LAST = 0.99  # steps end where all but one result in a hundred have ended


def spread_lines(noun: str, chances: Distribution, settled: bool = True) -> tuple[Line, ...]:
    """Two lines about the count that `noun` names; `settled` as in chance_words."""
    told = [f"{k}: {at_least_words(chances, k, settled)}" for k in steps(chances)]
    return (
        Line(f"{noun}: {_likeliest(chances)}, {_range(chances, settled)}"),
        Line(f"at least {', '.join(told)}") if told else Line(f"never any {noun}"),
    )


def at_least_words(chances: Distribution, k: int, settled: bool = True) -> str:
    """The chance of k or more in few characters."""
    reachable = k < len(chances)
    against = below(chances, k)
    return chance_words(at_least(chances, k), against, short=True, settled=settled or not reachable)


def last_step(*spreads: Distribution) -> int:
    """Where telling the chance of at least k stops being of use, 0 where nothing but 0 can come about."""
    return max(min(len(chances) - 1, max(1, quantile(chances, _LAST))) for chances in spreads)


def steps(*spreads: Distribution) -> list[int]:
    """A handful of numbers evenly apart, from the first to the last for which the chance of at least so many tells."""
    first = min(max(1, quantile(chances, 1 - _LAST)) for chances in spreads)
    more = last_step(*spreads) - first
    if more <= MOST_STEPS:  # one more is better than one left out
        return list(range(first, first + more + 1))
    return sorted({first + round(step * more / (MOST_STEPS - 1)) for step in range(MOST_STEPS)})


def may_come_to_nothing(plan: Plan) -> bool:
    """Whether every weapon group throws a die of which some face ends the attack, so that 0 is possible."""
    return all(any(not row for check in group.checks for row in check.rows) for group in plan.weapons)


def _likeliest(chances: Distribution) -> str:
    return f"most likely {' or '.join(map(str, most_likely(chances)[:3]))}"


def _range(chances: Distribution, settled: bool) -> str:
    low, high = middle(chances, _USUAL)
    usual = f"{low} to {high}" if low != high else f"{low}"
    inside = chance_words(float(chances[low : high + 1].sum()), short=True, settled=settled)
    share = "always" if inside == "100%" or high - low == len(chances) - 1 else f"{inside} are"
    return f"{share} {usual}, spread {number_words(deviation(chances))}"
