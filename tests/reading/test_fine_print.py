"""The fine print of the language, one sentence a test. Everything here is common practice, no source."""

from __future__ import annotations

import pytest

from bot.content import load_rulesets
from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.ask import GAP
from bot.reading.context import Context
from bot.requests.attack import Odds, Roll
from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, TargetGroup, WeaponGroup

CONTEXT = Context(ruleset=load_rulesets()["standard"])
PLAIN = "10 attacks, hit 4+, S5 into T4, save 3+"


def odds(message: str) -> Odds:
    request = read(message, CONTEXT)
    assert isinstance(request, Odds)
    return request


def attack(message: str) -> Attack:
    return odds(message).attack


def weapon(message: str) -> WeaponGroup:
    (only,) = attack(message).weapons
    return only


def group(message: str) -> TargetGroup:
    (only,) = attack(message).target.groups
    return only


def misread(message: str) -> Misread:
    with pytest.raises(Misread) as caught:
        read(message, CONTEXT)
    return caught.value


def choices(message: str) -> tuple[str, ...]:
    with pytest.raises(Unsure) as caught:
        read(message, CONTEXT)
    return caught.value.choices


def pointed(message: str) -> str:
    at = misread(message).at
    assert at is not None
    return message[slice(*at)]


class TestMissing:
    def test_no_number_of_target_models_means_large_enough(self) -> None:
        assert group(PLAIN).models is None
        assert "no number of target models: large enough" in odds(PLAIN).notes

    def test_no_wounds_mean_one(self) -> None:
        assert group(PLAIN).wounds == 1
        assert "no wounds given: W1" in odds(PLAIN).notes

    def test_no_ap_means_none(self) -> None:
        assert weapon(PLAIN).ap == 0
        assert "no AP given: AP 0" in odds(PLAIN).notes

    def test_no_damage_means_one(self) -> None:
        assert weapon(PLAIN).damage == fixed(1)
        assert "no damage given: 1" in odds(PLAIN).notes

    def test_what_is_said_is_not_noted(self) -> None:
        assert odds("10 attacks, hit 4+, S5, AP-1, D1 into T4, save 3+, W1, 5 models").notes == ()

    @pytest.mark.parametrize(
        ("message", "missing"),
        [
            ("hit 4+ S5 into T4 3+", "attacks"),
            ("10 attacks S5 into T4 3+", "hit"),
            ("10 attacks hit 4+ into T4 3+", "strength"),
            ("10 attacks hit 4+ S5 into 3+ save", "toughness"),
            ("10 attacks hit 4+ S5 into T4", "save"),
            ("2 attacks each hit 4+ S5 into T4 3+", "models"),
            ("d6 attacks +1 attack per 5 targets hit 4+ S5 into T4 3+", "models"),
            ("10 attacks hit 4+ S5 half range +1 attack into T4 3+", "range"),
            ("10 attacks hit 4+ S5 range 24 half range +1 attack into T4 3+", "distance"),
        ],
    )
    def test_a_missing_part_is_asked_for(self, message: str, missing: str) -> None:
        asked = misread(message)
        assert asked.missing == missing
        assert asked.hint is not None
        assert asked.pending is not None

    def test_missing_parts_are_asked_for_one_at_a_time_in_order(self) -> None:
        message, order = "half range +1 attack", []
        for answer in ("2 attacks each", "hit 4+", "S5", "T4", "save 3+", "5 models", "range 24", "at 10"):
            asked = misread(message)
            assert asked.pending is not None
            message = asked.pending.replace(GAP, answer)
            order.append(asked.missing)
        assert order == ["attacks", "hit", "strength", "toughness", "save", "models", "range", "distance"]
        assert isinstance(read(message, CONTEXT), Odds)

    def test_strength_and_toughness_are_not_needed_beside_a_wound_number(self) -> None:
        assert weapon("10 attacks, hit 4+, wound 3+ into save 3+").strength is None

    def test_no_save_is_a_clause(self) -> None:
        assert group("10 attacks hit 4+ S5 into T4 no save").save is None

    def test_a_fixed_save_alone_is_a_whole_defence(self) -> None:
        assert str(odds("10 attacks hit 4+ S5 into T4 fixed save 4+")).endswith("no save, fixed save 4+, W1")


