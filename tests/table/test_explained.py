"""Explanations as long as each person wants; the record and the machine form always keep the whole answer."""

from __future__ import annotations

from pathlib import Path

from bot.channels.paint import plain
from tests.conversation import say
from tests.table.play import play, table

SHOOT = "Reed Runners shoot the Ember Crew at 14"
WHY = "strength 3 against toughness 4: weaker, so 5+"


def test_full_tells_every_reason(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        assert WHY in plain(play(app, SHOOT)[0], 200)


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
