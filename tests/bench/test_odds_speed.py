"""How long exact odds take, beside a million dice-by-dice samples of the same attack in the same run.

The samples are counted in processor time, so that a busy machine does not flatter the ratio.
"""

from __future__ import annotations

from time import process_time
from typing import Any

import numpy as np
import pytest
from attacks import FIVE_HUNDRED, HEAVY, LARGEST, SIX_ON_THREE, STANDARD, TWENTY_ON_TEN, heavy
from saying import Say
from simulated import simulate

from resolver.attack import Attack
from resolver.exact import odds
from resolver.plan import plan

SAMPLES = 1_000_000
CHUNK = 50_000  # samples at once, so that the dice stay in the processor's reach

NAMED = {
    "20 attacks on 10 models of 2 wounds": (TWENTY_ON_TEN, "0.2 ms"),
    "120 attacks, d6 damage, piercing, extra hits, on 20 of 6": (HEAVY, "3 ms"),
    "6 weapon groups on 3 target groups": (SIX_ON_THREE, "100 ms"),
    "500 attacks in one pool on 200 models": (FIVE_HUNDRED, "100 ms"),
}
GROWTH = (10, 32, 100, 316, 1000)


def reckon(attack: Attack) -> object:
    return odds(plan(attack, STANDARD))


def milliseconds(seconds: float) -> str:
    return f"{seconds * 1000:.3g} ms"


def simulated_seconds(attack: Attack) -> float:
    random = np.random.default_rng(1)
    start = process_time()
    for _ in range(SAMPLES // CHUNK):
        simulate(attack, CHUNK, random)
    return process_time() - start


def beside(attack: Attack, seconds: float) -> str:
    simulation = simulated_seconds(attack)
    return f"a million samples {simulation:.2f} s: {simulation / seconds:,.0f} times slower"


@pytest.mark.parametrize("name", NAMED)
def test_odds_of_a_named_attack(name: str, benchmark: Any, say: Say) -> None:
    attack, wanted = NAMED[name]
    benchmark(reckon, attack)
    median = benchmark.stats.stats.median
    say(name, milliseconds(median), f"under {wanted}", beside(attack, median))


@pytest.mark.parametrize("name", list(NAMED)[:2])
def test_the_walk_alone_of_an_attack_already_planned(name: str, benchmark: Any, say: Say) -> None:
    attack, _ = NAMED[name]
    benchmark(odds, plan(attack, STANDARD))
    say(f"  of which the odds, plan at hand ({name[:11].strip()})", milliseconds(benchmark.stats.stats.median))


@pytest.mark.parametrize("name", LARGEST)
def test_odds_at_the_limits(name: str, benchmark: Any, say: Say) -> None:
    benchmark(reckon, LARGEST[name])
    say(name, milliseconds(benchmark.stats.stats.median), "under 100 ms", "")


@pytest.mark.parametrize("attacks", GROWTH)
def test_odds_of_a_growing_pool(attacks: int, benchmark: Any, say: Say, medians: dict[str, float]) -> None:
    attack = heavy(attacks)
    benchmark(reckon, attack)
    median = medians[f"growth {attacks}"] = benchmark.stats.stats.median
    say(f"the second attack with {attacks} attacks", milliseconds(median), "", beside(attack, median))


def test_the_slope_of_that_growth(say: Say, medians: dict[str, float]) -> None:
    seconds = [medians[f"growth {attacks}"] for attacks in GROWTH]
    slope, _ = np.polyfit(np.log(GROWTH), np.log(seconds), 1)
    last = np.log(seconds[-1] / seconds[-2]) / np.log(GROWTH[-1] / GROWTH[-2])
    say("log-log slope of that growth, 10 to 1,000", f"{slope:.2f}", "", f"{last:.2f} from 316 to 1,000")
