"""Pictures of reckoned attacks, each with the same in words for whoever cannot see it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bot.chances import number_words
from bot.differing import briefly, cut
from bot.reply import Line, Picture
from bot.spread import may_come_to_nothing, spread_lines
from resolver.exact import Odds
from resolver.plan import Plan

_LONGEST_NAME = 200  # characters of an attack beside its numbers
_LONGEST_TITLE = 140  # which two lines above the bars can hold


def odds_picture(read: str, odds: Odds, told: Mapping[str, Sequence[Line]]) -> Picture:
    """The counts of one attack of which `told` is said in words; the attack is called as it was read."""
    what = read.removeprefix("odds ")
    names = {"slain": "models slain"}
    series = tuple((names.get(noun, noun), tuple(getattr(odds, noun).tolist())) for noun in told)
    said = " ".join(_in_words(noun, odds, lines) for noun, lines in told.items())
    return Picture(what, series, f"Bars of chances: {cut(what, _LONGEST_NAME)}. {said}")


def compare_picture(names: str, called: Sequence[str], plans: Sequence[Plan], found: Sequence[Odds]) -> Picture:
    """Models slain by each attack, one below the other; of long attacks is told in what they differ."""
    told = list(zip(names, briefly(called, _LONGEST_TITLE), plans, found, strict=True))
    series = tuple((f"{name}: {what}: models slain", tuple(odds.slain.tolist())) for name, what, _, odds in told)
    said = [f"{name}: {what}. {_slain(plan, odds)}" for name, what, plan, odds in told]
    return Picture("models slain, side by side", series, f"Bars of chances. {' '.join(said)}")


def _slain(planned: Plan, odds: Odds) -> str:
    return _in_words("slain", odds, spread_lines("slain", odds.slain, not may_come_to_nothing(planned)))


def _in_words(noun: str, odds: Odds, lines: Sequence[Line]) -> str:
    """The average, the likeliest, the usual range and the chances of at least so many."""
    usual, at_least = lines
    return f"{usual.text}, on average {number_words(float(odds.mean[noun]))}; {at_least.text}."
