"""What a plan needs and why, and what it refuses. Facts of the trade are common practice, no source."""

import re
from dataclasses import replace

import pytest
from small_attacks import RULESETS, STANDARD

from resolver.amount import Amount, fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup
from resolver.plan import Plan, plan
from resolver.refused import Refused
from resolver.ruleset import DifferenceChart, Ruleset, Step

WEAPON = WeaponGroup(attacks=fixed(10), hit=4, strength=5, ap=1)
GROUP = TargetGroup(models=5, wounds=2, save=3)
TARGET = Target(groups=(GROUP,), toughness=4)


def planned(rules: Ruleset = STANDARD, target: Target = TARGET, distance: float | None = None, **said) -> Plan:
    weapon = replace(WEAPON, **said)
    return plan(Attack(weapons=(weapon,), target=target, distance=distance), rules)


def against(**said) -> Target:
    return replace(TARGET, groups=(replace(GROUP, **said),))


def needs(made: Plan) -> tuple:
    (found,) = made.needs
    return found.hit, found.wound, *found.save


def game_of(*steps: Step) -> Ruleset:
    chart = STANDARD.wound_chart if Step.WOUND in steps else None
    return replace(STANDARD, steps=steps, natural_pass=(Step.HIT,), wound_chart=chart)


NO_SAVE = against(save=None, cover=True, reroll_save=Reroll.FAILED)


# Common practice, no source.
@pytest.mark.parametrize(
    ("strength", "toughness", "number"),
    [(3, 4, "5+"), (4, 4, "4+"), (5, 4, "3+"), (8, 4, "2+"), (7, 4, "3+"), (2, 4, "6+"), (3, 5, "5+"), (3, 6, "6+")],
)
def test_strength_against_toughness(strength, toughness, number):
    made = planned(strength=strength, target=replace(TARGET, toughness=toughness))
    assert needs(made)[1] == number
    assert any(f"strength {strength} against toughness {toughness}" in reason for reason in made.reasons)


# Common practice, no source: 4+ at AP-1 saves on 5+, 3+ on 4+.
@pytest.mark.parametrize(
    ("group", "ap", "number"),
    [
        ({"save": 4}, 1, "5+"),
        ({"save": 3}, 1, "4+"),
        ({"save": 3}, 0, "3+"),
        ({"save": 2, "cover": True}, 0, "2+"),
        ({"save": 3, "cover": True}, 2, "4+"),
        ({"save": 6}, 1, "7+"),
        ({"save": 6}, 5, "7+"),
        ({"save": None}, 0, "7+"),
        ({"save": 6, "fixed_save": 4}, 2, "4+"),
        ({"save": 3, "fixed_save": 4}, 0, "3+"),
        ({"save": None, "fixed_save": 5, "cover": True}, 3, "5+"),
    ],
)
def test_the_save_after_armour_penetration_cover_and_a_fixed_save(group, ap, number):
    assert needs(planned(target=against(**group), ap=ap))[2] == number


def test_cover_does_not_help_a_fixed_save():
    assert needs(planned(target=against(save=6, fixed_save=5, cover=True), ap=2))[2] == "5+"


@pytest.mark.parametrize(
    ("said", "number"),
    [
        ({"hit": 4, "to_hit": 1}, "3+"),
        ({"hit": 4, "to_hit": -3}, "5+"),
        ({"hit": 2, "to_hit": 1}, "2+"),
        ({"hit": 6, "to_hit": -1}, "6+"),
        ({"hit": 5, "critical_hit": 4}, "4+"),
        ({"hit": None, "to_hit": -1}, None),
    ],
)
def test_the_number_to_hit_after_modifiers_and_natural_faces(said, number):
    assert needs(planned(**said))[0] == number


