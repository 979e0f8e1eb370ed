"""Attacks side by side: the exact chance that one slays more, against every pair of outcomes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.asked import Asked
from bot.channels.paint import plain
from bot.content import load_rulesets
from bot.glossary import Glossary
from bot.house import House
from bot.ledger import Storage
from bot.reply import Reply
from bot.requests.attack import Compare
from bot.verbs import compare
from resolver.amount import Amount, fixed
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.refused import Refused
from tests.conversation import say, umpire

RULESETS = load_rulesets()
ASKED = Asked(text="as typed", who="Ada", where="low-ferry")
GUARD = Target(toughness=5, groups=(TargetGroup(models=5, wounds=3, save=2),))


def attack(number: int, strength: int = 5, damage: Amount | None = None, target: Target = GUARD) -> Attack:
    weapon = WeaponGroup(attacks=fixed(number), hit=3, strength=strength, ap=1, damage=damage or fixed(1))
    return Attack(weapons=(weapon,), target=target)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    clock = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
    with Storage(str(tmp_path / "record.db"), lambda: clock, lambda count: b"\7" * count) as storage:
        yield House(RULESETS, Glossary(), storage)


def compared(house: House, *options: Attack) -> Reply:
    return compare.answer(Compare(options), ASKED, house)


def test_the_better_chance_counts_every_pair_of_outcomes(house: House) -> None:
    answer = compared(house, attack(20), attack(12, 8, Amount(1, 6))).machine
    one, two = (option["distributions"]["slain"] for option in answer["options"])
    pairs = [(i, j, p * q) for i, p in enumerate(one) for j, q in enumerate(two)]
    assert answer["better"][0][1] == pytest.approx(sum(p for i, j, p in pairs if i > j), abs=1e-12)
    assert answer["better"][1][0] == pytest.approx(sum(p for i, j, p in pairs if j > i), abs=1e-12)
    assert answer["better"][0][0] is None
    assert answer["better"][1][1] is None


def test_an_attack_beside_itself_is_ahead_as_often_as_behind(house: House) -> None:
    same = attack(20)
    answer = compared(house, same, same).machine
    assert answer["better"][0][1] == answer["better"][1][0] < 0.5


def test_each_option_is_a_whole_reckoned_attack(house: House) -> None:
    answer = compared(house, attack(20), attack(12, 8)).machine
    assert answer["kind"] == "compare"
    for option in answer["options"]:
        assert option["kind"] == "odds"
        assert set(option["mean"]) == {"attacks", "hits", "wounds", "unsaved", "damage", "slain"}
    assert [option["mean"]["attacks"] for option in answer["options"]] == [20, 12]


def test_three_options_are_judged_pair_by_pair(house: House) -> None:
    reply = compared(house, attack(20), attack(12, 8), attack(4, 9, fixed(3)))
    painted = plain(reply, 100)
    for pair in ("A slays more", "B slays more", "C slays more"):
        assert painted.count(pair) == 2
    assert len(reply.machine["better"]) == 3


def test_against_a_single_model_the_damage_is_compared(house: House) -> None:
    lone = Target(toughness=7, groups=(TargetGroup(models=1, wounds=12, save=3),))
    painted = plain(compared(house, attack(20, target=lone), attack(10, 8, fixed(2), lone)), 100)
    assert any(row.startswith("4+ damage") for row in painted.splitlines())


def test_a_comparison_fits_a_phone_with_as_many_options_as_are_allowed(house: House) -> None:
    options = [attack(number) for number in (10, 12, 14, 16, 18, 20)]
    assert max(map(len, plain(compared(house, *options)).splitlines())) <= 45


def test_more_options_than_a_reader_can_weigh_are_refused(house: House) -> None:
    with pytest.raises(Refused, match="between 2 and 6, got 7"):
        compared(house, *[attack(10)] * 7)


def test_who_slays_more_is_impossible_or_certain_only_if_it_is(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        # one attack slays one at most, and forty that may all fail hardly ever slay fewer
        rare = say(app, "compare 40 attacks, hit 2+, S8 or 1 attack, hit 6+, S4 into T4, no save, 5 models")
        never = say(app, "compare 1 attack, hit 4+, S4 or 1 attack, hit 4+, S4, damage 2 into T4, save 3+, 1 model, W2")
    assert "B slays more <0.1%" in plain(rare, 80)
    assert "A slays more 0%, B slays more 8%, alike 92%" in plain(never, 80)
