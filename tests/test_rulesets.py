"""Ways to play as data: what is shipped loads, and what contradicts itself is refused at its line."""

from __future__ import annotations

import re
from itertools import product

import pytest

from bot.content import ROOM, ContentError, load_rulesets, parse
from bot.glossary import load_glossary
from resolver.amount import fixed
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup
from resolver.exact import odds
from resolver.plan import plan
from resolver.refused import Refused
from resolver.ruleset import (
    ACTIONS,
    CONDITIONS,
    DifferenceChart,
    Feature,
    RatioChart,
    Ruleset,
    Step,
    TableChart,
)

STANDARD = (ROOM / "config" / "rules" / "standard.yaml").read_text(encoding="utf-8")
TEN = (ROOM / "config" / "rules" / "ten-sided.yaml").read_text(encoding="utf-8")
BY_DIFFERENCE = (ROOM / "config" / "rules" / "difference.yaml").read_text(encoding="utf-8")
FIRST = (ROOM / "config" / "rules" / "first-game.yaml").read_text(encoding="utf-8")
RULESETS = load_rulesets()


def changed(text: str, old: str, new: str) -> str:
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
    return text.replace(old, new)


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


def test_five_ways_to_play_are_shipped() -> None:
    assert set(RULESETS) == {"standard", "difference", "two-rolls", "ten-sided", "first-game"}


def test_each_file_is_named_after_the_ruleset_in_it() -> None:
    assert {path.stem for path in (ROOM / "config" / "rules").glob("*.yaml")} == set(RULESETS)


# Common practice, no source.
@pytest.mark.parametrize(
    ("strength", "toughness", "number"),
    [(8, 4, 2), (9, 4, 2), (5, 4, 3), (7, 4, 3), (4, 4, 4), (3, 4, 5), (4, 8, 6), (3, 8, 6), (5, 8, 5)],
)
def test_the_ratio_chart_is_the_standard_one(strength: int, toughness: int, number: int) -> None:
    chart = RULESETS["standard"].wound_chart
    assert isinstance(chart, RatioChart)
    assert chart.needed(strength, toughness)[0] == number


# Common practice, no source.
@pytest.mark.parametrize(
    ("strength", "toughness", "number"),
    [(4, 4, 4), (5, 4, 3), (6, 4, 2), (9, 4, 2), (3, 4, 5), (2, 4, 6), (1, 9, 6)],
)
def test_the_difference_chart_moves_by_one_for_each_point_and_is_held_at_its_ends(
    strength: int, toughness: int, number: int
) -> None:
    chart = RULESETS["difference"].wound_chart
    assert isinstance(chart, DifferenceChart)
    assert chart.needed(strength, toughness)[0] == number


def test_a_difference_chart_may_move_by_one_for_every_second_point() -> None:
    chart = DifferenceChart(equal=4, points=2, best=2, worst=6)
    assert [chart.needed(4, t)[0] for t in (4, 5, 6, 7, 8, 9)] == [4, 4, 5, 5, 6, 6]


def test_a_table_chart_is_read_at_the_difference_and_held_at_its_ends() -> None:
    chart = RULESETS["ten-sided"].wound_chart
    assert isinstance(chart, TableChart)
    numbers = [chart.needed(5 + gap, 5)[0] for gap in range(-4, 5)]
    assert numbers == [10, 9, 8, 7, 6, 5, 4, 4, 3]
    assert chart.needed(1, 30)[0] == 10
    assert chart.needed(30, 1)[0] == 3


@pytest.mark.parametrize("name", ["standard", "difference", "ten-sided"])
def test_a_stronger_weapon_never_needs_a_higher_number(name: str) -> None:
    chart = RULESETS[name].wound_chart
    assert chart is not None
    for toughness in range(1, 25):
        numbers = [chart.needed(strength, toughness)[0] for strength in range(1, 40)]
        assert numbers == sorted(numbers, reverse=True)


@pytest.mark.parametrize("name", ["standard", "difference", "ten-sided"])
def test_every_chart_explains_its_number_with_both_statistics(name: str) -> None:
    chart = RULESETS[name].wound_chart
    assert chart is not None
    for strength, toughness in ((5, 4), (4, 4), (1, 12)):
        number, why = chart.needed(strength, toughness)
        assert f"strength {strength} against toughness {toughness}" in why
        assert f"{number}+" in why


