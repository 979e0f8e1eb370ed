"""Charge, reach, advance and roll-off as answers: machine form, words, and what the record keeps."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from bot.asked import Asked
from bot.channels.paint import plain
from bot.content import load_rulesets
from bot.glossary import Glossary
from bot.house import House
from bot.ledger import Draft, Storage
from bot.misread import Unsure
from bot.reply import Reply
from bot.requests.dice import AdvanceDice, Charge, Charges, DiceChance, Reach, RollOff
from bot.verbs import VERBS
from resolver.amount import Amount
from resolver.movement import ChargeReroll
from resolver.refused import Refused

RULESETS = load_rulesets()
ASKED = Asked(text="as typed", who="Ada", where="low-ferry")


class Entropy:
    """Bytes that differ from call to call and are the same in every run."""

    def __init__(self) -> None:
        self.calls = 0

    def __call__(self, count: int) -> bytes:
        self.calls += 1
        return hashlib.shake_256(str(self.calls).encode()).digest(count)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    clock = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
    with Storage(str(tmp_path / "record.db"), lambda: clock, Entropy()) as storage:
        yield House(RULESETS, Glossary(), storage)


def said(request: object, house: House) -> Reply:
    return VERBS[type(request)](request, ASKED, house)


def data(request: object, house: House) -> dict[str, Any]:
    return said(request, house).machine


def rigged(monkeypatch: pytest.MonkeyPatch, *faces: int) -> None:
    """Make the record's stream give these faces; everything else stays as it is."""
    left = iter(faces)
    monkeypatch.setattr(Draft, "dice", lambda self, throw: [next(left) for _ in range(throw.count)])


def test_a_bare_nine_shows_the_number_and_the_tape(house: House) -> None:
    answer = data(Charge(number=9), house)
    assert answer["kind"] == "charge"
    assert (answer["distance"], answer["needs"], answer["chance"]) == (None, 9, "5/18")
    assert (answer["measured"]["needs"], answer["measured"]["chance"]) == (8, "5/12")
    assert answer["distribution"] == {
        "2": "1/36", "3": "1/18", "4": "1/12", "5": "1/9", "6": "5/36", "7": "1/6",
        "8": "5/36", "9": "1/9", "10": "1/12", "11": "1/18", "12": "1/36",
    }  # fmt: skip


def test_a_bare_nine_is_painted_with_both_readings_and_offers_both_rolls(house: House) -> None:
    reply = said(Charge(number=9), house)
    painted = plain(reply, 80)
    assert "needs 9 or more: 28% (5/18, about 3 in 10)" in painted
    assert 'if the tape shows 9", it needs 8 or more: 42% (5/12, about 2 in 5)' in painted
    assert reply.offers == ("roll charge needing 9", "roll charge from 9")


def test_a_measured_charge_has_one_reading(house: House) -> None:
    answer = data(Charge(distance=6.5), house)
    assert (answer["distance"], answer["needs"], answer["chance"]) == (6.5, 6, "13/18")
    assert "measured" not in answer


def test_a_bare_number_with_a_fraction_can_only_be_inches(house: House) -> None:
    answer = data(Charge(number=6.5), house)
    assert (answer["distance"], answer["needs"]) == (6.5, 6)
    assert "measured" not in answer


@pytest.mark.parametrize("request_", [Charge(number=13), Charge(distance=12.1), Charge(number=12.5)])
def test_beyond_twelve_inches_no_charge_can_be_declared(request_: Charge, house: House) -> None:
    answer = data(request_, house)
    assert (answer["needs"], answer["chance"]) == (None, "0")
    assert "can be declared" in plain(said(request_, house), 80)
    assert said(request_, house).offers == ()


def test_a_re_roll_is_counted_in_the_chance_and_in_the_distribution(house: House) -> None:
    answer = data(Charge(needs=9, reroll=ChargeReroll.WHOLE), house)
    assert answer["chance"] == str(1 - Fraction(13, 18) ** 2)
    reached = sum(Fraction(share) for total, share in answer["distribution"].items() if int(total) >= 9)
    assert str(reached) == answer["chance"]


def test_telling_a_chance_records_nothing(house: House) -> None:
    said(Charge(number=9), house)
    said(Reach(distance=15, move=6), house)
    assert house.ledger.entries(ASKED.where) == []


def test_a_rolled_charge_is_recorded_with_its_faces_before_it_is_told(house: House) -> None:
    reply = said(Charge(distance=9, roll=True), house)
    entry = house.ledger.entry(ASKED.where, reply.machine["id"])
    assert entry is not None
    assert list(entry.faces) == [die[0] for die in reply.machine["faces"]]
    assert list(entry.sides) == [6, 6]
    assert reply.machine["total"] == sum(entry.faces)
    assert reply.machine["success"] == (reply.machine["total"] >= 8)