class TestWhereAClauseBelongs:
    def test_to_the_group_in_which_it_stands(self) -> None:
        first, second = attack("9 attacks hit 4+ S3 AP-1 plus 2 attacks hit 3+ S5 into T4 3+").weapons
        assert (first.ap, second.ap) == (1, 0)

    def test_before_the_colon_to_all_target_groups(self) -> None:
        target = attack("10 attacks hit 4+ S5 into T4 W3 in cover: 2 models save 3+ then 1 model save 2+").target
        assert [one.wounds for one in target.groups] == [3, 3]
        assert all(one.cover for one in target.groups)

    def test_after_the_target_to_all_weapon_groups(self) -> None:
        weapons = attack("9 attacks hit 4+ S3 plus 2 attacks hit 3+ S5 into T4 3+, AP-1, re-roll 1s to hit").weapons
        assert [one.ap for one in weapons] == [1, 1]
        assert [one.reroll_hit for one in weapons] == [Reroll.ONES, Reroll.ONES]

    def test_nothing_else_carries_over_between_weapon_groups(self) -> None:
        assert misread("9 attacks hit 4+ S3 plus 2 attacks S5 into T4 3+").missing == "hit"

    def test_a_clause_for_all_that_differs_from_one_group_is_a_contradiction(self) -> None:
        caught = misread("9 attacks hit 4+ S3 AP-2 plus 2 attacks hit 3+ S5 into T4 3+, AP-1")
        assert caught.also is not None


class TestAtAndOn:
    def test_at_before_a_bare_number_is_the_distance(self) -> None:
        assert attack("10 shots hit 4+ S5 at 14 into T4 3+").distance == 14

    @pytest.mark.parametrize("inches", ["14 inches", '14"', "14''", "14 inch", "14in", "fourteen inches", "14”"])
    def test_at_before_inches_is_the_distance(self, inches: str) -> None:
        assert attack(f"10 shots hit 4+ S5 at {inches} into T4 3+").distance == 14

    def test_at_before_a_number_of_models_is_the_target(self) -> None:
        assert group("10 shots hit 4+ S5 at 5 models T4 3+").models == 5

    def test_at_before_any_other_word_is_the_target(self) -> None:
        assert group("10 shots hit 4+ S5 at a squad of 5 with T4 and a 3+ save").models == 5

    def test_on_before_a_number_belongs_to_the_check(self) -> None:
        assert weapon("10 shots on 4s S5 on T4 3+ save").hit == 4


class TestNumbersBesideD:
    @pytest.mark.parametrize("number", [1, 2, 4, 5])
    def test_as_a_statistic_d1_d2_d4_d5_are_flat(self, number: int) -> None:
        assert weapon(f"10 attacks hit 4+ S5 D{number} into T4 3+").damage == fixed(number)

    @pytest.mark.parametrize("sides", [3, 6])
    def test_as_a_statistic_d3_and_d6_are_dice_and_the_reading_says_so(self, sides: int) -> None:
        message = f"10 attacks hit 4+ S5 D{sides} into T4 3+"
        assert weapon(message).damage == Amount(1, sides)
        assert f"damage d{sides} into" in str(odds(message))

    @pytest.mark.parametrize("number", [7, 8, 10, 12])
    def test_other_bare_dn_are_asked_about(self, number: int) -> None:
        flat, die = choices(f"10 attacks hit 4+ S5 D{number} into T4 3+")
        assert f"damage {number} into" in flat
        assert f"damage d{number} into" in die

    @pytest.mark.parametrize("sides", [2, 3, 4, 6, 8])
    def test_after_the_word_damage_dn_is_always_a_die(self, sides: int) -> None:
        assert weapon(f"10 attacks hit 4+ S5 damage d{sides} into T4 3+").damage == Amount(1, sides)

    def test_damage_3_is_flat(self) -> None:
        assert weapon("10 attacks hit 4+ S5 damage 3 into T4 3+").damage == fixed(3)

    def test_a_signed_damage_in_the_target_part_is_its_reduction(self) -> None:
        assert group("10 attacks hit 4+ S5 D3 into T4 3+ damage -1").reduce == 1

    def test_a_signed_damage_in_the_attack_part_is_asked_about(self) -> None:
        own, theirs = choices("10 attacks hit 4+ S5 damage -1 into T4 3+")
        assert "damage 1 into" in own
        assert theirs.endswith("damage -1")