def test_the_first_game_has_no_trimmings_and_no_command_phase() -> None:
    first = RULESETS["first-game"]
    assert set(first.without) == set(Feature)
    assert [phase.id for phase in first.phases] == ["movement", "shooting", "charge", "fight"]
    assert first.natural_fail == 1
    assert first.natural_pass == (Step.HIT, Step.WOUND)


@pytest.mark.parametrize("name", ["difference", "first-game"])
def test_what_differs_only_in_numbers_or_trimmings_permits_the_same(name: str) -> None:
    assert RULESETS[name].permissions == RULESETS["standard"].permissions


@pytest.mark.parametrize("name", RULESETS)
def test_every_ruleset_decides_what_the_standard_one_decides(name: str) -> None:
    for action, condition in product(ACTIONS, CONDITIONS):
        if RULESETS["standard"].permission(action, condition) is not None:
            assert RULESETS[name].permission(action, condition) is not None, (action, condition)


@pytest.mark.parametrize("name", RULESETS)
def test_every_reason_leads_to_an_entry_of_the_glossary(name: str) -> None:
    known = load_glossary().entries
    assert {permission.entry for permission in RULESETS[name].permissions} <= set(known)


def test_a_ruleset_may_try_armour_before_toughness() -> None:
    assert RULESETS["ten-sided"].steps == (Step.HIT, Step.SAVE, Step.WOUND)


def test_a_ruleset_may_have_no_wound_roll() -> None:
    assert RULESETS["two-rolls"].wound_chart is None


def unsaved(ruleset: Ruleset, weapon: WeaponGroup, group: TargetGroup, toughness: int | None = None) -> float:
    attack = Attack(weapons=(weapon,), target=Target(toughness=toughness, groups=(group,)))
    return odds(plan(attack, ruleset)).mean["unsaved"]


def test_two_rolls_hit_and_save_and_no_more() -> None:
    ruleset = RULESETS["two-rolls"]
    weapon = WeaponGroup(attacks=fixed(12), hit=4, ap=1)
    assert unsaved(ruleset, weapon, TargetGroup(save=4)) == pytest.approx(12 / 2 * 4 / 6)
    attack = Attack(weapons=(weapon,), target=Target(groups=(TargetGroup(save=4),)))
    (needs,) = plan(attack, ruleset).needs
    assert (needs.hit, needs.wound, needs.save) == ("4+", None, ("5+",))


def test_ten_sided_dice_hit_save_and_then_wound() -> None:
    ruleset = RULESETS["ten-sided"]
    weapon = WeaponGroup(attacks=fixed(10), hit=6, strength=7, ap=1)
    group = TargetGroup(save=5)
    assert unsaved(ruleset, weapon, group, 5) == pytest.approx(10 * 0.5 * 0.5 * 0.7)
    attack = Attack(weapons=(weapon,), target=Target(toughness=5, groups=(group,)))
    found = odds(plan(attack, ruleset))
    assert found.mean["hits"] == pytest.approx(5)
    assert found.mean["damage"] == pytest.approx(1.75)


def test_by_difference_two_points_are_worth_two_steps() -> None:
    weapon = WeaponGroup(attacks=fixed(6), hit=4, strength=6)
    assert unsaved(RULESETS["difference"], weapon, TargetGroup(), 4) == pytest.approx(6 / 2 * 5 / 6)
    assert unsaved(RULESETS["standard"], weapon, TargetGroup(), 4) == pytest.approx(6 / 2 * 4 / 6)


TRIMMINGS = {
    "modifiers": ({"to_hit": 1}, {}),
    "cover": ({}, {"cover": True}),
    "re-rolls": ({"reroll_hit": Reroll.ONES}, {}),
    "critical": ({"critical_hits_wound": True}, {}),
    "fixed save": ({}, {"fixed_save": 4}),
    "ignore": ({}, {"ignore": 5}),
}


