"""Requests drawn at random, every one of them valid: what the canonical line must be able to say."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from bot.level import ALL_SLAIN, Bound, Level
from bot.requests.attack import Compare, Odds, Roll
from bot.requests.dice import (
    AdvanceDice,
    Charge,
    ChargeReroll,
    Charges,
    Needs,
    Reach,
    RollDice,
    RollOff,
    SeveralNeeds,
)
from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup

NUMBERS = st.integers(2, 6)
QUARTERS = st.integers(2, 400).map(lambda quarters: quarters / 4)
REROLLS = st.sampled_from(Reroll)
OF_SAVES = st.sampled_from([Reroll.ONES, Reroll.FAILED, Reroll.ONE_FAILED])


def perhaps(values: st.SearchStrategy) -> st.SearchStrategy:
    """A value or None."""
    return st.none() | values


@st.composite
def dice(draw: st.DrawFn, least: int, most: int) -> Amount:
    """Dice that add up to `least` or more, `most` or less."""
    count = draw(st.integers(1, 4))
    sides = draw(st.integers(2, most // count))
    return Amount(count, sides, draw(st.integers(least - count, most - count * sides)))


def amounts(most: int) -> st.SearchStrategy[Amount]:
    """Numbers and dice from 1 to `most`."""
    return st.integers(1, most).map(fixed) | dice(1, most)


@st.composite
def weapons(draw: st.DrawFn, melee: bool, distance: float | None) -> WeaponGroup:
    """A weapon group that fits the distance."""
    reach = None if melee else draw(perhaps(QUARTERS.filter(lambda inches: inches >= (distance or 0))))
    bonus = reach is not None and distance is not None
    return WeaponGroup(
        attacks=draw(amounts(40)),
        models=draw(st.integers(1, 5)),
        melee=melee,
        hit=draw(perhaps(NUMBERS)),
        strength=draw(st.integers(1, 100)),
        wound=draw(perhaps(NUMBERS)),
        ap=draw(st.integers(0, 100)),
        damage=draw(amounts(100)),
        to_hit=draw(st.integers(-10, 10)),
        to_wound=draw(st.integers(-10, 10)),
        reroll_hit=draw(perhaps(REROLLS)),
        reroll_wound=draw(perhaps(REROLLS)),
        critical_hit=draw(perhaps(NUMBERS)),
        critical_wound=draw(perhaps(NUMBERS)),
        extra_hits=draw(perhaps(amounts(100))),
        critical_hits_wound=draw(st.booleans()),
        critical_wounds_pierce=draw(st.booleans()),
        range=reach,
        half_double=bonus and draw(st.booleans()),
        half_plus=draw(perhaps(amounts(100))) if bonus else None,
        per_five=draw(st.integers(0, 9)),
        spills=draw(st.booleans()),
    )


@st.composite
def groups(draw: st.DrawFn, melee: bool) -> TargetGroup:
    """A target group; its number of models is always said."""
    wounds = draw(st.integers(1, 100))
    return TargetGroup(
        models=draw(st.integers(1, 40)),
        wounds=wounds,
        save=draw(perhaps(NUMBERS)),
        fixed_save=draw(perhaps(NUMBERS)),
        ignore=draw(perhaps(NUMBERS)),
        reduce=draw(st.integers(0, 100)),
        halve=draw(st.booleans()),
        cover=not melee and draw(st.booleans()),
        reroll_save=draw(perhaps(OF_SAVES)),
        lost=draw(st.integers(0, min(wounds - 1, 5))),
    )


@st.composite
def attacks(draw: st.DrawFn) -> Attack:
    """A whole attack."""
    melee = draw(st.booleans())
    distance = None if melee else draw(perhaps(QUARTERS))
    return Attack(
        weapons=tuple(draw(st.lists(weapons(melee, distance), min_size=1, max_size=3))),
        target=Target(
            groups=tuple(draw(st.lists(groups(melee), min_size=1, max_size=3))), toughness=draw(st.integers(1, 100))
        ),
        distance=distance,
    )


FACES = st.lists(st.integers(1, 6), min_size=1, max_size=12).map(tuple)
ROLLS = st.builds(Roll, attacks(), perhaps(FACES))
BOUNDS = st.sampled_from([Bound.AT_LEAST, Bound.AT_MOST, Bound.EXACTLY])
COUNTS = st.sampled_from(["hits", "wounds", "unsaved", "damage", "slain"])
LEVELS = st.builds(Level, COUNTS, BOUNDS, st.integers(0, 100_000)) | st.just(ALL_SLAIN)
ODDS = st.builds(Odds, attacks(), perhaps(LEVELS))
COMPARES = st.builds(Compare, st.lists(attacks(), min_size=2, max_size=3).map(tuple), perhaps(LEVELS))

STATS = st.integers(1, 100)
BY = st.integers(-10, 10)
CRITICAL = perhaps(NUMBERS)
NEEDS_TO_HIT = st.builds(
    Needs,
    check=st.just("hit"),
    number=NUMBERS,
    modifier=BY,
    reroll=perhaps(REROLLS),
    critical=CRITICAL,
    melee=st.booleans(),
)
NEEDS_TO_WOUND = st.builds(
    Needs,
    check=st.just("wound"),
    strength=STATS,
    toughness=STATS,
    modifier=BY,
    reroll=perhaps(REROLLS),
    critical=CRITICAL,
)
NEEDS_TO_SAVE = st.builds(
    Needs,
    check=st.just("save"),
    number=NUMBERS,
    ap=st.integers(0, 100),
    fixed_save=perhaps(NUMBERS),
    cover=st.booleans(),
    reroll=perhaps(OF_SAVES),
)
NEEDS = st.one_of(NEEDS_TO_HIT, NEEDS_TO_WOUND, NEEDS_TO_SAVE)
_SHOOTING = NEEDS_TO_HIT.map(lambda needs: replace(needs, melee=False))
SEVERAL_NEEDS = st.tuples(_SHOOTING, NEEDS_TO_WOUND, NEEDS_TO_SAVE).map(SeveralNeeds)

HOW = perhaps(st.sampled_from(ChargeReroll))
CHARGES_OF_A_NUMBER = st.builds(Charge, number=QUARTERS, modifier=BY, reroll=HOW, roll=st.just(False))
CHARGES_NEEDING = st.builds(Charge, needs=st.integers(1, 40), modifier=BY, reroll=HOW, roll=st.just(False))
CHARGES_FROM = st.builds(Charge, distance=QUARTERS, modifier=BY, reroll=HOW, roll=st.just(False))
ONE_CHARGE = st.one_of(CHARGES_OF_A_NUMBER, CHARGES_NEEDING, CHARGES_FROM)
ROLLED_CHARGE = st.one_of(
    st.builds(Charge, number=QUARTERS, modifier=BY, reroll=HOW, roll=st.just(True)),
    st.builds(Charge, needs=st.integers(1, 40), modifier=BY, reroll=HOW, roll=st.just(True)),
    st.builds(Charge, distance=QUARTERS, modifier=BY, reroll=HOW, roll=st.just(True)),
)
SEVERAL = st.builds(Charges, options=st.lists(ONE_CHARGE, min_size=2, max_size=4).map(tuple))
REACHES = st.builds(Reach, distance=QUARTERS, move=QUARTERS, modifier=BY, reroll=HOW)
ADVANCES = st.builds(AdvanceDice, move=perhaps(QUARTERS), reroll=st.booleans(), roll=st.booleans())
DICE = dice(0, 100).map(RollDice)
ROLL_OFF = st.just(RollOff())
