"""Step by step is the live roll itself, stopped where the faces end; mending is the live roll with old faces."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.content import load_rulesets
from bot.steps import dice_words, outcome, pick_up, walk, wrong_faces
from bot.table.mended import Reused, handfuls
from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup
from resolver.live import Throw, roll
from resolver.plan import Plan, plan

STANDARD = load_rulesets()["standard"]
NAMES = ("rifle", "gun")
faces = st.integers(1, 6)


def attack(ap: int = 0, hit: int = 4) -> Attack:
    rifle = WeaponGroup(attacks=fixed(1), models=5, hit=hit, strength=4, ap=ap, reroll_hit=Reroll.ONES)
    gun = WeaponGroup(attacks=Amount(1, 3), hit=3, strength=6, ap=1, damage=Amount(1, 3))
    target = Target(groups=(TargetGroup(models=4, wounds=2, save=4, ignore=6),), toughness=4)
    return Attack(weapons=(rifle, gun), target=target)


def endless(seed: Sequence[int]) -> deque[int]:
    return deque([*seed, *[1, 4, 6, 2, 5, 3] * 60])


def drawn(planned: Plan, seed: Sequence[int]) -> list[tuple[Throw, list[int]]]:
    """Every handful of a roll with these faces, brought onto the die that is asked for."""
    source, thrown = endless(seed), []

    def give(throw: Throw) -> list[int]:
        taken = [(source.popleft() - 1) % throw.sides + 1 for _ in range(throw.count)]
        thrown.append((throw, taken))
        return taken

    roll(planned, give)
    return thrown


@given(st.lists(faces, max_size=40))
def test_walking_all_handfuls_is_the_roll(seed: list[int]) -> None:
    planned = plan(attack(), STANDARD)
    thrown = drawn(planned, seed)
    left = deque(taken for _, taken in thrown)
    whole = roll(planned, lambda throw: left.popleft())
    for count in range(len(thrown)):
        walked = walk(planned, [taken for _, taken in thrown[:count]])
        assert walked.next == thrown[count][0]
        assert walked.rolled is None
    end = walk(planned, [taken for _, taken in thrown])
    assert (end.next, end.rolled) == (None, whole)


def mended(before: Plan, after: Plan, seed: list[int]) -> tuple[Reused, object]:
    left = deque(taken for _, taken in drawn(before, seed))
    rolled = roll(before, lambda throw: left.popleft())
    pool = handfuls(before, [dict(group.faces) for group in rolled.weapons], NAMES)
    reused = Reused(pool, NAMES, lambda throw: [1] * throw.count)
    return reused, (rolled, roll(after, reused))


@given(st.lists(faces, max_size=40))
def test_mending_nothing_gives_the_same_roll_and_draws_nothing(seed: list[int]) -> None:
    planned = plan(attack(), STANDARD)
    reused, both = mended(planned, planned, seed)
    assert isinstance(both, tuple)
    assert both[0] == both[1]
    assert (reused.drawn, reused.unused) == (0, 0)


@given(st.lists(faces, max_size=40), st.integers(0, 3), st.integers(2, 6))
def test_mending_keeps_every_first_face_that_is_still_asked_for(seed: list[int], ap: int, hit: int) -> None:
    before, after = plan(attack(), STANDARD), plan(attack(ap, hit), STANDARD)
    _, both = mended(before, after, seed)
    assert isinstance(both, tuple)
    for old, new in zip(both[0].weapons, both[1].weapons, strict=True):
        for step in ("attacks", "hit", "wound"):
            first = [die[0] for die in old.faces[step]]
            again = [die[0] for die in new.faces[step]]
            shared = min(len(first), len(again))
            assert first[:shared] == again[:shared]


def test_what_to_pick_up_is_said_with_its_number_and_reason() -> None:
    first = walk(plan(attack(), STANDARD), []).next
    assert first is not None
    lines = pick_up(first, " (rifles)")
    assert lines[0] == "To hit (rifles): pick up 5 dice."
    assert lines[1] == "4+ hits: each die that shows 4 or more."
    assert lines[2].startswith("Why: ")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ([1, 2, 3], "this step takes 5 dice, and you typed 3 faces"),
        ([1], "this step takes 5 dice, and you typed 1 face"),
        ([1, 2, 3, 4, 7], "a 6-faced die shows 1 to 6, not 7"),
        ([1, 2, 3, 4, 6], None),
    ],
)
def test_faces_that_cannot_be_are_named(typed: list[int], said: str | None) -> None:
    first = walk(plan(attack(), STANDARD), []).next
    assert first is not None
    assert wrong_faces(first, typed) == said


def test_odd_dice_are_called_by_their_faces() -> None:
    assert dice_words(Throw(step="damage", sides=3, count=2)) == "2 3-faced dice"
    assert dice_words(Throw(step="damage", sides=6, count=1)) == "1 die"
    assert outcome(Throw(step="damage", sides=3, count=2), [1, 3]) == "damage: 1 3, 4 in all"
