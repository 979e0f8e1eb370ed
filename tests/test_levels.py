"""The chance of a level that was asked for, against tables, sums by hand and what can come about at all."""

from __future__ import annotations

from fractions import Fraction
from math import comb
from pathlib import Path

import pytest
from figures import figure

from bot.app import App
from bot.channels.paint import plain
from bot.reply import Bars, Reply
from tests.conversation import say, umpire

TEN = "odds 10 attacks, hit 4+, S4, damage 1 into T4, 5 models, save 3+, W1"
DICE = "10 attacks, hit {0}+, S4 into T4, save 3+, 5 models"


@pytest.fixture
def app(tmp_path: Path) -> App:
    with umpire(tmp_path) as opened:
        yield opened


def chance(reply: Reply) -> float:
    return reply.machine["level"]["chance"]


def first_line(reply: Reply) -> str:
    """The row behind the needed numbers."""
    rows = plain(reply, 200).splitlines()
    return rows[next(place for place, row in enumerate(rows) if row.startswith("needs")) + 1]


def test_seven_or_more_of_ten_on_an_even_chance_are_176_in_1024(app: App) -> None:
    """The sum of the last four terms; 0.1719 in binomial tables, as one less the published 0.8281 for 6 or fewer."""
    reply = say(app, f"{TEN}: at least 7 hits")
    assert sum(comb(10, hits) for hits in range(7, 11)) == 176
    assert chance(reply) == pytest.approx(176 / 1024, abs=1e-12)
    assert first_line(reply) == "at least 7 hits: 17% (about 1 in 6)"


@pytest.mark.parametrize(("needed", "p"), [(6, "1/6"), (5, "1/3"), (4, "1/2"), (3, "2/3"), (2, "5/6")])
def test_at_most_so_many_hits_is_the_published_cumulative_table(app: App, needed: int, p: str) -> None:
    told = [chance(say(app, f"{DICE.format(needed)}: at most {most} hits")) for most in range(11)]
    figure("binomial_cdf_n10").check_all(f"cdf_p={p}", told)


@pytest.mark.parametrize("count", ["hits", "wounds", "unsaved", "damage", "slain"])
def test_every_level_is_the_sum_of_the_distribution_that_is_told_with_it(app: App, count: str) -> None:
    for number in (0, 1, 2, 3, 5):
        for bound in ("at least", "at most", "exactly"):
            machine = say(app, f"{TEN}: {bound} {number} {count}").machine
            told = machine["distributions"][count]
            summed = {"at least": told[number:], "at most": told[: number + 1], "exactly": told[number : number + 1]}
            assert machine["level"]["chance"] == pytest.approx(sum(summed[bound]), abs=1e-12), (bound, number)


def test_all_slain_is_the_chance_to_wipe_the_unit_and_is_told_once(app: App) -> None:
    reply = say(app, "what is the chance that 30 attacks, hit 4+, S4, into T4 3+ save, 5 models wipe them out")
    assert chance(reply) == pytest.approx(reply.machine["wipe"], abs=1e-12)
    assert first_line(reply).startswith("all slain: ")
    assert "wipes the unit" not in plain(reply, 100)


def test_the_machine_form_carries_the_level_beside_what_was_there(app: App) -> None:
    asked, without = say(app, f"{TEN}: at least 2 slain").machine, say(app, TEN).machine
    assert asked.pop("level") == {
        "read": "at least 2 slain",
        "count": "slain",
        "bound": "at least",
        "number": 2,
        "chance": pytest.approx(float(two_or_more(10, Fraction(1, 2) * Fraction(1, 2) * Fraction(1, 3))), abs=1e-12),
    }
    assert asked.pop("read") == f"{without.pop('read')}: at least 2 slain"
    assert asked == without