@pytest.mark.parametrize("trimming", TRIMMINGS)
def test_the_first_game_refuses_each_trimming_by_name(trimming: str) -> None:
    of_weapon, of_group = TRIMMINGS[trimming]
    weapon = WeaponGroup(attacks=fixed(6), hit=4, strength=4, **of_weapon)  # type: ignore[arg-type]
    with pytest.raises(Refused, match=trimming):
        unsaved(RULESETS["first-game"], weapon, TargetGroup(save=4, **of_group), 4)  # type: ignore[arg-type]


def test_the_first_game_keeps_ap_and_the_natural_faces() -> None:
    weapon = WeaponGroup(attacks=fixed(6), hit=4, strength=4, ap=1)
    assert unsaved(RULESETS["first-game"], weapon, TargetGroup(save=4), 4) == pytest.approx(6 / 4 * 4 / 6)


CONTRADICTIONS = [
    (STANDARD, "die: 6", "die: 2", "die", "between 3 and 20, got 2"),
    (STANDARD, "die: 6", "die: 24", "die", "between 3 and 20, got 24"),
    (STANDARD, "natural_fail: 1", "natural_fail: 6", "natural_fail", "between 0 and 5, got 6"),
    (STANDARD, "modifier_cap: 1", "modifier_cap: -1", "modifier_cap", "got -1"),
    (STANDARD, "best_save: 2", "best_save: 1", "best_save", "between 2 and 6, got 1"),
    (STANDARD, "best_save: 2", "best_save: 7", "best_save", "between 2 and 6, got 7"),
    (STANDARD, "cover: 1\n", "cover: 9\n", "cover", "got 9"),
    (FIRST, "cover: 0", "cover: 1", "cover", "a game without cover has 0 here, got 1"),
    (FIRST, "modifier_cap: 0", "modifier_cap: 1", "modifier_cap", "a game without modifiers has 0 here"),
    (STANDARD, "steps: [hit, wound, save]", "steps: [hit, wound, wound]", "steps", "each step once"),
    (STANDARD, "steps: [hit, wound, save]", "steps: [wound, hit, save]", "steps", "hit step comes first"),
    (STANDARD, "steps: [hit, wound, save]", "steps: [wound, save]", "steps", "hit is among them"),
    (STANDARD, "steps: [hit, wound, save]", "steps: [hit, parry]", "steps[1]", "got parry"),
    (STANDARD, "natural_pass: [hit, wound]", "natural_pass: [hit, climb]", "natural_pass[1]", "got climb"),
    (STANDARD, "  stronger: 3", "  stronger: 5", "wound_chart.stronger", "stronger weapon never needs"),
    (STANDARD, "  half: 6", "  half: 7", "wound_chart.half", "between 2 and 6, got 7"),
    (STANDARD, "  double: 2", "  double: 1", "wound_chart.double", "between 2 and 6, got 1"),
    (STANDARD, "  kind: ratio", "  kind: guess", "wound_chart.kind", "one of ratio, difference, table"),
    (BY_DIFFERENCE, "  worst: 6", "  worst: 3", "wound_chart.worst", "best <= equal <= worst"),
    (BY_DIFFERENCE, "  points: 1", "  points: 0", "wound_chart.points", "between 1 and 20, got 0"),
    (
        TEN,
        "[10, 9, 8, 7, 6, 5, 4, 4, 3]",
        "[10, 9, 8, 7, 8, 5]",
        "wound_chart.numbers[4]",
        "stronger weapon never needs",
    ),
    (TEN, "[10, 9, 8, 7, 6, 5, 4, 4, 3]", "[]", "wound_chart.numbers", "at least one number"),
    (TEN, "[10, 9, 8, 7, 6, 5, 4, 4, 3]", "[11]", "wound_chart.numbers[0]", "between 2 and 10, got 11"),
    (STANDARD, "charge: 2d6", "charge: 0", "movement.charge", "largest charge roll"),
    (STANDARD, "charge: 2d6", "charge: 11d6", "movement.charge", "number of charge dice"),
    (STANDARD, "charge: 2d6", "charge: fast", "movement.charge", "number or dice"),
    (STANDARD, "charge: 2d6", "charge: 0d6", "movement.charge", "got '0d6'"),
    (STANDARD, "charge_within: 12", "charge_within: 0.5", "movement.charge_within", "between 1 and 1000"),
    (STANDARD, "engaged_within: 1", "engaged_within: -1", "movement.engaged_within", "got -1"),
    (STANDARD, "coherency: 2", "coherency: .nan", "movement.coherency", "got nan"),
    (STANDARD, "  - id: fight", "  - id: shooting", "phases[4].id", "shooting stands twice"),
    (STANDARD, "rounds: 5", "rounds: 0", "rounds", "between 1 and 100, got 0"),
    (STANDARD, "rounds: 5", "rounds: five", "rounds", "a whole number"),
    (STANDARD, "id: standard", "id: Our Rules!", "id", "lower-case words"),
]