class TestShootingOrMelee:
    def test_shooting_unless_ws_or_melee_is_said(self) -> None:
        assert not weapon(PLAIN).melee
        assert weapon("10 attacks WS4+ S5 into T4 3+").melee
        assert weapon("10 attacks melee hit 4+ S5 into T4 3+").melee

    @pytest.mark.parametrize("ranged", ["range 24", "at 12", "half range +1 attack"])
    def test_melee_at_range_is_a_contradiction_and_both_places_are_shown(self, ranged: str) -> None:
        caught = misread(f"10 attacks melee hit 4+ S5 {ranged} into T4 3+")
        assert caught.at is not None
        assert caught.also is not None

    def test_melee_into_cover_is_a_contradiction(self) -> None:
        message = "10 attacks WS4+ S5 into T4 3+ in cover"
        caught = misread(message)
        assert caught.at is not None
        assert caught.also is not None
        assert message[slice(*caught.also)] == "WS4+"
        assert message[slice(*caught.at)] == "in cover"

    def test_skill_for_shooting_in_melee_is_a_contradiction(self) -> None:
        assert misread("10 attacks BS4+ melee S5 into T4 3+").also is not None

    def test_beyond_the_range_is_refused_with_both_numbers(self) -> None:
        message = "10 shots hit 4+ S5 range 24 at 30 into T4 3+"
        caught = misread(message)
        assert "30" in caught.message
        assert "24" in caught.message
        assert pointed(message) == "at 30"


class TestRerolls:
    def test_re_roll_hits_means_failed_hits(self) -> None:
        assert weapon("10 attacks hit 4+ S5 re-roll hits into T4 3+").reroll_hit is Reroll.FAILED

    @pytest.mark.parametrize(("one", "other"), [("1s to hit", "failed hits"), ("failed hits", "1s to hit")])
    def test_given_twice_the_widest_applies_and_the_reading_says_so(self, one: str, other: str) -> None:
        message = f"10 attacks hit 4+ S5 re-roll {one} re-roll {other} into T4 3+"
        assert weapon(message).reroll_hit is Reroll.FAILED
        assert any("widest" in note for note in odds(message).notes)

    def test_one_failed_beside_another_re_roll_of_the_step_is_asked_about(self) -> None:
        assert len(choices("10 attacks hit 4+ S5 re-roll one failed hit re-roll 1s to hit into T4 3+")) == 2

    def test_a_re_roll_that_names_no_step_is_of_the_number_just_said_and_noted(self) -> None:
        message = "10 attacks hitting on 4s re-rolling ones, S5 into T4 3+"
        assert weapon(message).reroll_hit is Reroll.ONES
        assert any("re-roll to hit" in note for note in odds(message).notes)

    def test_a_re_roll_that_stands_alone_is_asked_about(self) -> None:
        assert len(choices("10 attacks hit 4+, S5, re-roll 1s, into T4 3+")) == 2
        assert len(choices("10 attacks hit 4+ S5 into T4 3+ W2 re-roll 1s")) == 3

    def test_re_roll_1_to_hit_is_asked_about(self) -> None:
        assert len(choices("10 attacks hit 4+ S5 re-roll 1 to hit into T4 3+")) == 2


class TestCriticals:
    def test_6s_to_hit_read_as_critical_hits_while_the_threshold_is_six(self) -> None:
        assert weapon("10 attacks hit 4+ S5 6s to hit wound outright into T4 3+").critical_hits_wound

    def test_with_another_threshold_they_are_asked_about(self) -> None:
        assert len(choices("10 attacks hit 4+ S5 critical hits on 5+, 6s to hit wound outright into T4 3+")) == 2

    def test_a_face_below_the_highest_must_be_named_as_a_threshold(self) -> None:
        message = "10 attacks hit 4+ S5 5s to hit score an extra hit into T4 3+"
        assert pointed(message) == "5s"
        assert misread(message).hint == "critical hits on 5+"

    def test_crits_that_name_no_step_are_hits_where_only_hits_do_something_and_noted(self) -> None:
        message = "10 attacks hit 4+ S5 crits on 5+, critical hits wound into T4 3+"
        assert weapon(message).critical_hit == 5
        assert any("critical hits" in note for note in odds(message).notes)

    def test_crits_that_name_no_step_are_asked_about(self) -> None:
        for effect in ("", ", critical wounds pierce"):
            assert len(choices(f"10 attacks hit 4+ S5 crits on 5+{effect} into T4 3+")) == 2

    def test_slang_for_an_effect_is_pointed_at(self) -> None:
        assert pointed("10 attacks hit 4+ S5 6s explode into T4 3+") == "explode"


