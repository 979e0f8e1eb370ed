"""The odds of random small attacks equal those of the reference, which shares no code with them."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from reference import reference
from small_attacks import RULESETS, STANDARD, attacks

from resolver.attack import Attack
from resolver.exact import Odds, odds
from resolver.plan import plan
from resolver.refused import Refused
from resolver.ruleset import DifferenceChart, Ruleset, Step

COUNTS = ("attacks", "hits", "wounds", "unsaved", "damage", "slain")
SLOW = settings(max_examples=50, suppress_health_check=list(HealthCheck))


def furthest_apart(found: Odds, expected: dict) -> float:
    """The largest difference of any entry of any distribution, and of the chance to wipe the unit out."""
    gaps = [abs((found.wipe or 0.0) - float(expected["wipe"].get(1, 0)))]
    for name in COUNTS:
        entries = dict(enumerate(getattr(found, name).tolist()))
        gaps += [abs(entries.get(k, 0.0) - float(p)) for k, p in expected[name].items()]
        gaps += [p for k, p in entries.items() if k not in expected[name]]
        mean = float(sum(k * p for k, p in expected[name].items()))
        gaps.append(abs(found.mean[name] - mean) / max(1.0, mean))
    return max(gaps)


def small_enough(attack: Attack, rules: Ruleset) -> Odds | None:
    try:
        made = plan(attack, rules)
    except Refused:
        return None
    most = 16 if len(attack.target.groups) == 1 else 9
    return odds(made) if sum(group.most for group in made.weapons) <= most else None


@SLOW
@given(attack=attacks(most_weapons=1, most_groups=1))
def test_one_weapon_group_on_one_target_group(attack):
    found = small_enough(attack, STANDARD)
    if found is not None:
        assert furthest_apart(found, reference(attack, STANDARD)) < 1e-12


@SLOW
@given(attack=attacks(most_weapons=3, most_groups=1))
def test_weapon_groups_one_after_the_other_on_one_target_group(attack):
    found = small_enough(attack, STANDARD)
    if found is not None:
        assert furthest_apart(found, reference(attack, STANDARD)) < 1e-12


@SLOW
@given(attack=attacks(most_weapons=2, most_groups=3))
def test_several_target_groups(attack):
    found = small_enough(attack, STANDARD)
    if found is not None:
        assert furthest_apart(found, reference(attack, STANDARD)) < 1e-12


CHART = DifferenceChart(equal=4, best=2, worst=6)
OTHER_RULES = [rules for name, rules in sorted(RULESETS.items()) if name != "standard"] + [
    replace(STANDARD, id="save-first", steps=(Step.HIT, Step.SAVE, Step.WOUND)),
    replace(STANDARD, id="no-save", steps=(Step.HIT, Step.WOUND)),
    replace(STANDARD, id="four-faces", die=4, wound_chart=replace(CHART, equal=3, worst=4), best_save=3),
    replace(STANDARD, id="twelve-faces", die=12, wound_chart=CHART, modifier_cap=3),
    replace(STANDARD, id="no-mercy", natural_pass=(), natural_fail=2, best_save=3, wound_chart=replace(CHART, best=3)),
]


@pytest.mark.parametrize("rules", OTHER_RULES, ids=lambda rules: rules.id)
def test_every_other_ruleset(rules):

    @settings(SLOW, max_examples=15)
    @given(attack=attacks(most_weapons=2, most_groups=2))
    def compare(attack):
        found = small_enough(attack, rules)
        if found is not None:
            assert furthest_apart(found, reference(attack, rules)) < 1e-12

    compare()