@pytest.mark.parametrize(("text", "old", "new", "key", "why"), CONTRADICTIONS)
def test_a_contradiction_is_refused_with_file_key_and_line(text: str, old: str, new: str, key: str, why: str) -> None:
    with pytest.raises(ContentError) as caught:
        parse(changed(text, old, new), Ruleset, "ours.yaml")
    (complaint,) = caught.value.complaints
    match = re.fullmatch(r"ours\.yaml:(\d+): ([^:]+): (.*)", complaint)
    assert match is not None
    assert match[2] == key
    assert why in match[3]


@pytest.mark.parametrize(("text", "old", "new", "key", "why"), CONTRADICTIONS)
def test_a_contradiction_points_at_its_own_line(
    text: str, old: str, new: str, key: str, why: str
) -> None:
    wrong = changed(text, old, new)
    with pytest.raises(ContentError) as caught:
        parse(wrong, Ruleset, "ours.yaml")
    line = int(caught.value.complaints[0].split(":")[1])
    assert new.strip() in wrong.splitlines()[line - 1]


def test_a_wound_step_without_a_chart_is_refused_at_the_chart() -> None:
    wrong = re.sub(r"wound_chart:\n(  .*\n)+", "wound_chart: null\n", STANDARD)
    with pytest.raises(ContentError, match=f"s:{line_of(wrong, 'wound_chart')}: wound_chart: a wound chart goes"):
        parse(wrong, Ruleset, "s")


def test_a_chart_without_a_wound_step_is_refused_at_the_chart() -> None:
    wrong = changed(STANDARD, "steps: [hit, wound, save]", "steps: [hit, save]")
    wrong = changed(wrong, "natural_pass: [hit, wound]", "natural_pass: [hit]")
    with pytest.raises(ContentError, match="wound_chart: a wound chart goes"):
        parse(wrong, Ruleset, "s")


def test_a_step_that_always_passes_must_be_a_step() -> None:
    wrong = re.sub(r"wound_chart:\n(  .*\n)+", "wound_chart: null\n", STANDARD)
    wrong = changed(wrong, "steps: [hit, wound, save]", "steps: [hit, save]")
    where = line_of(wrong, "natural_pass")
    with pytest.raises(ContentError, match=f"s:{where}: natural_pass: names the step wound"):
        parse(wrong, Ruleset, "s")


def test_an_action_decided_twice_under_one_condition_is_refused() -> None:
    twice = STANDARD + (
        "  - actions: [shoot]\n    conditions: [after advance]\n    allowed: 'yes'\n"
        "    because: We like it so.\n    entry: advance\n"
    )
    where = line_of(twice, "  - actions: [shoot]\n    conditions: [after advance]\n    allowed: 'yes'")
    with pytest.raises(ContentError, match=rf"s:{where}: permissions\[\d+\]: shoot, after advance: is decided twice"):
        parse(twice, Ruleset, "s")


def test_every_complaint_of_a_file_is_told_at_once() -> None:
    wrong = changed(changed(STANDARD, "rounds: 5", "rounds: five"), "die: 6", "dice: 6")
    with pytest.raises(ContentError) as caught:
        parse(wrong, Ruleset, "s")
    keys = [complaint.split(": ")[1] for complaint in caught.value.complaints]
    assert sorted(keys) == ["dice", "die", "rounds"]
