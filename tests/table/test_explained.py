"""Explanations as long as each person wants; the record and the machine form always keep the whole answer."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.channels.paint import plain
from tests.conversation import say
from tests.table.play import play, table

SHOOT = "Reed Runners shoot the Ember Crew at 14"
WHY = "strength 3 against toughness 4: weaker, so 5+"


def test_full_tells_every_reason_and_the_luck(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase", "explain full") as app:
        shown = plain(play(app, SHOOT)[0], 200)
        assert WHY in shown
        assert "this weapon hits on 4+" in shown
        assert "luck: " in shown


def test_until_chosen_only_what_tells_more_than_the_number_stands_beside_the_dice(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        shown = plain(play(app, SHOOT)[0], 200)
        assert WHY in shown
        assert "this weapon hits on 4+" not in shown
        assert "luck: " in shown
        assert "this weapon hits on 4+" in plain(say(app, "show #4"), 200)


@pytest.mark.parametrize("less", ["short", "off"])
def test_who_wants_less_is_spared_the_luck(tmp_path: Path, less: str) -> None:
    with table(tmp_path, "go to the shooting phase", f"explain {less}") as app:
        assert "luck: " not in plain(play(app, SHOOT)[0], 200)
        assert "luck: " in plain(say(app, "show #4"), 200)


def test_what_is_delivered_again_is_as_long_as_it_was(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        first, again = (say(app, "roll 9 shots, hit 4+, S4 into T4, save 3+", event="message 1") for _ in range(2))
        assert first.blocks == again.blocks


def test_beside_the_dice_half_range_is_the_first_reason_for_more_of_them(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        rows = plain(play(app, "Wardens shoot the Kiln Guard at 14")[0], 200).splitlines()
        hit = next(number for number, row in enumerate(rows) if row.startswith("hit 4+: "))
        assert " of 16 hit (" in rows[hit]
        assert rows[hit + 1] == "  half range adds 1 attack for each model"


def test_a_shooting_with_two_weapons_leaves_room_on_a_phone(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        rows = plain(play(app, "Wardens shoot the Kiln Guard at 14")[0]).splitlines()
        assert len(rows) <= 24
        assert sum("models left" in row or ") left" in row for row in rows) == 1


def test_a_screenful_of_reasons_beside_odds_waits_behind_why_until_asked_for(tmp_path: Path) -> None:
    odds = "odds Wardens shoot the Kiln Guard at 14"
    with table(tmp_path) as app:
        reply = say(app, odds)
        assert "within half range" not in plain(reply, 200)
        assert "8 models: rifle, hit 4+, wound 5+, save 2+\n1 model: punt gun, hit 4+" in plain(reply, 200)
        assert "`why` gives the reasons" in plain(reply, 200)
        assert "within half range" in plain(say(app, "why"), 200)
        say(app, "explain full")
        assert "within half range" in plain(say(app, odds), 200)


def test_short_shows_dice_and_numbers_without_reasons(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase", "explain short") as app:
        (reply,) = play(app, SHOOT)
        shown = plain(reply, 200)
        assert WHY not in shown
        assert "hit 4+:" in shown
        assert WHY in reply.machine["reasons"]


def test_off_shows_the_result_alone(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase", "explain off") as app:
        shown = plain(play(app, SHOOT)[0], 200)
        assert "hit 4+:" not in shown
        assert "unsaved" in shown
        assert "Ember Crew:" in shown


def test_each_person_has_it_as_he_or_she_wants(tmp_path: Path) -> None:
    with table(tmp_path, "explain off") as app:
        odds = f"odds {SHOOT}"
        assert WHY not in plain(say(app, odds), 200)
        assert WHY in plain(say(app, odds, "Ben"), 200)


def test_the_record_keeps_what_was_not_shown(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase", "explain off", SHOOT) as app:
        assert WHY in plain(say(app, "show #4"), 200)


def test_what_has_no_effect_is_told_however_short_the_answer(tmp_path: Path) -> None:
    attack = "10 attacks, hit 4+, re-roll 1s to hit, +1 to wound, S5 AP-1 into T4 5 models, save 3+, W2, ignore 5+"
    with table(tmp_path) as app:
        say(app, "rules two-rolls", who="Ada")
        for how in ("full", "short"):
            say(app, f"explain {how}")
            for verb in ("odds", "roll"):
                shown = plain(say(app, f"{verb} {attack}"), 200)
                assert "so strength, toughness and the modifier to wound have no effect" in shown