class TestNegations:
    @pytest.mark.parametrize("words", ["no cover", "not in cover", "no AP", "no re-rolls"])
    def test_the_listed_negations_change_nothing_and_are_understood(self, words: str) -> None:
        assert attack(f"10 attacks, hit 4+, S5 into T4, save 3+, {words}") == attack(PLAIN)

    @pytest.mark.parametrize(
        ("message", "word"),
        [
            ("10 attacks hit 4+ S5 into T4 3+ no ignore 5+", "no"),
            ("10 attacks hit 4+ S5 into T4 3+ without cover", "without"),
            ("10 attacks don't hit 4+ S5 into T4 3+", "don't"),
            ("10 attacks hit 4+ S5 critical wounds never pierce into T4 3+", "never"),
        ],
    )
    def test_any_other_negation_is_pointed_at(self, message: str, word: str) -> None:
        assert pointed(message) == word

    def test_no_re_rolls_beside_a_re_roll_is_a_contradiction(self) -> None:
        assert misread("10 attacks hit 4+ S5 re-roll hits into T4 3+ no re-rolls").also is not None


class TestTwice:
    def test_the_same_clause_repeated_alike_is_harmless(self) -> None:
        assert attack("10 attacks, 10 shots, hit 4+, BS4+, S5, strength 5 into T4, T4, save 3+, Sv3+") == attack(PLAIN)

    def test_differing_clauses_are_a_contradiction_and_both_places_are_shown(self) -> None:
        message = "10 attacks hit 3+ S5 hit 4+ into T4 3+"
        caught = misread(message)
        assert caught.at is not None
        assert caught.also is not None
        assert message[slice(*caught.also)] == "hit 3+"
        assert message[slice(*caught.at)] == "hit 4+"

    def test_a_second_bare_number_in_the_attack_part_is_asked_about(self) -> None:
        first, _ = choices("10 attacks 4+ 3+ S5 into T4 3+")
        assert "wound 3+" in first

    def test_a_second_bare_number_in_the_target_part_is_asked_about(self) -> None:
        assert [one.partition("save 3+, ")[2] for one in choices("10 attacks 4+ S5 into T4 3+ 5+")] == [
            "fixed save 5+, W1",
            "W1, ignore 5+",
        ]

    def test_a_bonus_to_save_is_no_clause_and_the_hint_offers_cover(self) -> None:
        assert misread("10 attacks hit 4+ S5 into T4 3+ +1 to save").hint == "cover"

    def test_ap_with_a_plus_is_asked_about(self) -> None:
        assert len(choices("10 attacks hit 4+ S5 AP+1 into T4 3+")) == 2


class TestWounds:
    @pytest.mark.parametrize("words", ["wounds 2", "2 wounds", "2W", "W2", "two wounds each", "each with 2 wounds"])
    def test_in_the_target_part_they_are_a_statistic(self, words: str) -> None:
        assert group(f"10 attacks hit 4+ S5 into T4 3+ {words}").wounds == 2

    @pytest.mark.parametrize(
        "words", ["2 wounds lost", "two wounds already lost", "has lost 2 wounds", "missing 2 wounds", "2 wounds gone"]
    )
    def test_wounds_lost_are_losses_of_the_first_model(self, words: str) -> None:
        assert group(f"10 attacks hit 4+ S5 into T4 3+ W3 {words}").lost == 2

    def test_fewer_than_w_are_lost(self) -> None:
        message = "10 attacks hit 4+ S5 into T4 3+ W2, 2 wounds lost"
        assert pointed(message) == "2 wounds lost"

    def test_wounds_left_to_a_unit_are_no_clause(self) -> None:
        assert pointed("10 attacks hit 4+ S5 into T4 3+ 7 wounds left") == "7 wounds left"

    def test_a_part_of_the_unit_in_cover_is_not_the_unit(self) -> None:
        assert misread("10 attacks hit 4+ S5 into T4 3+ 2 of them in cover").at is not None
        assert misread("10 attacks hit 4+ S5 into T4 3+ some of them in cover").at is not None