def test_a_given_wound_number_needs_neither_strength_nor_toughness():
    assert needs(planned(wound=3, strength=None, target=replace(TARGET, toughness=None)))[1] == "3+"


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ({}, "AP-1 turns a 3+ save into 4+"),
        ({}, "strength 5 against toughness 4: stronger, so 3+"),
        ({"to_hit": -2}, "-2 to hit is held to -1"),
        ({"to_hit": -1}, "-1 to hit turns 4+ into 5+"),
        ({"ap": 4}, "no face reaches 7+, so no dice are thrown"),
        ({"reroll_hit": Reroll.ONES}, "natural 1s to hit are thrown again"),
        ({"reroll_wound": Reroll.ONE_FAILED}, "one failed wound is thrown again"),
        ({"critical_hit": 5}, "a natural 5 or more is a critical hit, and always passes"),
        ({"extra_hits": Amount(1, 3)}, "a critical hit scores d3 extra hits"),
        ({"critical_wounds_pierce": True}, "a critical wound pierces: no save of any kind"),
        ({"critical_hits_wound": True}, "a critical hit wounds without a wound roll"),
        ({"hit": None, "to_hit": 1}, "what was said of hit rolls and critical hits has no effect on automatic hits"),
        ({"spills": True}, "damage past a model's last wound spills onto the next"),
        ({"per_five": 1}, "5 target models add 1 attack for each model"),
        ({"attacks": Amount(2, 6, 1)}, "each model rolls 2d6+1 attacks"),
    ],
)
def test_every_number_carries_its_reason(said, reason):
    assert reason in planned(**said).reasons


# Common practice, no source: half of 30 inches is 15 and doubles the shots; the edge is within.
@pytest.mark.parametrize(("distance", "attacks"), [(15.0, 20), (15.1, 10), (3.0, 20)])
def test_half_range_doubles_the_shots(distance, attacks):
    made = planned(range=30.0, half_double=True, distance=distance)
    assert made.weapons[0].most_attacks == attacks


def test_doubling_comes_before_adding_and_every_model_adds():
    said = {"models": 2, "attacks": Amount(1, 6, 1), "half_double": True, "half_plus": fixed(1), "range": 20.0}
    made = planned(**said, distance=10.0)
    assert made.weapons[0].most_attacks == 2 * (2 * 7 + 1)


def test_a_bonus_per_five_counts_full_fives_only():
    assert planned(per_five=2, target=against(models=14)).weapons[0].most_attacks == 10 + 2 * 2


@pytest.mark.parametrize(
    ("steps", "said", "reason"),
    [
        ("hit save", {}, "no wound roll, so strength and toughness have no effect"),
        ("hit save", {"wound": 3}, "strength, toughness and the wound number have no effect"),
        ("hit save", {"to_wound": 1}, "strength, toughness and the modifier to wound have no effect"),
        ("hit save", {"reroll_wound": Reroll.FAILED}, "toughness and the re-roll of wounds have no effect"),
        ("hit save", {"critical_wound": 4}, "toughness and the number of critical wounds have no effect"),
        ("hit save", {"critical_hits_wound": True}, "toughness and wounding by critical hits have no effect"),
        ("hit save", {"critical_wounds_pierce": True}, "toughness and piercing by critical wounds have no effect"),
        ("hit wound", {}, "there is no save roll, so AP and the save have no effect"),
        ("hit wound", {"critical_wounds_pierce": True}, "AP, the save and piercing by critical wounds have no effect"),
        ("hit save wound", {"critical_wounds_pierce": True}, "saves are made before wounds, so piercing has no effect"),
        ("hit wound save", {"target": NO_SAVE}, "no saves are thrown, so their re-roll has no effect"),
        ("hit wound save", {"target": NO_SAVE}, "cover helps armour alone and there is none, so it has no effect"),
    ],
)
def test_what_has_no_effect_in_a_game_of_these_steps_is_said(steps, said, reason):
    made = planned(game_of(*map(Step, steps.split())), **said)
    assert any(reason in idle for idle in made.idle)
    assert set(made.idle) <= set(made.reasons)


