"""Pictures of reckoned attacks, each with the same in words for whoever cannot see it."""

from __future__ import annotations

from collections.abc import Sequence

from bot.chances import number_words
from bot.differing import cut
from bot.reply import Picture
from bot.spread import may_come_to_nothing, spread_lines
from bot.wording import attack_text
from resolver.attack import Attack
from resolver.exact import Odds
from resolver.plan import Plan

_LONGEST_NAME = 200  # characters of an attack beside its numbers


def odds_picture(read: str, planned: Plan, odds: Odds) -> Picture:
    """Damage and models slain by one attack, which is called as it was read."""
    what = read.removeprefix("odds ")
    series = (("damage", tuple(odds.damage.tolist())), ("models slain", tuple(odds.slain.tolist())))
    said = " ".join(_in_words(noun, planned, odds) for noun in ("damage", "slain"))
    return Picture(what, series, f"Bars of chances: {cut(what, _LONGEST_NAME)}. {said}")


def compare_picture(names: str, attacks: Sequence[Attack], plans: Sequence[Plan], found: Sequence[Odds]) -> Picture:
    """Models slain by each attack, one below the other."""
    told = list(zip(names, map(attack_text, attacks), plans, found, strict=True))
    series = tuple((f"{name}: {what}: models slain", tuple(odds.slain.tolist())) for name, what, _, odds in told)
    said = [f"{name}: {cut(what, _LONGEST_NAME)}. {_in_words('slain', plan, odds)}" for name, what, plan, odds in told]
    return Picture("models slain, side by side", series, f"Bars of chances. {' '.join(said)}")


def _in_words(noun: str, planned: Plan, odds: Odds) -> str:
    """The average, the likeliest, the usual range and the chances of at least so many."""
    usual, at_least = spread_lines(noun, getattr(odds, noun), not may_come_to_nothing(planned))
    return f"{usual.text}, on average {number_words(float(odds.mean[noun]))}; {at_least.text}."
