"""Every figure of the glossary is computed by an example, read off the ruleset, or has a stated source."""

from __future__ import annotations

import re

import pytest
from finding import numbers_in
from prose import prose
from shelf import ENTRIES

from bot.content import load_rulesets
from bot.glossary import load_glossary
from resolver.amount import MOST_DICE
from resolver.attack import LARGEST_STAT, MOST_DAMAGE, MOST_DICE_IN_ALL, MOST_MODELS, MOST_WOUNDS
from resolver.ruleset import DifferenceChart, RatioChart, Ruleset

STANDARD = load_rulesets()["standard"]

# Entries whose figures no example computes, and where the figures come from.
STATED = {
    "wound-chart": "the ruleset, tested below; the rest is arithmetic",
    "difference-chart": "the ruleset, tested below",
    "charge": "the ruleset, tested below",
    "declare-charge": "the ruleset, tested below",
    "coherency": "the ruleset, tested below",
    "engaged": "the ruleset, tested below",
    "move": "the ruleset, tested below",
    "round": "the ruleset, tested below",
    "turn": "the ruleset, tested below",
    "game-length": "the ruleset, tested below",
    "winning": "the ruleset, tested below",
    "standard-ruleset": "the ruleset, tested below",
    "skirmish": "the ruleset, tested below",
    "d3": "the faces of a die, halved and rounded up",
    "rounding": "arithmetic: half of 3 rounded up, half of 15",
    "doubles": "six of thirty-six pairs",
    "limits": "the limits of the resolver, tested below",
    "dice-formula": "the name of the hash",
    "inch": "the inch is 2.54 cm by the international agreement of 1959; from memory",
    "spread": "a normal distribution has 68 % within one standard deviation; from memory",
    "variance": "the root of four",
    "percentile": "the meaning of the word",
    "odds-against": "five to one is one in six; one face of six",
    "independent": "a story, not a figure",
    "law-of-large-numbers": "a story, not a figure",
    "secret": "the sealing formula: a secret of 32 bytes",
    "commitment": "the name of the hash",
    "cut": "the sealing formula: at most 100 characters",
    "sealed-dice": "the year of the paper credited: M. Blum, Coin flipping by telephone, 1981",
    "stat-line": "an invented stat line, read out",
    "characteristic-d": "the names of the letters",
}


def test_a_figure_is_computed_by_an_example_or_has_a_stated_source() -> None:
    stated = {
        entry.id
        for entry in ENTRIES.values()
        if entry.example is None and numbers_in(re.sub(r"`[^`]*`", "", f"{entry.short} {entry.text}"))
    }
    assert stated == set(STATED)


def chart_numbers(ruleset: Ruleset) -> tuple[int, ...]:
    chart = ruleset.wound_chart
    assert isinstance(chart, RatioChart)
    return (chart.double, chart.stronger, chart.equal, chart.weaker, chart.half)


def test_the_wound_chart_is_that_of_the_ruleset() -> None:
    told = re.findall(r"(\d)\+", ENTRIES["wound-chart"].short)
    assert tuple(map(int, told)) == chart_numbers(STANDARD)


def test_the_difference_chart_is_that_of_its_ruleset() -> None:
    chart = load_rulesets()["difference"].wound_chart
    assert isinstance(chart, DifferenceChart)
    assert chart.points == 1
    told = re.findall(r"(\d)\+", ENTRIES["difference-chart"].text)
    assert list(map(int, told)) == [chart.equal, chart.best, chart.worst]


@pytest.mark.parametrize(
    ("id", "pattern", "value"),
    [
        ("coherency", r"within (\d+) inches", STANDARD.movement.coherency),
        ("engaged", r"Within (\d+) inch", STANDARD.movement.engaged_within),
        ("charge", r"within (\d+) inches", STANDARD.movement.charge_within),
        ("charge-limit", r"within (\d+) inches", STANDARD.movement.charge_within),
        ("declare-charge", r"within (\d+) inches", STANDARD.movement.charge_within),
        ("best-save", r"better than (\d)\+", STANDARD.best_save),
        ("cover", r"save by (\d)", STANDARD.cover),
        ("modifier-cap", r"within -(\d) and", STANDARD.modifier_cap),
        ("move", r"within (\d) inch", STANDARD.movement.engaged_within),
        ("critical-wound", r"face is a (\d)", STANDARD.die),
        ("critical-hit", r"face is a (\d)", STANDARD.die),
        ("natural-one", r"shows (\d)", STANDARD.natural_fail),
        ("natural-six", r"natural (\d) always", STANDARD.die),
    ],
)
def test_a_number_of_the_rules_is_that_of_the_ruleset(id: str, pattern: str, value: float) -> None:
    entry = ENTRIES[id]
    told = re.findall(pattern, f"{entry.short} {entry.text}")
    assert told
    assert {float(number) for number in told} == {float(value)}


@pytest.mark.parametrize("id", ["round", "game-length", "skirmish", "standard-ruleset", "winning"])
def test_the_game_has_as_many_rounds_as_the_ruleset_says(id: str) -> None:
    assert STANDARD.rounds == 5
    assert re.search(r"\b[Ff]ive rounds\b", f"{ENTRIES[id].short} {ENTRIES[id].text}")


def test_the_limits_are_those_of_the_resolver() -> None:
    told = {float(number) for number in numbers_in(ENTRIES["limits"].text)} - {1.0}
    assert told == {MOST_DICE_IN_ALL, MOST_DICE, MOST_MODELS, MOST_WOUNDS, MOST_DAMAGE, LARGEST_STAT}


@pytest.mark.parametrize("id", ["phase-order", "turn"])
def test_the_phases_stand_in_the_order_of_the_ruleset(id: str) -> None:
    listed = ", ".join(phase.id for phase in STANDARD.phases)
    assert listed in f"{ENTRIES[id].short} {ENTRIES[id].text}".lower()


@pytest.mark.parametrize("advancing", ["advance", "falling-back"])
def test_the_price_of_an_advance_and_of_falling_back_is_told(advancing: str) -> None:
    told = prose(ENTRIES[advancing])
    assert "neither shoot nor charge" in told
    barred = [
        permission
        for permission in STANDARD.permissions
        if f"after {advancing.replace('falling-back', 'fall back')}" in permission.conditions
        and permission.allowed == "no"
    ]
    assert {"shoot", "charge"} <= {action for permission in barred for action in permission.actions}


def test_the_first_game_leaves_out_what_its_entry_says() -> None:
    told = ENTRIES["first-game"].text.lower()
    ruleset = load_rulesets()["first-game"]
    assert [feature for feature in ruleset.without if feature.replace(" ", "-") not in told.replace(" ", "-")] == []
    assert "command" not in {phase.id for phase in ruleset.phases}


def test_the_seal_says_what_it_cannot_promise_and_whose_idea_it_was() -> None:
    told = ENTRIES["sealed-dice"].text
    for words_of_truth in ("could look ahead", "neutral host", "on camera", "fresh page", "Blum", "1981"):
        assert words_of_truth in told


def test_every_entry_that_rulesets_phases_and_rulings_point_at_exists() -> None:
    glossary = load_glossary()
    pointed = {item.entry for item in (*glossary.rulings.values(), *glossary.phases.values())}
    pointed |= {permission.entry for ruleset in load_rulesets().values() for permission in ruleset.permissions}
    assert pointed - set(ENTRIES) == set()
