"""The wording of chances and averages: never certain unless it is, never more digits than help."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from math import floor

Chance = float | Fraction

# Shares that a player pictures at once; the nearest one is said.
_WHOLES = (2, 3, 4, 5, 6, 10)
_FAMILIAR = (
    *(Fraction(part, whole) for whole in _WHOLES for part in range(1, whole)),
    *(Fraction(1, whole) for whole in (7, 8, 9)),
)
_RARE = Fraction(1, 10)
_LARGEST_DENOMINATOR = 1296  # four six-sided dice; a longer fraction tells a player nothing
_SAME = 1e-12
_DUST = 1e-9  # what sums of floats leave below a half, at most


def chance_words(chance: Chance, against: Chance | None = None, *, short: bool = False, settled: bool = True) -> str:
    """A chance with its everyday form beside it: "17% (about 1 in 6)"; the bare percentage if `short`.

    `against` is the chance of the contrary where it is known better than 1 - chance. `settled` False says
    that both are possible, whatever a sum of floats has been rounded to.
    """
    if not settled:
        chance, against = _open(chance), _open(_contrary(chance) if against is None else against)
    share = percent(chance, against)
    if short:
        return share.replace("under ", "<").replace("over ", ">")
    if share in ("0%", "100%"):
        return share
    return f"{share} ({share_words(chance, against)})"


@lru_cache(maxsize=1024)  # a few dice have few different chances
def fraction_words(chance: Fraction) -> str:
    """A chance known exactly, its fraction said unless too long to help: "28% (5/18, about 3 in 10)"."""
    share, everyday = percent(chance), share_words(chance)
    if share in ("0%", "100%"):
        return share
    if chance.denominator > _LARGEST_DENOMINATOR or everyday == f"{chance.numerator} in {chance.denominator}":
        return f"{share} ({everyday})"
    return f"{share} ({chance}, {everyday})"


def percent(chance: Chance, against: Chance | None = None) -> str:
    """A chance as a percentage; "100%" and "0%" only for what is certain."""
    against = _contrary(chance) if against is None else against
    if against <= 0:
        return "100%"
    if chance <= 0:
        return "0%"
    if chance < 0.001:
        return "under 0.1%"
    if against < 0.001:
        return "over 99.9%"
    if min(chance, against) >= 0.01:
        return f"{_rounded(100 * chance)}%"
    tenths = _rounded(1000 * chance)
    return f"{tenths / 10:g}%"


def share_words(chance: Chance, against: Chance | None = None) -> str:
    """A chance as people say it: "1 in 6", "about 3 in 10", "all but 1 in 36"; "about" unless exactly so."""
    against = _contrary(chance) if against is None else against
    if against <= 0:
        return "always"
    if chance <= 0:
        return "never"
    if chance < _RARE:
        return _one_in(chance)
    if against < _RARE and not _is(against, _RARE):
        return f"all but {_one_in(against)}"
    said = min(_FAMILIAR, key=lambda share: abs(float(share) - float(chance)))
    if said == Fraction(1, 2) and not _is(chance, said):
        return "about even"
    return f"{_about(chance, said)}{said.numerator} in {said.denominator}"


def number_words(value: Chance) -> str:
    """An average: whole if it is, otherwise one digit after the point, two below 1, none from 100 on."""
    average = float(value)
    nearest, size = round(average), abs(average)
    if abs(average - nearest) <= _SAME * max(1.0, size) or size >= 100:
        return f"{nearest:,}"
    if size < 0.005:
        return "<0.01"
    digits = 1 if size >= 0.995 else 2
    return f"{_rounded(average * 10**digits) / 10**digits:.{digits}f}"


def _open(chance: Chance) -> Chance:
    """A chance that is not 0, however little of it is left."""
    return chance if chance > 0 else 1e-300


def _contrary(chance: Chance) -> Chance:
    return 1 - chance


def _rounded(number: Chance) -> int:
    """The nearest whole number, halves up, as a person rounds."""
    return floor(float(number) + 0.5 + _DUST)


def _one_in(chance: Chance) -> str:
    """ "1 in N" for a rare thing, N with two digits that count at most."""
    if chance < 1e-6:
        return "fewer than 1 in a million"
    times, unit = 1 / float(chance), 1
    while times >= 100 * unit:
        unit *= 10
    shown = _rounded(times / unit) * unit
    return f"{_about(chance, Fraction(1, shown))}1 in {shown:,}"


def _about(chance: Chance, said: Fraction) -> str:
    return "" if _is(chance, said) else "about "


def _is(chance: Chance, said: Fraction) -> bool:
    return abs(float(chance) - float(said)) <= _SAME