def test_nothing_is_said_to_have_no_effect_where_everything_has_one():
    target = against(cover=True, reroll_save=Reroll.ONES)
    assert planned(to_wound=1, reroll_wound=Reroll.FAILED, target=target).idle == ()
    assert planned(hit=None).idle == ()


def test_without_a_wound_roll_there_is_no_number_to_wound():
    made = planned(RULESETS["two-rolls"], strength=None)
    assert needs(made)[1] is None


def test_saves_of_several_groups_are_told_apart():
    made = planned(target=replace(TARGET, groups=(GROUP, replace(GROUP, save=2))))
    assert made.needs[0].save == ("4+", "3+")
    assert "group 2: AP-1 turns a 2+ save into 3+" in made.reasons


CHART = DifferenceChart(equal=4, best=2, worst=6)
SAVE_FIRST = replace(STANDARD, steps=(Step.HIT, Step.SAVE, Step.WOUND), wound_chart=CHART)


@pytest.mark.parametrize(
    ("make", "name", "words"),
    [
        (lambda: planned(strength=None), "strength", "S4"),
        (lambda: planned(target=replace(TARGET, toughness=None)), "toughness", "T4"),
        (lambda: planned(hit=7), "hit number", "between 2 and 6, got 7"),
        (lambda: planned(wound=9), "wound number", "between 2 and 6, got 9"),
        (lambda: planned(critical_hit=8), "critical hit number", "between 2 and 6, got 8"),
        (lambda: planned(target=against(save=7)), "save", "between 2 and 6, got 7"),
        (lambda: planned(target=against(ignore=7)), "ignore number", "between 2 and 6, got 7"),
        (lambda: planned(RULESETS["first-game"], to_hit=1), "modifiers", "without modifiers"),
        (lambda: planned(RULESETS["first-game"], reroll_hit=Reroll.ONES), "re-rolls", "without re-rolls"),
        (lambda: planned(RULESETS["first-game"], extra_hits=fixed(1)), "critical effects", "without critical"),
        (lambda: planned(RULESETS["first-game"], target=against(cover=True)), "cover", "without cover"),
        (lambda: planned(RULESETS["first-game"], target=against(fixed_save=5)), "fixed saves", "without fixed saves"),
        (lambda: planned(RULESETS["first-game"], target=against(ignore=5)), "ignore rolls", "without ignore rolls"),
        (
            lambda: planned(RULESETS["first-game"], half_double=True, range=24.0, distance=6.0),
            "half range",
            "without half range",
        ),
        (lambda: planned(SAVE_FIRST, critical_hits_wound=True), "critical hits", "saves before wounding"),
        (lambda: planned(SAVE_FIRST, target=Target(groups=(GROUP, GROUP), toughness=4)), "steps", "one target group"),
        (
            lambda: planned(attacks=fixed(600), half_double=True, range=24.0, distance=6.0),
            "attacks",
            "1,200 attacks; the limit is 1,000",
        ),
        (lambda: planned(attacks=fixed(1000), extra_hits=fixed(10)), "hits", "11,000 hits; the limit is 10,000"),
        (
            lambda: plan(Attack(weapons=(replace(WEAPON, attacks=fixed(1)),) * 101, target=TARGET), STANDARD),
            "number of weapon groups",
            "between 1 and 100, got 101",
        ),
    ],
)
def test_what_cannot_be_is_refused_by_name_and_value(make, name, words):
    with pytest.raises(Refused, match=re.escape(words)) as refused:
        make()
    assert refused.value.name == name


def test_a_check_says_the_chance_of_one_die_with_its_re_roll():
    hit = planned(hit=4, reroll_hit=Reroll.FAILED).weapons[0].check("hit")
    assert hit is not None
    assert str(hit.chance) == "3/4"
    ones = planned(hit=4, reroll_hit=Reroll.ONES).weapons[0].check("hit")
    assert ones is not None
    assert str(ones.chance) == "7/12"