def test_a_failed_charge_does_not_move(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    rigged(monkeypatch, 3, 4)
    reply = said(Charge(distance=9, roll=True), house)
    assert reply.machine["success"] is False
    assert "7 rolled, 8 needed: the charge fails, and the unit does not move" in plain(reply, 80)


def test_a_modifier_is_added_to_the_dice_and_shown(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    rigged(monkeypatch, 3, 4)
    reply = said(Charge(distance=9, modifier=1, roll=True), house)
    assert (reply.machine["total"], reply.machine["success"]) == (8, True)
    assert "7 +1 = 8 rolled, 8 needed: the charge succeeds" in plain(reply, 80)


def test_one_die_again_is_the_lower_one_and_only_after_a_failure(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    rigged(monkeypatch, 2, 5, 3)
    answer = data(Charge(distance=9, reroll=ChargeReroll.ONE, roll=True), house)
    assert (answer["faces"], answer["total"], answer["success"]) == ([[2, 3], [5]], 8, True)
    rigged(monkeypatch, 3, 5)
    assert data(Charge(distance=9, reroll=ChargeReroll.ONE, roll=True), house)["faces"] == [[3], [5]]


def test_a_whole_re_roll_throws_every_die_again(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    rigged(monkeypatch, 2, 5, 1, 1)
    answer = data(Charge(distance=9, reroll=ChargeReroll.WHOLE, roll=True), house)
    assert (answer["faces"], answer["total"], answer["success"]) == ([[2, 1], [5, 1]], 2, False)


def test_a_bare_number_rolled_between_its_readings_is_left_to_the_table(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    rigged(monkeypatch, 4, 4)
    reply = said(Charge(number=9, roll=True), house)
    assert reply.machine["success"] is None
    assert "8: enough if the tape said so, not if 9 was needed" in plain(reply, 80)


def test_a_re_roll_of_a_bare_number_asks_first_which_reading_is_meant(house: House) -> None:
    with pytest.raises(Unsure) as caught:
        said(Charge(number=9, reroll=ChargeReroll.ONE, roll=True), house)
    assert caught.value.choices == (
        "roll charge needing 9 re-roll one die",
        "roll charge from 9 re-roll one die",
    )
    assert house.ledger.entries(ASKED.where) == []


def test_a_charge_that_cannot_be_declared_is_not_rolled(house: House) -> None:
    with pytest.raises(Refused, match='beyond 12"'):
        said(Charge(distance=13, roll=True), house)
    assert house.ledger.entries(ASKED.where) == []


def test_the_same_event_never_rolls_a_charge_twice(house: House) -> None:
    asked = Asked(text="roll charge from 9", who="Ada", where="low-ferry", event="e1")
    request = Charge(distance=9, roll=True)
    first, second = (VERBS[Charge](request, asked, house) for _ in range(2))
    assert first.machine == second.machine
    assert len(house.ledger.entries("low-ferry")) == 1


def test_at_least_one_of_three_charges(house: House) -> None:
    nine = Charge(distance=9)
    answer = data(Charges(options=(nine, nine, nine)), house)
    assert answer["chance"] == str(1 - Fraction(7, 12) ** 3)
    assert len(answer["each"]) == 3
    assert "measured" not in answer


def test_bare_numbers_among_several_charges_show_both_readings(house: House) -> None:
    answer = data(Charges(options=(Charge(number=9), Charge(distance=7))), house)
    assert answer["chance"] == str(1 - Fraction(13, 18) * Fraction(10, 36))
    assert answer["measured"]["chance"] == str(1 - Fraction(7, 12) * Fraction(10, 36))


def test_more_charges_than_a_reader_can_follow_are_refused() -> None:
    with pytest.raises(Refused, match="number of charges lies between 2 and 12, got 13"):
        Charges(options=(Charge(distance=9),) * 13)


def test_reach_tells_the_chance_and_where_it_ends(house: House) -> None:
    answer = data(Reach(distance=15, move=6), house)
    assert answer["kind"] == "reach"
    assert (answer["distance"], answer["move"], answer["chance"]) == (15, 6, "5/12")
    assert (answer["safe_from"], answer["certain_to"]) == (18, 9)
    painted = plain(said(Reach(distance=15, move=6), house), 80)
    assert "can charge next turn: 42% (5/12, about 2 in 5)" in painted
    assert 'certain up to 9", safe beyond 18"' in painted


def test_out_of_reach_is_said_plainly(house: House) -> None:
    reply = said(Reach(distance=19, move=6), house)
    assert reply.machine["chance"] == "0"
    assert 'out of reach: 19" is beyond 18"' in plain(reply, 80)


def test_an_advance_tells_every_distance(house: House) -> None:
    answer = data(AdvanceDice(move=6), house)
    assert answer["distribution"] == {str(inches): "1/6" for inches in range(7, 13)}
    assert answer["mean"] == 9.5


def test_an_advance_without_a_move_tells_the_dice_alone(house: House) -> None:
    answer = data(AdvanceDice(), house)
    assert answer["distribution"] == {str(face): "1/6" for face in range(1, 7)}
    assert answer["reasons"] == ["d6 beyond its move"]


def test_a_bare_one_needs_no_less_than_the_lowest_roll(house: House) -> None:
    assert data(Charge(number=1), house)["needs"] == 2


def test_a_rolled_advance_adds_the_move(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    rigged(monkeypatch, 2)
    reply = said(AdvanceDice(move=6, roll=True), house)
    assert reply.machine["total"] == 8
    assert 'advances up to 8"' in plain(reply, 80)


def test_an_advance_below_the_mean_is_thrown_again_where_it_may(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    rigged(monkeypatch, 3, 6)
    answer = data(AdvanceDice(move=6, reroll=True, roll=True), house)
    assert (answer["faces"], answer["total"]) == ([[3, 6]], 12)
    rigged(monkeypatch, 4)
    assert data(AdvanceDice(move=6, reroll=True, roll=True), house)["faces"] == [[4]]


def test_a_fixed_advance_throws_no_dice(house: House) -> None:
    house.memory.remember(ASKED.where, "", {"ruleset": "two-rolls"})
    answer = data(AdvanceDice(move=6, roll=True), house)
    assert (answer["faces"], answer["total"]) == ([], 9)


def test_a_tied_roll_off_is_thrown_again_and_every_die_is_kept(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    rigged(monkeypatch, 4, 4, 2, 5)
    reply = said(RollOff(), house)
    assert (reply.machine["faces"], reply.machine["winner"]) == ([[4, 4], [2, 5]], "other")
    painted = plain(reply, 80)
    assert "Ada: 4, the other side: 4; equal, so again" in painted
    assert "the other side wins the roll-off" in painted


def test_a_roll_off_uses_the_die_of_the_ruleset(house: House) -> None:
    house.memory.remember(ASKED.where, "", {"ruleset": "ten-sided"})
    reply = said(RollOff(), house)
    entry = house.ledger.entry(ASKED.where, reply.machine["id"])
    assert entry is not None
    assert set(entry.sides) == {10}


def test_dice_that_never_differ_are_not_dice(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    rigged(monkeypatch, *([3] * 1000))
    with pytest.raises(Refused, match="not dice"):
        said(RollOff(), house)
    assert house.ledger.entries(ASKED.where) == []


@pytest.mark.parametrize(
    "request_",
    [
        Charge(number=9, modifier=-1, reroll=ChargeReroll.ONE),
        Charge(number=13),
        Charges(options=(Charge(number=9), Charge(distance=8.5), Charge(needs=12))),
        Reach(distance=15, move=6, reroll=ChargeReroll.WHOLE),
        AdvanceDice(),
        RollOff(),
    ],
)
def test_every_answer_fits_a_phone(request_: object, house: House) -> None:
    assert max(map(len, plain(said(request_, house)).splitlines())) <= 45


# Three dice show 10 in 27 ways and 9 in 25: Galileo, "Sopra le scoperte dei dadi", about 1620 (from memory).
@pytest.mark.parametrize(("total", "ways"), [(9, 25), (10, 27)])
def test_three_dice_show_ten_more_often_than_nine(total: int, ways: int, house: House) -> None:
    reply = said(DiceChance(amount=Amount(3, 6), least=total, most=total), house)
    assert Fraction(reply.machine["chance"]) == Fraction(ways, 216)
    assert Fraction(reply.machine["distribution"][str(total)]) == Fraction(ways, 216)
    assert reply.title == f"odds 3d6 exactly {total}"
    assert f"{total} or more" in plain(reply, 45)


def test_a_total_that_dice_cannot_show_has_no_chance_and_one_they_must_show_is_certain(house: House) -> None:
    assert "at least 13: 0%" in plain(said(DiceChance(amount=Amount(2, 6), least=13), house), 45)
    assert "at most 12: 100%" in plain(said(DiceChance(amount=Amount(2, 6), most=12), house), 45)
    assert "average 7, from 2 to 12" in plain(said(DiceChance(amount=Amount(2, 6)), house), 45)


def test_all_of_several_charges_and_none_of_them(house: House) -> None:
    nine, seven = Charge(needs=9), Charge(needs=7)
    chances = {least: data(Charges(options=(nine, seven), least=least), house)["chance"] for least in (0, 1, 2)}
    nine_fails, seven_fails = Fraction(26, 36), Fraction(15, 36)
    assert Fraction(chances[0]) == nine_fails * seven_fails
    assert Fraction(chances[1]) == 1 - nine_fails * seven_fails
    assert Fraction(chances[2]) == (1 - nine_fails) * (1 - seven_fails)


@pytest.mark.parametrize(
    "request_", [Charge(needs=9, modifier=1), Charge(needs=9, reroll=ChargeReroll.WHOLE), AdvanceDice(reroll=True)]
)
def test_the_first_game_moves_without_modifiers_and_re_rolls(request_: object, tmp_path: Path) -> None:
    with Storage(str(tmp_path / "first.db"), lambda: datetime(2026, 11, 25, tzinfo=UTC), Entropy()) as storage:
        first = House(RULESETS, Glossary(), storage, "first-game")
        with pytest.raises(Refused, match="is played without"):
            said(request_, first)
