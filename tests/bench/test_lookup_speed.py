"""How long a look-up and a ruling take, warm: the number to reach is 5 ms at the 99th percentile."""

from __future__ import annotations

from itertools import cycle
from pathlib import Path
from statistics import quantiles
from typing import Any

from saying import Say

from bot.content import load_rulesets
from bot.glossary import Glossary
from bot.questions.asked import question_of

ROUNDS = 1000
NAMES = (
    "AP",
    "coherency",
    "half range",
    "armour penetration",
    "phases order",
    "coherancy",
    "armor penatration",
    "half rnage",
)
CASES = Path(__file__).parent.parent / "cases" / "questions" / "table.txt"


def last(benchmark: Any) -> float:
    """The 99th percentile in milliseconds."""
    return quantiles([seconds * 1000 for seconds in benchmark.stats.stats.data], n=100)[98]


def test_looking_a_word_up(benchmark: Any, say: Say) -> None:
    lookup = Glossary().lookup
    names = cycle(NAMES)
    benchmark.pedantic(lambda: lookup.find(next(names)), rounds=ROUNDS, iterations=1, warmup_rounds=len(NAMES))
    say("look-up of a name, p99", f"{last(benchmark):.2f} ms", "under 5 ms", "half of the names misspelt")


def test_ruling_on_a_question(benchmark: Any, say: Say) -> None:
    glossary, ruleset = Glossary(), load_rulesets()["standard"]
    lines = [
        line.split("->")[0].strip().lower() for line in CASES.read_text(encoding="utf-8").splitlines() if "->" in line
    ]
    asked = cycle(lines)

    def rule() -> None:
        glossary.judge.verdict(question_of(next(asked), glossary.lexicon, ruleset), ruleset)

    benchmark.pedantic(rule, rounds=ROUNDS, iterations=1, warmup_rounds=len(lines))
    say("ruling on a question, p99", f"{last(benchmark):.2f} ms", "under 5 ms", f"{len(lines)} questions")
