"""Small attacks of every kind for hypothesis to choose from, and the rules they are played under."""

from dataclasses import replace

from hypothesis import strategies as st

from bot.content import load_rulesets
from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup

RULESETS = load_rulesets()
STANDARD = RULESETS["standard"]

NUMBERS = st.integers(2, 6)
REROLLS = st.one_of(st.none(), st.sampled_from(Reroll))
SAVE_REROLLS = st.sampled_from([None, None, Reroll.ONES, Reroll.FAILED, Reroll.ONE_FAILED])
ATTACKS = st.one_of(
    st.integers(1, 4).map(fixed),
    st.sampled_from([Amount(1, 3), Amount(1, 3, 1), Amount(2, 3, -1), Amount(1, 6), Amount(2, 2)]),
)
DAMAGE = st.one_of(
    st.integers(1, 4).map(fixed),
    st.sampled_from([Amount(1, 3), Amount(1, 3, 1), Amount(2, 3, -1), Amount(1, 6), Amount(1, 6, 2)]),
)
EXTRA = st.sampled_from([None, None, fixed(1), fixed(2), Amount(1, 3), Amount(2, 2, -1)])


@st.composite
def weapons(draw: st.DrawFn, most_models: int = 2) -> WeaponGroup:
    """A shooting weapon group; a half-range bonus goes with a range of 24 inches."""
    double = draw(st.sampled_from([False, False, True]))
    plus = draw(st.sampled_from([None, None, fixed(1), Amount(1, 3)]))
    return WeaponGroup(
        attacks=draw(ATTACKS),
        models=draw(st.integers(1, most_models)),
        hit=draw(st.one_of(st.none(), NUMBERS, NUMBERS, NUMBERS)),
        strength=draw(st.integers(1, 10)),
        wound=draw(st.one_of(st.none(), st.none(), NUMBERS)),
        ap=draw(st.integers(0, 3)),
        damage=draw(DAMAGE),
        to_hit=draw(st.integers(-2, 2)),
        to_wound=draw(st.integers(-2, 2)),
        reroll_hit=draw(REROLLS),
        reroll_wound=draw(REROLLS),
        critical_hit=draw(st.one_of(st.none(), NUMBERS)),
        critical_wound=draw(st.one_of(st.none(), NUMBERS)),
        extra_hits=draw(EXTRA),
        critical_hits_wound=draw(st.booleans()),
        critical_wounds_pierce=draw(st.booleans()),
        range=24.0 if double or plus else None,
        half_double=double,
        half_plus=plus,
        spills=draw(st.sampled_from([False, False, True])),
    )


@st.composite
def groups(draw: st.DrawFn, models: st.SearchStrategy[int | None]) -> TargetGroup:
    """A target group; its first model may have lost wounds."""
    wounds = draw(st.integers(1, 4))
    return TargetGroup(
        models=draw(models),
        wounds=wounds,
        save=draw(st.one_of(st.none(), NUMBERS)),
        fixed_save=draw(st.one_of(st.none(), st.none(), NUMBERS)),
        ignore=draw(st.one_of(st.none(), st.none(), NUMBERS)),
        reduce=draw(st.integers(0, 2)),
        halve=draw(st.booleans()),
        cover=draw(st.booleans()),
        reroll_save=draw(SAVE_REROLLS),
        lost=draw(st.integers(0, wounds - 1)),
    )


@st.composite
def attacks(draw: st.DrawFn, most_weapons: int = 2, most_groups: int = 3) -> Attack:
    """An attack small enough for fractions: one or more weapon groups on one or more target groups."""
    count = draw(st.integers(1, most_groups))
    few = st.integers(1, 3)
    models = st.one_of(st.none(), few, st.integers(4, 11)) if count == 1 else few
    target = tuple(draw(groups(models)) for _ in range(count))
    unit = Target(groups=target, toughness=draw(st.integers(1, 10)))
    each = 2 if most_weapons == 1 else 1
    chosen = [draw(weapons(each)) for _ in range(draw(st.integers(1, most_weapons)))]
    if unit.models is not None:
        chosen = [replace(weapon, per_five=draw(st.integers(0, 1))) for weapon in chosen]
    distance = draw(st.sampled_from([6.0, 12.0, 18.0]))
    return Attack(weapons=tuple(chosen), target=unit, distance=distance)
