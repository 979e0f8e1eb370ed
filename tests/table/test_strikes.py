"""Attacks by name: who stands, what they carry, what reaches, who falls. Numbers are common practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.app import App
from tests.conversation import say
from tests.table.play import events, play, state, table, unit

TRIO = (
    "open table Reds against Blues",
    "roster for Reds\nPair: M6 T4 plus hands: 1 model Sv4+, sling range 12 A3 BS4+ S4 half range +1 attack"
    " plus boss: 1 model Sv4+, hook range 12 A2 BS4+ S4 half range +1 attack",
    "roster for Blues\nPost: M6 T4, 1 model W2 Sv6+, club A1 WS4+ S4",
    "first turn Reds",
    "go to the shooting phase",
)
SHOOT = "Reed Runners shoot Ember Crew at 14"


def test_the_surviving_models_shoot_with_every_weapon_that_reaches(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase", "Wardens lost 3 models") as app:
        (reply,) = play(app, "Wardens shoot the Kiln Guard at 20")
        assert reply.machine["weapons"] == ["5 models: rifle", "1 model: punt gun"]
        assert len(reply.machine["faces"][0]["hit"]) == 5
        assert 'out of range at 20": pistol 12"' in str(reply.blocks)


def test_half_of_thirty_is_fifteen_and_within_it_the_shots_are_doubled(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        near, far = play(app, "odds Wardens shoot the Kiln Guard at 15", "odds Wardens shoot the Kiln Guard at 15.5")
        assert near.machine["mean"]["attacks"] == pytest.approx(8 * 2 + 2)
        assert far.machine["mean"]["attacks"] == pytest.approx(8 + 2)


def test_one_model_with_3_plus_1_attacks_and_one_with_2_plus_1_make_7_dice(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        play(app, "close table", *TRIO)
        (reply,) = play(app, "Pair shoot the Post at 6")
        assert [len(group["hit"]) for group in reply.machine["faces"]] == [4, 3]


def test_out_of_range_is_refused_with_the_numbers_and_nothing_is_written(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        before = events(app)
        reply = say(app, "Reed Runners shoot the Kiln Guard at 19")
        assert reply.kind == "misread"
        assert "19" in reply.machine["message"]
        assert "carbine 18" in reply.machine["message"]
        assert events(app) == before


def test_only_those_in_range_shoot_when_a_number_is_said(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        (reply,) = play(app, "4 Wardens shoot the Kiln Guard at 20")
        assert reply.machine["weapons"] == ["4 models: rifle"]
        assert reply.machine["totals"]["attacks"] == 4


def test_more_models_than_are_left_cannot_shoot(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase", "Reed Runners have 2 models left") as app:
        reply = say(app, "3 Reed Runners shoot the Kiln Guard at 14")
        assert reply.machine["message"] == "2 models of the Reed Runners are left, not 3"


def test_the_weapons_named_are_the_weapons_used(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        (reply,) = play(app, "Wardens shoot the Kiln Guard at 10 with the pistol and the punt gun")
        assert reply.machine["weapons"] == ["1 model: punt gun", "1 model: pistol"]
        assert "no weapon called" in say(app, "Wardens shoot the Kiln Guard at 10 with torpedoes anyway").title


def test_melee_uses_melee_weapons_and_the_target_fights_back_with_what_is_left(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", "go to the fight phase", "Reed Runners are engaged with Ember Crew") as app:
        # ten hits on 4+, five wounds on 5+, no save on 5+ at AP -1: five wounds on models of two
        (first,) = play(app, "Reed Runners fight the Ember Crew with dice 4444444444 5555511111 11111")
        assert first.machine["weapons"] == ["5 models: hatchet"]
        assert unit(app, "Ember Crew")["groups"] == [{"name": "crew", "models": 2, "lost": 1}]
        assert first.offers == ("Ember Crew fight Reed Runners",)
        (back,) = play(app, first.offers[0])
        assert back.machine["weapons"] == ["2 models: cleaver"]
        assert back.machine["totals"]["attacks"] == 4
        assert back.offers == ()


def test_casualties_are_applied_by_the_roll_and_shown(tmp_path: Path) -> None:
    # 10 dice hit on 4+: five hits; strength 3 against toughness 4 wounds on 5+: three; a 4+ save: one saves.
    with table(tmp_path, "own dice yes", "go to the shooting phase") as app:
        faces = "4 4 4 4 4 1 1 1 1 1 5 5 5 1 1 4 1 1"
        (reply,) = play(app, f"Reed Runners shoot the Ember Crew at 14 with dice {faces}")
        assert reply.machine["totals"] == {"attacks": 10, "hits": 5, "wounds": 3, "unsaved": 2, "damage": 2, "slain": 1}
        assert reply.machine["casualties"] == [
            {"unit": "Ember Crew", "group": "crew", "slain": 1, "left": 3, "lost": 0}
        ]
        assert unit(app, "Ember Crew")["models_left"] == 3
        assert reply.machine["state"] == state(app)
        assert app.house.ledger.entry("low-ferry", reply.machine["id"]).declared  # type: ignore[union-attr]


def test_one_point_of_damage_on_a_two_wound_model_slays_nobody_and_is_remembered(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", "go to the shooting phase") as app:
        one = "4 1 1 1 1 1 1 1 1 1 5 1"
        (first,) = play(app, f"Reed Runners shoot the Ember Crew at 14 with dice {one}")
        assert first.machine["totals"]["slain"] == 0
        assert unit(app, "Ember Crew")["groups"] == [{"name": "crew", "models": 4, "lost": 1}]
        (second,) = play(app, f"Reed Runners shoot the Ember Crew at 14 with dice {one} anyway")
        assert second.machine["totals"]["slain"] == 1
        assert unit(app, "Ember Crew")["groups"] == [{"name": "crew", "models": 3, "lost": 0}]


def test_odds_of_the_same_message_change_nothing(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        before, count = state(app), events(app)
        (reply,) = play(app, "odds Wardens shoot the Kiln Guard at 14")
        assert reply.kind == "odds"
        assert state(app) == before
        assert events(app) == count
        assert reply.offers == ("Wardens shoot Kiln Guard at 14",)


def test_a_question_is_reckoned_and_roll_it_rolls_exactly_that(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        question, roll = play(app, "should the Wardens shoot the Kiln Guard at 14?", "roll it")
        assert (question.kind, roll.kind) == ("odds", "attack")
        assert roll.machine["read"] == "Wardens shoot Kiln Guard at 14"


def test_what_was_said_of_the_distance_is_used_until_somebody_moves(tmp_path: Path) -> None:
    with table(tmp_path, "Wardens are 14 from the Kiln Guard", "go to the shooting phase") as app:
        (reply,) = play(app, "Wardens shoot the Kiln Guard")
        assert reply.machine["read"] == "Wardens shoot Kiln Guard"
        play(app, "undo", "back", "back", "next phase", "Wardens move", "go to the shooting phase")
        asked = say(app, "Wardens shoot the Kiln Guard")
        assert asked.machine["missing"] == "distance"
        assert say(app, "16").machine["read"] == "Wardens shoot Kiln Guard at 16"


def test_the_owner_chooses_the_order_of_losses(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", "Kiln Guard lose captain then hammers", "go to the shooting phase") as app:
        faces = "6 1 1 1 1 1 1 1 1 1 6 1"
        play(app, f"Reed Runners shoot the Kiln Guard at 14 with dice {faces}")
        assert unit(app, "Kiln Guard")["groups"] == [
            {"name": "captain", "models": 1, "lost": 1},
            {"name": "hammers", "models": 5, "lost": 0},
        ]


def test_cover_helps_the_armour_and_not_in_melee(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        open_ground, cover = play(
            app, "odds Reed Runners shoot the Ember Crew at 14", "odds Reed Runners shoot the Ember Crew at 14 in cover"
        )
        assert open_ground.machine["needs"][0]["save"] == ["4+"]
        assert cover.machine["needs"][0]["save"] == ["3+"]
        assert "melee" in say(app, "odds Reed Runners fight the Ember Crew in cover").title


def test_a_ruleset_that_leaves_things_out_leaves_them_out_of_the_stat_lines_and_says_so(tmp_path: Path) -> None:
    with table(tmp_path, ruleset="first-game") as app:
        (reply,) = play(app, "odds Wardens shoot the Kiln Guard at 14")
        assert reply.machine["mean"]["attacks"] == pytest.approx(10)
        assert "half range" in str(reply.blocks[-1]) or "half range" in str(reply.blocks)


@pytest.mark.parametrize(
    ("message", "said"),
    [
        ("Wardens shoot the Goblins at 14", 'no unit on this table is called "Goblins"'),
        ("Wardens shoot the Kiln Guard at 14 sideways", "I don't understand this part of the attack"),
        ("Wardens shoot the Kiln Guard at 14 in cover, no cover", "this is said twice, and differently"),
        ("0 Wardens shoot the Kiln Guard at 14", "at least one model takes part"),
        ("Wardens shoot the Reed Runners at 14", 'no unit on this table is called "Reed Runners"'),
    ],
)
def test_what_cannot_be_meant_is_said_and_nothing_happens(tmp_path: Path, message: str, said: str) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        before = events(app)
        assert said in say(app, message).title
        assert events(app) == before


def two_crews(app: App) -> None:
    play(app, "add to Kiln Guard: Ember Watch: M6 T4, 3 models W1 Sv5+, club A1 WS4+ S4")


def test_two_units_that_fit_are_asked_about_and_the_number_settles_it(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        two_crews(app)
        asked = say(app, "Reed Runners shoot the Ember at 14")
        assert asked.kind == "choice"
        assert asked.machine["choices"] == [
            "Reed Runners shoot Ember Crew at 14",
            "Reed Runners shoot Ember Watch at 14",
        ]
        assert say(app, "2").machine["read"] == "Reed Runners shoot Ember Watch at 14"


def test_a_unit_that_is_gone_neither_shoots_nor_is_shot_at(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase", "Ember Crew have 0 models left") as app:
        assert "none of the Ember Crew are left" in say(app, "Reed Runners shoot the Ember Crew at 14 anyway").title
        assert "none of the Ember Crew are left" in say(app, "Ember Crew shoot the Wardens at 8 anyway").title


def test_own_dice_that_run_out_are_asked_for(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", "go to the shooting phase") as app:
        short = say(app, "Reed Runners shoot the Ember Crew at 14 with dice 4 4 4 4 4 1 1 1 1 1")
        assert short.machine["missing"] == "dice"
        assert "5 more dice to throw for the wound step, needing 5+" in short.machine["message"]
        over = say(app, "Reed Runners shoot the Ember Crew at 14 with dice 1 1 1 1 1 1 1 1 1 1 6 6")
        assert "2 of your dice are not needed" in over.title


def test_with_my_own_dice_asks_for_them_step_by_step(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", "go to the shooting phase") as app:
        odds = say(app, f"odds {SHOOT}")
        assert odds.offers == (SHOOT, f"{SHOOT} with my own dice")
        for said in (f"{SHOOT} with my own dice", "roll it with my own dice", f"{SHOOT} using our dice"):
            asked = say(app, said).machine
            assert (asked["missing"], asked["message"]) == ("dice", "10 dice to throw for the hit step, needing 4+")
        assert "5 more dice to throw for the wound step" in say(app, "4 4 4 4 4 1 1 1 1 1").title
        assert play(app, "1 1 1 1 1")[0].title.endswith("with dice 4 4 4 4 4 1 1 1 1 1 1 1 1 1 1")


def test_own_dice_are_not_offered_where_they_do_not_count(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        assert say(app, f"odds {SHOOT}").offers == (SHOOT,)
        assert "until both sides have agreed" in say(app, f"{SHOOT} with my own dice").title


def test_own_dice_do_not_count_until_both_sides_agree(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        reply = say(app, "Reed Runners shoot the Ember Crew at 14 with dice 1 1 1 1 1 1 1 1 1 1")
        assert "until both sides have agreed" in reply.title


def test_two_choices_are_set_side_by_side_from_the_table(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        before = events(app)
        (reply,) = play(app, "compare Wardens shoot the Kiln Guard at 14 or at 22")
        near, far = reply.machine["options"]
        assert (near["mean"]["attacks"], far["mean"]["attacks"]) == (pytest.approx(18), pytest.approx(10))
        assert reply.machine["better"][0][1] > reply.machine["better"][1][0]
        assert events(app) == before


def test_that_chargers_strike_first_is_said_to_whoever_strikes_before_them(tmp_path: Path) -> None:
    charge = "Reed Runners charge the Ember Crew from 5 with dice 6 6"
    with table(tmp_path, "own dice yes", "go to the charge phase", charge, "next phase") as app:
        (early,) = play(app, "Ember Crew fight the Reed Runners")
        assert "units that charged strike first: Reed Runners have not fought yet" in str(early.blocks)
        play(app, "undo", "Reed Runners fight the Ember Crew")
        (late,) = play(app, "Ember Crew fight the Reed Runners")
        assert "strike first" not in str(late.blocks)
