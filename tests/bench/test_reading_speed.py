"""How long reading takes as messages grow: linear, up to the longest message there may be."""

from __future__ import annotations

from statistics import median
from time import perf_counter
from typing import Any

import pytest
from attacks import STANDARD
from saying import Say

from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.reading.message import LONGEST

ROUNDS = 20
CONTEXT = Context(ruleset=STANDARD)
ATTACK = "10 attacks, hit 4+, S5, AP-1, damage 2 into T4, save 3+, W2, 5 models"
LONG = {
    "one attack, 69 characters": ATTACK,
    "the same clause over and over": ATTACK + ", S5" * LONGEST,
    "ten attacks compared": "compare " + " or ".join([ATTACK] * 10),
    "numbers and signs": "4+ -1 d6 10 " * LONGEST,
    "politeness": "please ok so " * LONGEST,
    "brackets": "(" * LONGEST,
    "one word": "x" * LONGEST,
}


def outcome(text: str) -> object:
    try:
        return read(text, CONTEXT)
    except (Misread, Unsure) as complaint:
        return complaint


@pytest.mark.parametrize("name", LONG)
def test_reading_a_message(name: str, benchmark: Any, say: Say) -> None:
    text = LONG[name][: LONGEST - ROUNDS]
    outcome(text)
    times = []
    for blanks in range(1, ROUNDS + 1):  # every message is a new one
        start = perf_counter()
        outcome(text + " " * blanks)
        times.append((perf_counter() - start) * 1000)
    benchmark.pedantic(lambda: outcome(text), rounds=5, iterations=1)
    wanted = "under 1 ms" if len(text) < 200 else "never over 50 ms"
    say(f"read {name}, {len(text):,} characters", f"{median(times):.3g} ms, at most {max(times):.3g} ms", wanted, "")