def two_or_more(dice: int, p: Fraction) -> Fraction:
    return 1 - (1 - p) ** dice - dice * p * (1 - p) ** (dice - 1)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (f"{TEN}: at least 11 hits", "at least 11 hits: 0%"),
        (f"{TEN}: at least 6 slain", "at least 6 slain: 0%"),
        (f"{TEN}: exactly 6 slain", "exactly 6 slain: 0%"),
        (f"{TEN}: at most 5 slain", "at most 5 slain: 100%"),
        (f"{TEN}: at least 0 damage", "at least 0 damage: 100%"),
        (f"{TEN}: at most 99999 unsaved", "at most 99999 unsaved: 100%"),
        ("10 attacks, auto hit, S4 into T4, save 3+: at least 10 hits", "at least 10 hits: 100%"),
        ("10 attacks, auto hit, S4 into T4, save 3+: at most 9 hits", "at most 9 hits: 0%"),
        ("10 attacks, hit 4+, S4, damage 2 into T4, save 3+, W3, 6 models: all slain", "all slain: 0%"),
        ("10 attacks, hit 4+, S4, damage 2 into T4, save 3+, W3, 6 models: exactly 1 damage", "exactly 1 damage: 0%"),
    ],
)
def test_what_cannot_be_and_what_is_certain_are_told_as_such(app: App, asked: str, said: str) -> None:
    assert first_line(say(app, asked)) == said


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("at least 1 hit", "at least 1 hit: over 99.9%"),
        ("exactly 0 hits", "exactly 0 hits: under 0.1%"),
        ("at least 1000 hits", "at least 1000 hits: under 0.1%"),
        ("at most 999 hits", "at most 999 hits: over 99.9%"),
    ],
)
def test_what_a_float_rounds_to_nothing_is_neither_certain_nor_impossible(app: App, asked: str, said: str) -> None:
    reply = say(app, f"1000 attacks, hit 2+, S4 into T4, save 3+, 5 models: {asked}")
    assert first_line(reply).startswith(said)


@pytest.mark.parametrize(
    ("asked", "rows"),
    [
        # a model of W6 takes two wounds of at most 4 points, so twelve slay six at most
        ("odds 12 attacks, hit 3+, S10, damage d3+1 into T9, save 6+, W6", {"6": "<0.1%", "7": None}),
        # thirty attacks may all fail, however rarely
        ("odds 30 attacks, hit 2+, S8 into T4, no save, 1 model", {"0": "<0.1%", "1": ">99.9%"}),
        # wounds of 2 points slay a model of W2 each, so no odd damage is done
        ("odds 2 attacks, hit 4+, S4, damage 2 into T4, no save, 1 model, W4", {"1": "0%", "2": "38%"}),
    ],
)
def test_every_row_of_the_spread_tells_what_cannot_be_from_what_hardly_ever_is(
    app: App, asked: str, rows: dict[str, str | None]
) -> None:
    reply = say(app, asked)
    (bars,) = [block for block in reply.blocks if isinstance(block, Bars)]
    told = {label: words for label, _, words in bars.rows}
    assert {label: told.get(label) for label in rows} == rows


def test_a_wipe_that_cannot_be_is_told_as_such(app: App) -> None:
    few, many = (say(app, f"odds {dice} attacks, hit 4+, S4 into T4, save 3+, 6 models") for dice in (5, 6))
    assert "wipes the unit: 0%" in plain(few, 80)
    assert "wipes the unit: under 0.1%" in plain(many, 80)


def test_the_spread_shown_is_that_of_the_count_asked_for(app: App) -> None:
    painted = plain(say(app, f"{TEN}: at least 7 hits"), 100)
    assert "chance of hits exactly" in painted
    assert "hits: most likely 5, 89% are 3 to 7, spread 1.6" in painted
    assert "chance of slain" not in painted


def test_a_number_alone_is_so_many_or_more_and_the_answer_says_so(app: App) -> None:
    reply = say(app, "odds of killing 2 with 10 attacks, hit 4+, S4, into T4 3+ save, 5 models")
    assert '- "killing 2": 2 or more' in plain(reply, 100)


