"""How long a message takes: to be read, to be answered, and as a whole process from a cold start."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from itertools import cycle
from pathlib import Path
from statistics import quantiles
from typing import Any

import pytest
from attacks import MESSAGES, ROLLS, STANDARD
from saying import Say

from bot.app import App
from bot.asked import Asked
from bot.content import load_rulesets
from bot.desk import Desk
from bot.glossary import Glossary
from bot.house import House
from bot.ledger import Storage
from bot.reading import read
from bot.reading.context import Context

ROUNDS = 1000
STARTS = 9


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    with Storage(str(tmp_path / "ledger.db"), lambda: datetime.now(UTC), os.urandom) as storage:
        yield App(House(load_rulesets(), Glossary(), storage))


def many(benchmark: Any, call: Callable[[str], object], messages: tuple[str, ...]) -> tuple[float, float]:
    """Median and 99th percentile in milliseconds of one call after another, warm."""
    for message in messages:
        call(message)
    following = cycle(messages)
    benchmark.pedantic(lambda: call(next(following)), rounds=ROUNDS, iterations=1)
    times = [seconds * 1000 for seconds in benchmark.stats.stats.data]
    cuts = quantiles(times, n=100)
    return cuts[49], cuts[98]


def tell(say: Say, what: str, found: tuple[float, float], wanted: str = "") -> None:
    median, last = found
    say(what, f"{median:.3g} ms, p99 {last:.3g} ms", wanted, "")


def test_text_to_request(benchmark: Any, say: Say) -> None:
    context = Context(ruleset=STANDARD)
    tell(say, "text to request, warm", many(benchmark, lambda text: read(text, context), MESSAGES + ROLLS))


def test_text_to_reply(app: App, benchmark: Any, say: Say) -> None:
    found = many(benchmark, lambda text: app.answer(Asked(text, "Ada", "low-ferry")), MESSAGES)
    tell(say, "text to reply, asking, warm", found, "p99 under 5 ms")


def test_text_to_recorded_reply(app: App, benchmark: Any, say: Say) -> None:
    found = many(benchmark, lambda text: app.answer(Asked(text, "Ada", "low-ferry")), ROLLS)
    tell(say, "text to reply, rolling and recording, warm", found, "p99 under 5 ms")


def test_text_to_reply_that_may_be_shown(app: App, benchmark: Any, say: Say) -> None:
    with Desk(app.answer, lambda: "reference", app.house.storage.settle) as desk:
        found = many(benchmark, lambda text: desk.ask(Asked(text, "Ada", "low-ferry")), ROLLS)
    tell(say, "  the same until it is on the disk", found)


def test_cold_start_of_the_whole_process(tmp_path: Path, benchmark: Any, say: Say) -> None:
    command = [sys.executable, "-m", "bot", "ask", "--ledger", str(tmp_path / "cold.db"), MESSAGES[0]]

    def start() -> None:
        subprocess.run(command, check=True, capture_output=True)

    benchmark.pedantic(start, rounds=STARTS, iterations=1, warmup_rounds=1)
    stats = benchmark.stats.stats
    say("drumhead ask, cold start", f"{stats.median:.2f} s, worst {stats.max:.2f} s", "under 0.6 s", "")