class TestModelsAndAttacks:
    def test_attacks_of_several_models_without_each_are_asked_about(self) -> None:
        each, in_all = choices("5 models with 10 attacks hit 4+ S5 into T4 3+")
        assert "5 models with 10 attacks each" in each
        assert in_all.startswith("odds 10 attacks,")

    def test_one_model_is_clear(self) -> None:
        assert weapon("1 model with 10 attacks hit 4+ S5 into T4 3+").attacks == fixed(10)

    def test_a_statistic_is_of_each_model(self) -> None:
        only = weapon("5 models A2 hit 4+ S5 into T4 3+")
        assert (only.models, only.attacks) == (5, fixed(2))

    def test_ten_shots_with_a_half_range_bonus_are_one_model(self) -> None:
        only = weapon("10 shots hit 4+ S5 range 24 half range +1 attack at 10 into T4 3+")
        assert (only.models, only.attacks, only.half_plus) == (1, fixed(10), fixed(1))

    def test_within_half_range_stands_for_the_distance(self) -> None:
        assert (
            attack("7 shots within half range, range 30, half range double attacks, 4+, S4 into T4 3+").distance == 15
        )


class TestLimits:
    @pytest.mark.parametrize(
        ("message", "guilty", "limit"),
        [
            ("1001 attacks hit 4+ S5 into T4 3+", "1001", "1,000"),
            ("101d6 attacks hit 4+ S5 into T4 3+", "101d6", "100"),
            ("201 models A1 hit 4+ S5 into T4 3+", "201", "200"),
            ("10 attacks hit 4+ S5 into T4 3+ W101", "101", "100"),
            ("10 attacks hit 4+ S5 damage 101 into T4 3+", "101", "100"),
            ("10 attacks hit 4+ S101 into T4 3+", "101", "100"),
            ("10 attacks hit 4+ S0 into T4 3+", "0", "1"),
            ("10 attacks hit 4+ S5 into T101 3+", "101", "100"),
            ("0 attacks hit 4+ S5 into T4 3+", "0", "1"),
            ("10 attacks hit 7+ S5 into T4 3+", "7+", "6+"),
            ("10 attacks hit 1+ S5 into T4 3+", "1+", "2+"),
            ("10 attacks hit 4+ S5 into T4 save 1+", "1+", "2+"),
            ("10 attacks hit 4+ S5 into T4 3+ fixed save 7+", "7+", "6+"),
            ("10 attacks hit 4+ S5 into T4 3+ ignore 7+", "7+", "6+"),
            ("10 attacks hit 4+ wound 9+ into 3+", "9+", "6+"),
            ("10 attacks hit 4+ S5 critical hits on 7+ into T4 3+", "7+", "6+"),
            ("10 attacks hit 4+ +11 to hit S5 into T4 3+", "+11", "10"),
        ],
    )
    def test_an_impossible_number_is_pointed_at_and_the_allowed_range_named(
        self, message: str, guilty: str, limit: str
    ) -> None:
        assert pointed(message) == guilty
        assert limit in misread(message).message

    def test_a_thousand_dice_in_all(self) -> None:
        caught = misread("200 models with 10 attacks each hit 4+ S5 into T4 3+")
        assert "1,000" in caught.message
        assert caught.also is not None

    def test_the_ten_sided_die_has_its_own_range(self) -> None:
        ten = [rules for rules in load_rulesets().values() if rules.die == 10]
        assert ten, "a ruleset of a ten-sided die is part of the house"
        context = Context(ruleset=ten[0])
        assert isinstance(read("10 attacks hit 9+ S5 into T4 8+", context), Odds)
        with pytest.raises(Misread, match=r"2\+ to 10\+"):
            read("10 attacks hit 11+ S5 into T4 8+", context)