def test_in_a_comparison_the_level_is_told_of_each_attack(app: App) -> None:
    one, two = "10 attacks, hit 4+, S4", "5 attacks, hit 3+, S6"
    reply = say(app, f"compare {one} or {two} into T4, save 3+, 5 models: at least 2 slain")
    told = [option["level"]["chance"] for option in reply.machine["options"]]
    alone = [chance(say(app, f"{weapon} into T4, save 3+, 5 models: at least 2 slain")) for weapon in (one, two)]
    assert told == alone
    assert "at least 2 slain: A 20%, B 16%" in plain(reply, 100)


@pytest.mark.parametrize("level", ["at least 2 slain", "all slain", "exactly 10000 unsaved", "no hits"])
def test_no_row_is_wider_than_a_phone(app: App, level: str) -> None:
    shots = " or ".join(f"{number} attacks, hit 4+, S4" for number in (1, 2, 3, 5, 9, 20))
    for asked in (f"{TEN}: {level}", f"compare {shots} into T4, save 3+, 5 models: {level}"):
        assert max(map(len, plain(say(app, asked)).splitlines())) <= 45


def test_the_level_stays_with_the_attack_at_hand_until_another_is_asked_for(app: App) -> None:
    say(app, f"{TEN}: at least 2 slain")
    assert say(app, "what about S6?").machine["level"]["read"] == "at least 2 slain"
    assert say(app, "what about at least 3 hits?").machine["level"]["read"] == "at least 3 hits"
    assert say(app, "what about all slain with damage 2").title == (
        "odds 10 attacks, hit 4+, S6, damage 2 into T4, 5 models, save 3+, W1: all slain"
    )
    assert say(app, "roll it").title.endswith("roll 10 attacks, hit 4+, S6, damage 2 into T4, 5 models, save 3+, W1")


def test_a_roll_with_a_level_is_asked_about_and_either_can_be_had(app: App) -> None:
    asked = f"{TEN.replace('odds', 'roll')}: at least 2 slain"
    assert say(app, asked).kind == "choice"
    assert say(app, "2").title == f"{TEN}: at least 2 slain"
    say(app, asked)
    assert say(app, "1").title.endswith(TEN.replace("odds", "roll"))


def test_all_of_nobody_knows_how_many_asks_how_many(app: App) -> None:
    asked = say(app, "10 attacks, hit 4+, S4 into T4, save 3+: all slain")
    assert asked.title == "How many models does the target have?"
    assert say(app, "5").title == f"{TEN}: all slain"


@pytest.mark.parametrize(
    ("message", "read"),
    [
        ("odds Wardens shoot the Kiln Guard at 14: at least 2 slain", "at 14: at least 2 slain"),
        ("chance that the Wardens shooting the Kiln Guard at 14 kill at least 2", "at 14: at least 2 slain"),
        ("how likely is it that the Wardens shoot the Kiln Guard at 14 and kill 1 or more", "at 14: at least 1 slain"),
        ("odds Wardens shoot the Kiln Guard at 14 in cover to wipe them out", "at 14 in cover: all slain"),
        ("odds of the Wardens shooting the Kiln Guard at 14 doing 3 or more damage", "at 14: at least 3 damage"),
    ],
)
def test_of_an_attack_by_name_a_level_is_told_too(app: App, message: str, read: str) -> None:
    say(app, "open table Saltmarsh Wardens against Kiln Guard")
    reply = say(app, message)
    assert reply.title == f"odds Wardens shoot Kiln Guard {read}"
    again = say(app, reply.title)
    assert (again.title, chance(again)) == (reply.title, chance(reply))
    assert reply.offers[0] == f"Wardens shoot Kiln Guard {read.split(':')[0]}"


def test_a_level_of_an_attack_by_name_is_not_rolled_nor_compared_nor_guessed(app: App) -> None:
    say(app, "open table Saltmarsh Wardens against Kiln Guard")
    strike = "Wardens shoot the Kiln Guard at 14"
    for message, said in (
        (f"{strike}: at least 2 slain", "the chance of a level is asked of odds"),
        (f"compare {strike} or at 22: at least 2 slain", "of one unit's attack at a time"),
        (f"odds {strike}: at least 2", "I don't understand this level"),
    ):
        assert said in say(app, message).title
