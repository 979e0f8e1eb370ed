"""The dice of moving: charge, advance, reach, and several charges together; exact, each with its reasons.

Distances are inches between nearest points. A chance is a Fraction; totals map each total of the dice,
modifier and re-roll included, to its chance. All of it is common practice (no source) and ruleset data.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate
from math import ceil, prod

from resolver.amount import Amount
from resolver.refused import Refused, within
from resolver.ruleset import Movement

LONGEST = 1000  # inches
LARGEST_MODIFIER = 10
LEAST = 2  # no charge needs less, however near
NOTHING_AGAIN = "there are no dice to throw again, so the re-roll has no effect"

Totals = Mapping[int, Fraction]


class ChargeReroll(StrEnum):
    """`WHOLE` throws all dice of the charge again; `ONE` throws the lowest die again."""

    WHOLE = "whole"
    ONE = "one die"


@dataclass(frozen=True, kw_only=True)
class ChargeOdds:
    """A charge: `needs` is the total that succeeds, None when the charge cannot be declared."""

    distance: float | None
    needs: int | None
    chance: Fraction
    totals: Totals
    reasons: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class ReachOdds:
    """A move, then a charge: certain up to `certain_to` inches (None: never), none beyond `safe_from`."""

    distance: float
    move: float
    needs: int | None
    chance: Fraction
    totals: Totals
    certain_to: float | None
    safe_from: float
    reasons: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class AdvanceOdds:
    """An advance; `totals` are the inches of move and dice together."""

    move: float | None
    totals: Mapping[float, Fraction]
    mean: Fraction
    reasons: tuple[str, ...]


def charge(movement: Movement, distance: float, *, modifier: int = 0, reroll: ChargeReroll | None = None) -> ChargeOdds:
    """The chance of a charge from a measured distance."""
    within("distance", distance, 0, LONGEST)
    within("modifier to charge", modifier, -LARGEST_MODIFIER, LARGEST_MODIFIER)
    if distance > movement.charge_within:
        why = f'{distance:g}" is beyond {movement.charge_within:g}", so no charge can be declared'
        totals = _shifted(sum_of(movement.charge), modifier)
        return ChargeOdds(distance=distance, needs=None, chance=Fraction(), totals=totals, reasons=(why,))
    needs = needed(movement, distance)
    totals = charge_totals(movement.charge, needs, modifier, reroll)
    return ChargeOdds(
        distance=distance,
        needs=needs,
        chance=at_least(totals, needs),
        totals=totals,
        reasons=(_why_needed(movement, distance, needs, modifier), *_why_dice(movement.charge, modifier, reroll)),
    )


def charge_needing(
    movement: Movement, needs: int, *, modifier: int = 0, reroll: ChargeReroll | None = None
) -> ChargeOdds:
    """The chance of a charge of which the number needed is known, whatever the tape says."""
    within("charge number", needs, 1, LONGEST)
    within("modifier to charge", modifier, -LARGEST_MODIFIER, LARGEST_MODIFIER)
    totals = charge_totals(movement.charge, needs, modifier, reroll)
    best = movement.charge.high + modifier
    short = (f"{movement.charge} reaches {best} at most",) if best < needs else ()
    return ChargeOdds(
        distance=None,
        needs=needs,
        chance=at_least(totals, needs),
        totals=totals,
        reasons=(_why_number(movement, needs), *_why_dice(movement.charge, modifier, reroll), *short),
    )


def reach(
    movement: Movement, distance: float, move: float, *, modifier: int = 0, reroll: ChargeReroll | None = None
) -> ReachOdds:
    """The chance that a unit at `distance` charges next turn, after a normal move of up to `move` towards us.

    The normal move may not end within engagement, so the unit stops just outside it at the nearest.
    Refused when the units are engaged already.
    """
    within("distance", distance, 0, LONGEST)
    within("move", move, 0, LONGEST)
    engaged = movement.engaged_within
    if distance <= engaged:
        raise Refused("distance", f'at {distance:g}" the units are engaged already (within {engaged:g}")')
    left = float(max(_exact(distance) - _exact(move), _exact(engaged)))
    after = charge(movement, left, modifier=modifier, reroll=reroll)
    how = after.reasons if left > engaged else after.reasons[1:]
    return ReachOdds(
        distance=distance,
        move=move,
        needs=after.needs,
        chance=after.chance,
        totals=after.totals,
        certain_to=_certain_to(movement, move, modifier),
        safe_from=_safe_from(movement, move, modifier),
        reasons=(_why_left(movement, move, left, modifier), *how),
    )


def advance(movement: Movement, move: float | None, *, reroll: bool = False) -> AdvanceOdds:
    """How far an advance goes: move and dice, or the dice alone if the move is not said.

    A re-roll is used on dice that show less than their mean.
    """
    start = move or 0
    within("move", start, 0, LONGEST)
    dice = sum_of(movement.advance)
    reasons = [f"{movement.advance} beyond its move" if move is None else f'move {move:g}" plus {movement.advance}']
    if reroll:
        average = mean(dice)
        dice = _thrown_again(dice, lambda total: total < average)
        again = f"thrown again once when the dice show less than their mean of {float(average):g}"
        reasons.append(again if movement.advance.dice else NOTHING_AGAIN)
    return AdvanceOdds(
        move=move,
        totals={float(_exact(start) + total): chance for total, chance in dice.items()},
        mean=_exact(start) + mean(dice),
        reasons=tuple(reasons),
    )


def none_of(chances: Iterable[Fraction]) -> Fraction:
    """The chance that none of several independent things happens."""
    return prod((1 - chance for chance in chances), start=Fraction(1))


def at_least_so_many(chances: Iterable[Fraction], least: int) -> Fraction:
    """The chance that at least so many of several independent things happen (Poisson's binomial distribution)."""
    happen = [Fraction(1)]
    for chance in chances:
        stay, more = [*happen, Fraction()], [Fraction(), *happen]
        happen = [before * (1 - chance) + one_less * chance for before, one_less in zip(stay, more, strict=True)]
    return sum(happen[least:], Fraction())


def needed(movement: Movement, distance: float) -> int:
    """The total that brings a unit from a measured distance into engagement, at least LEAST."""
    gap = _exact(distance) - _exact(movement.engaged_within)
    return max(LEAST, ceil(gap))


def charge_totals(dice: Amount, needs: int, modifier: int = 0, reroll: ChargeReroll | None = None) -> Totals:
    """The totals of a charge of which `needs` or more succeeds; only a failed roll is thrown again."""
    if reroll is ChargeReroll.ONE and dice.dice:
        return _one_again(dice, needs, modifier)
    totals = _shifted(sum_of(dice), modifier)
    if reroll is ChargeReroll.WHOLE:
        totals = _thrown_again(totals, lambda total: total < needs)
    return totals


@lru_cache(maxsize=16)
def sum_of(amount: Amount) -> Totals:
    """Every total of the amount with its chance."""
    all_ways = amount.sides**amount.dice
    ways = _ways(amount.dice, range(1, amount.sides + 1))
    return {total + amount.plus: Fraction(count, all_ways) for total, count in ways.items()}


def at_least(totals: Totals, needs: int) -> Fraction:
    """The chance of `needs` or more."""
    return sum((chance for total, chance in totals.items() if total >= needs), Fraction())


def mean(totals: Totals) -> Fraction:
    """The expected total."""
    return sum((total * chance for total, chance in totals.items()), Fraction())


def lowest_and_total(dice: Amount) -> Iterator[tuple[int, int, Fraction]]:
    """Each lowest face and total that can come together, with their chance."""
    all_ways = dice.sides**dice.dice
    for lowest in range(1, dice.sides + 1):
        higher = _ways(dice.dice, range(lowest + 1, dice.sides + 1))
        for total, count in _ways(dice.dice, range(lowest, dice.sides + 1)).items():
            if count > higher.get(total, 0):
                yield lowest, total + dice.plus, Fraction(count - higher.get(total, 0), all_ways)


def _exact(number: float) -> Fraction:
    """The number as it was written: 9.1 is 91/10."""
    return Fraction(repr(number))


def _ways(dice: int, faces: range) -> dict[int, int]:
    """In how many ways each total arises from `dice` dice that show only these faces, which are in a row."""
    if not faces:
        return {} if dice else {0: 1}
    ways = [1]
    for _ in range(dice):
        sums = [*accumulate(ways, initial=0)]
        sums += [sums[-1]] * (len(faces) - 1)
        ways = [sums[at + 1] - sums[max(0, at + 1 - len(faces))] for at in range(len(ways) + len(faces) - 1)]
    return dict(enumerate(ways, dice * faces[0]))


def _shifted(totals: Totals, modifier: int) -> Totals:
    return {total + modifier: chance for total, chance in totals.items()}


def _thrown_again(totals: Totals, failed: Callable[[int], bool]) -> Totals:
    """Totals after one new throw of everything whenever the first total failed."""
    again = sum((chance for total, chance in totals.items() if failed(total)), Fraction())
    return {total: chance * again if failed(total) else chance * (1 + again) for total, chance in totals.items()}


def _one_again(dice: Amount, needs: int, modifier: int) -> Totals:
    """Totals after a new throw of the lowest die whenever the first total failed."""
    totals: dict[int, Fraction] = {}
    faces = range(1, dice.sides + 1)
    for lowest, total, chance in lowest_and_total(dice):
        total += modifier
        again = [total] if total >= needs else [total - lowest + face for face in faces]
        for after in again:
            totals[after] = totals.get(after, Fraction()) + chance / len(again)
    return dict(sorted(totals.items()))


def _certain_to(movement: Movement, move: float, modifier: int) -> float | None:
    """The farthest distance from which even the lowest roll succeeds."""
    lowest = movement.charge.low + modifier
    if lowest < LEAST:
        return None
    sure = _exact(movement.engaged_within) + lowest
    return float(_exact(move) + min(sure, _exact(movement.charge_within)))


def _safe_from(movement: Movement, move: float, modifier: int) -> float:
    """Beyond this distance no charge can be declared, or none that even the highest roll would bring home."""
    highest = movement.charge.high + modifier
    if highest < LEAST:
        return movement.engaged_within
    home = _exact(movement.engaged_within) + highest
    return float(_exact(move) + min(home, _exact(movement.charge_within)))


def _why_needed(movement: Movement, distance: float, needs: int, modifier: int) -> str:
    engaged = movement.engaged_within
    gap = _exact(distance) - _exact(engaged)
    tape = f'{distance:g}" measured, and the unit must end within {engaged:g}"'
    sure = movement.charge.low + modifier >= needs
    always = f"{needs} or more" + (", which the dice always show" if sure else ", as of every charge")
    if gap <= 0:
        return f"{tape}: it stands there already" + ("" if sure else f", and {always}")
    if ceil(gap) < needs:
        return f"{tape}: {always}"
    return f"{tape}: {float(gap):g} to go, so {needs} or more"


def _why_number(movement: Movement, needs: int) -> str:
    """The distances on the tape that need just this number."""
    longest, farthest = _exact(movement.charge_within), needs + _exact(movement.engaged_within)
    nearest = farthest - 1
    if nearest >= longest:
        return f'{needs} or more, which no tape of up to {float(longest):g}" asks for'
    up_to = f'up to {float(min(farthest, longest)):g}"'
    if needs <= LEAST:
        return f"{needs} or more, as on a tape of {up_to}"
    return f'{needs} or more, as on a tape of more than {float(nearest):g}" and {up_to}'


def _why_dice(dice: Amount, modifier: int, reroll: ChargeReroll | None) -> tuple[str, ...]:
    reasons = [f"{dice} {modifier:+d}" if modifier else f"{dice}"]
    if not dice.dice:
        return (f"{reasons[0]}, without dice", *((NOTHING_AGAIN,) if reroll else ()))
    if reroll is ChargeReroll.WHOLE:
        reasons.append("all dice are thrown again once if the total falls short")
    elif reroll is ChargeReroll.ONE:
        reasons.append("the lowest die is thrown again if the total falls short; no other choice does better")
    return tuple(reasons)


def _why_left(movement: Movement, move: float, left: float, modifier: int) -> str:
    if left > movement.engaged_within:
        return f'after a move of {move:g}" it stands {left:g}" away'
    always = ", which the dice always show" if movement.charge.low + modifier >= LEAST else ""
    return (
        f'a move of up to {move:g}" brings it just outside {movement.engaged_within:g}" '
        f"(a normal move does not end closer), so {LEAST} or more{always}"
    )