class TestOwnDice:
    @pytest.mark.parametrize("dice", ["6 4 4 2 1", "64421", "6,4,4,2,1", "6, 4, 4, 2 and 1"])
    def test_they_stand_behind_the_word(self, dice: str) -> None:
        request = read(f"roll {PLAIN} with dice {dice}", CONTEXT)
        assert isinstance(request, Roll)
        assert request.faces == (6, 4, 4, 2, 1)

    @pytest.mark.parametrize("verb", ["", "odds "])
    def test_they_belong_to_roll_only(self, verb: str) -> None:
        caught = misread(f"{verb}{PLAIN} with dice 6 4 4")
        assert "roll" in caught.message

    @pytest.mark.parametrize("face", ["0", "7", "9"])
    def test_a_face_that_the_die_has_not_is_pointed_at(self, face: str) -> None:
        assert pointed(f"roll {PLAIN} with dice 6 4 {face} 1") == face


class TestWoundNumberBesideStrength:
    def test_the_number_counts_and_is_noted(self) -> None:
        message = "10 attacks hit 4+ S5 wound 3+ into T4 3+"
        assert weapon(message).wound == 3
        assert any("counts" in note for note in odds(message).notes)

    def test_what_a_wound_on_a_six_is_to_do_is_asked(self) -> None:
        assert len(choices("10 attacks hit 4+ S4 6s to wound AP-3 into T4 3+")) == 3


class TestSingleModels:
    @pytest.mark.parametrize(
        "words", ["a T8 2+ save 10W model", "a T8 model with a 2+ save, W10", "a 10-wound model, T8 2+"]
    )
    def test_a_model_without_a_number_is_one(self, words: str) -> None:
        assert group(f"4 shots 3+ S9 into {words}").models == 1

    def test_models_without_a_number_are_large_enough(self) -> None:
        assert group("4 shots 3+ S9 into T8 2+ models of 10 wounds").models is None


class TestTheTargetFirst:
    @pytest.mark.parametrize(
        "message",
        [
            "what are the odds of killing 5 models T4 3+ with 10 shots hitting on 3s S5?",
            "into 5 models T4 3+: 10 shots 3+ S5",
            "T4 3+ save 5 models: 10 attacks 3+ S5",
        ],
    )
    def test_the_weapon_may_follow(self, message: str) -> None:
        assert attack(message) == attack("10 attacks, hit 3+, S5 into T4, 5 models, save 3+")


class TestFurtherGroups:
    def test_and_begins_a_further_weapon_group_when_this_one_is_complete(self) -> None:
        weapons = attack("5 models A2 BS3+ S4 and 1 model A3 BS2+ S5 into T4 3+").weapons
        assert [(one.models, one.hit) for one in weapons] == [(5, 3), (1, 2)]

    def test_and_begins_a_further_target_group_when_this_one_is_complete(self) -> None:
        groups = attack("10 attacks hit 4+ S5 into T4: 2 models save 3+ W3 and 1 model save 2+ W5").target.groups
        assert [(one.models, one.save, one.wounds) for one in groups] == [(2, 3, 3), (1, 2, 5)]

    def test_two_groups_without_a_joint_are_a_contradiction_with_a_way_out(self) -> None:
        caught = misread("5 models A2 BS3+ S4, 3 models A1 BS4+ S3 into T4 3+")
        assert caught.hint is not None
        assert "plus" in caught.hint


class TestClausesSideBySide:
    """Without commas a number stands between two words that could both have it."""

    @pytest.mark.parametrize(
        ("words", "save", "fixed", "ignore"),
        [
            ("3+ ignore 5+", 3, None, 5),
            ("3+ fixed save 5+", 3, 5, None),
            ("3+ fixed 5+", 3, 5, None),
            ("3+ save 5+ ignore", 3, None, 5),
            ("3+ save 4+ fixed save", 3, 4, None),
            ("3+ 4+ fixed 5+ ignore", 3, 4, 5),
            ("save 3+ fixed save 4+ ignore 5+", 3, 4, 5),
            ("3+ save fixed save 4+ 5+ ignore", 3, 4, 5),
        ],
    )
    def test_saves(self, words: str, save: int, fixed: int | None, ignore: int | None) -> None:
        only = group(f"10 attacks hit 4+ S5 into T4 {words}")
        assert (only.save, only.fixed_save, only.ignore) == (save, fixed, ignore)

    @pytest.mark.parametrize(
        ("words", "damage", "to_hit"),
        [
            ("damage 2 +1 to hit", fixed(2), 1),
            ("damage d6 +1 to hit", Amount(1, 6), 1),
            ("damage d6 + 1", Amount(1, 6, 1), 0),
            ("D3 -1 to hit", Amount(1, 3), -1),
            ("D6+1 +1 to hit", Amount(1, 6, 1), 1),
        ],
    )
    def test_damage_and_modifiers(self, words: str, damage: Amount, to_hit: int) -> None:
        only = weapon(f"10 attacks hit 4+ S5 {words} into T4 3+")
        assert (only.damage, only.to_hit) == (damage, to_hit)

    def test_damage_and_a_bonus_of_attacks(self) -> None:
        only = weapon("d6 shots hit 4+ S8 D3 +1 attack at half range, range 12 at 5 into T4 3+")
        assert (only.attacks, only.damage, only.half_plus) == (Amount(1, 6), Amount(1, 3), fixed(1))

    def test_statistics_without_blanks(self) -> None:
        only = weapon("A2BS4+S5AP-1D2 into T4Sv3+W2")
        assert (only.attacks, only.hit, only.strength, only.ap, only.damage) == (fixed(2), 4, 5, 1, fixed(2))


