"""What a distribution says to a player, and that nothing is called certain or impossible by rounding."""

from __future__ import annotations

from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from asked import NO_WOUND_ROLL, STANDARD
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from bot.asked import Asked
from bot.channels.paint import plain
from bot.glossary import Glossary
from bot.house import House
from bot.ledger import Storage
from bot.requests.attack import Odds
from bot.spread import at_least_words, last_step, may_come_to_nothing, spread_lines, steps
from bot.verbs import odds
from resolver.amount import fixed
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.plan import plan
from resolver.ruleset import Ruleset


def attack(number: int, models: int | None, wounds: int = 1, save: int | None = 6, hit: int | None = 3) -> Attack:
    weapon = WeaponGroup(attacks=fixed(number), hit=hit, strength=9)
    group = TargetGroup(models=models, wounds=wounds, save=save)
    return Attack(weapons=(weapon,), target=Target(toughness=4, groups=(group,)))


def told(asked: Attack, tmp_path: Path, ruleset: Ruleset = STANDARD) -> str:
    clock = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
    with Storage(str(tmp_path / "record.db"), lambda: clock, lambda count: b"\7" * count) as storage:
        house = House({ruleset.id: ruleset}, Glossary(), storage, ruleset.id)
        return plain(odds.answer(Odds(asked), Asked("as typed", "Ada", "low-ferry"), house), 100)


def test_two_lines_tell_the_likeliest_the_range_the_spread_and_at_least_k() -> None:
    coin = np.array([1, 5, 10, 10, 5, 1]) / 32
    first, second = spread_lines("slain", coin)
    assert first.text == "slain: most likely 2 or 3, 94% are 1 to 4, spread 1.1"
    assert second.text == "at least 1: 97%, 2: 81%, 3: 50%, 4: 19%, 5: 3%"


def test_a_range_of_one_result_is_that_result() -> None:
    first, second = spread_lines("damage", np.array([0.0, 1.0]))
    assert first.text == "damage: most likely 1, always 1, spread 0"
    assert second.text == "at least 1: 100%"


def test_what_can_only_be_nothing_is_said_to_be_nothing() -> None:
    assert spread_lines("slain", np.array([1.0]))[1].text == "never any slain"


@given(st.integers(1, 500))
def test_a_handful_of_steps_begin_at_one_and_end_at_the_last(most: int) -> None:
    found = steps(np.array([0.5, *[0.0] * (most - 1), 0.5]))
    assert found[0] == 1
    assert found[-1] == most
    assert len(found) <= 6
    assert found == sorted(set(found))


def test_steps_lie_where_the_chances_change() -> None:
    pool = binom(1000, 0.5)
    found = steps(pool.pmf(np.arange(1001)))
    assert (found[0], found[-1]) == (pool.ppf(0.01), pool.ppf(0.99))


def test_what_can_be_nothing_else_is_always_so() -> None:
    first, _ = spread_lines("slain", np.array([0.5, 0.5]))
    assert first.text == "slain: most likely 0 or 1, always 0 to 1, spread 0.50"


def test_steps_end_where_all_but_one_in_a_hundred_have_ended() -> None:
    long_tail = np.array([0.5, 0.3, 0.195, *[0.005 / 97] * 97])
    assert last_step(long_tail) == 2
    assert last_step(np.array([1.0])) == 0


def test_a_sum_that_rounds_to_one_is_not_certain_unless_it_is() -> None:
    rounded = np.array([0.0, 0.0, 1.0])
    assert at_least_words(rounded, 1) == "100%"
    assert at_least_words(rounded, 1, settled=False) == ">99.9%"
    assert at_least_words(rounded, 3, settled=False) == "0%", "beyond the end nothing can come about"


def test_a_unit_that_may_be_wiped_by_a_miracle_is_not_safe(tmp_path: Path) -> None:
    """Twenty of twenty must go through; the chance is 5/12 to the 20th power, about 2 in 100 million."""
    assert Fraction(2, 3) * Fraction(5, 6) * Fraction(5, 6) < Fraction(1, 2)
    assert "wipes the unit: under 0.1%" in told(attack(20, models=20), tmp_path)


def test_a_chance_below_what_floats_can_hold_is_still_not_nothing(tmp_path: Path) -> None:
    assert "wipes the unit: under 0.1%" in told(attack(60, models=20, wounds=3, save=2, hit=6), tmp_path)


def test_a_unit_with_more_wounds_than_attacks_cannot_be_wiped(tmp_path: Path) -> None:
    assert "wipes the unit: 0%" in told(attack(5, models=20), tmp_path)


def test_six_hundred_attacks_are_not_certain_to_wipe_ten_models(tmp_path: Path) -> None:
    said = told(attack(600, models=10), tmp_path)
    assert "wipes the unit: over 99.9%" in said
    assert "100%" not in said


def test_where_no_die_can_fail_a_wipe_is_certain(tmp_path: Path) -> None:
    sure = attack(5, models=3, save=None, hit=None)
    assert not may_come_to_nothing(plan(sure, NO_WOUND_ROLL))
    assert "wipes the unit: 100%" in told(sure, tmp_path, NO_WOUND_ROLL)


def test_a_natural_one_makes_nothing_certain_in_the_standard_game() -> None:
    assert may_come_to_nothing(plan(attack(5, models=3, save=None, hit=None), STANDARD))


def test_against_one_great_beast_the_damage_is_told(tmp_path: Path) -> None:
    said = told(attack(10, models=1, wounds=12), tmp_path)
    assert "chance of damage exactly" in said
    assert "damage: most likely" in said


@pytest.mark.parametrize("number", [1, 10, 300])
def test_no_row_is_wider_than_a_phone(number: int, tmp_path: Path) -> None:
    clock = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
    with Storage(str(tmp_path / "record.db"), lambda: clock, lambda count: b"\7" * count) as storage:
        house = House({"standard": STANDARD}, Glossary(), storage)
        reply = odds.answer(Odds(attack(number, models=20)), Asked("x", "Ada", "low-ferry"), house)
    assert max(map(len, plain(reply).splitlines())) <= 45
