"""Shortcuts on the way to several target groups change no chance."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from small_attacks import STANDARD, attacks

from resolver import exact
from resolver.amount import fixed
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.exact import dealt
from resolver.onto_several import reckoned
from resolver.plan import plan
from resolver.refused import Refused
from resolver.several.line import Line
from resolver.several.pairs import crossed

SOME = settings(max_examples=25, suppress_health_check=list(HealthCheck))
WALKED = 10**9
ROOT = Path(__file__).parent.parent.parent


def both(attack: Attack, few: int) -> tuple[np.ndarray, ...]:
    try:
        made = plan(attack, STANDARD)
        return reckoned(Line(made.target.groups), dealt(made), few)
    except Refused:
        assume(False)


def same(ones, others) -> None:
    for one, other in zip(ones, others, strict=True):
        size = max(len(one), len(other))
        assert np.pad(one, (0, size - len(one))) == pytest.approx(np.pad(other, (0, size - len(other))), abs=1e-13)


@SOME
@given(attack=attacks(), times=st.sampled_from([1, 5, 20]))
def test_looking_only_where_somebody_stands_leaves_nobody_out(attack, times):
    """What spills and what is re-rolled once among several groups included."""
    assume(len(attack.target.groups) > 1)
    larger = [replace(weapon, models=weapon.models * times) for weapon in attack.weapons]
    attack = replace(attack, weapons=tuple(larger))
    with patch("resolver.several.walking.FEW_CELLS", 0):
        found = both(attack, WALKED)
    same(found, both(attack, WALKED))


@SOME
@given(attack=attacks(), few=st.sampled_from([0, WALKED]), times=st.sampled_from([1, 30]))
def test_more_wounds_than_slay_everyone_are_as_good_as_enough(attack, few, times):
    assume(len(attack.target.groups) > 1)
    larger = [replace(weapon, models=weapon.models * times) for weapon in attack.weapons]
    attack = replace(attack, weapons=tuple(larger))
    with patch.object(exact, "overkill_left_out", lambda joint, line, blows: joint):
        whole = both(attack, few)
    same(whole, both(attack, few))


def test_overkill_is_left_out():
    """Six saves of 3+, and a thousand attacks: far fewer wounds than a thousand are thrown."""
    groups = (TargetGroup(models=3, save=3), TargetGroup(models=3, save=3))
    weapon = WeaponGroup(attacks=fixed(1000), hit=3, strength=4)
    made = plan(Attack(weapons=(weapon,), target=Target(toughness=4, groups=groups)), STANDARD)
    ((hand, _),) = dealt(made)
    assert hand.ordinary < 200
    assert hand.joint.sum() == pytest.approx(1, abs=1e-12)


@given(st.integers(1, 60), st.integers(1, 40), st.floats(0.01, 0.9), st.floats(0.01, 0.9))
def test_a_table_of_pairs_is_the_sum_of_few_products(rows, columns, first, second):
    """Binomial numbers of one kind, and of another among the rest: as the wounds of an attack are."""
    from scipy.stats import binom

    table = binom.pmf(np.arange(columns)[None, :], np.arange(rows, 0, -1)[:, None], second)
    table *= binom.pmf(np.arange(rows), rows, first)[:, None]
    left, right = crossed(table)
    assert np.abs(left @ right - table).max() <= 1e-16
    assert left.shape[1] == len(right) <= min(*table.shape, 40)


def test_tables_so_small_are_multiplied_by_one_thread():
    """Several threads of a linear algebra library spin where the machine is busy: it is told so before it is loaded."""
    kept = {name: value for name, value in os.environ.items() if not name.endswith("_NUM_THREADS")}
    told = "import resolver.exact, os; print(os.environ['OPENBLAS_NUM_THREADS'])"
    said = subprocess.run([sys.executable, "-c", told], env=kept, cwd=ROOT, capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "1"