class TestOneWordMore:
    """A word that slipped in is never swallowed by the number beside it."""

    def test_a_bare_hit_number_is_not_added_to_the_attacks(self) -> None:
        assert weapon("S5 4+ 20 shots into T4 3+").attacks == fixed(20)

    def test_a_sum_is_written_in_one_piece_or_wholly_apart(self) -> None:
        assert weapon("3+1 attacks hit 4+ S5 into T4 3+").attacks == fixed(4)
        assert weapon("3 + 1 attacks hit 4+ S5 into T4 3+").attacks == fixed(4)
        assert pointed("10 +1 attacks hit 4+ S5 into T4 3+") == "10"

    def test_an_ignore_roll_is_not_a_number_of_models(self) -> None:
        assert pointed("10 attacks hit 4+ S5 into T4 save 3+ ignore 5 models") == "ignore"

    def test_damage_is_not_a_number_of_models(self) -> None:
        assert pointed("10 attacks hit 4+ S5 into T4 3+ damage 5 models") == "damage"

    def test_wounds_in_the_attack_part_are_no_statistic(self) -> None:
        assert misread("10 attacks hit 4+ S5 wounds 2 into T4 3+").at is not None
        assert misread("10 attacks hit 4+ S5 2 wounds into T4 3+").at is not None

    def test_loose_inches_are_pointed_at(self) -> None:
        assert pointed("10 attacks hit 4+ S5 into T4 3+ inches") == "inches"

    def test_a_second_against_before_a_weapon_clause_is_pointed_at(self) -> None:
        assert pointed("10 attacks hit 4+ S5 into T4 3+ ignore 5+ against damage 2") == "against"


class TestAskingIsSafe:
    @pytest.mark.parametrize(
        "verb", ["roll", "Roll:", "attack", "attack with", "please roll", "let's roll", "ok roll my"]
    )
    def test_only_a_verb_rolls(self, verb: str) -> None:
        assert isinstance(read(f"{verb} {PLAIN}", CONTEXT), Roll)

    @pytest.mark.parametrize("head", ["", "rolling ", "shooting ", "odds ", "my squad: "])
    def test_everything_else_reckons(self, head: str) -> None:
        assert isinstance(read(f"{head}{PLAIN}", CONTEXT), Odds)

    @pytest.mark.parametrize("head", ["attacks: 10", "Shots 10", "please, shots: 10", "Attacks 10"])
    def test_a_statistic_at_the_head_is_no_verb(self, head: str) -> None:
        assert attack(f"{head}, hit 4+, S5 into T4, save 3+") == attack(PLAIN)

    @pytest.mark.parametrize(
        "question",
        [
            "what are the odds of {}?",
            "What's the chance with {}",
            "how likely is it that {}",
            "should I shoot {}?",
            "how many wounds do {} do?",
            "{}, any good?",
            "{} - what are the odds?",
            "tell me the odds of {}",
            "average damage of {}",
        ],
    )
    def test_a_question_reckons(self, question: str) -> None:
        if question.startswith("how likely"):
            question = "how likely is {}"
        assert attack(question.format("10 shots 4+ S5 into T4 3+")) == attack(PLAIN)
