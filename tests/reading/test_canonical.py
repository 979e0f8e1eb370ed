"""Every request prints one line that reads back as the same request."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.content import load_rulesets
from bot.reading import read
from bot.reading.context import Context
from bot.requests.words import CallWord, Help, Words
from tests.reading import drawn

CONTEXT = Context(ruleset=load_rulesets()["standard"])
SLOW = settings(suppress_health_check=[HealthCheck.too_slow], max_examples=50)


def reads_back(request: object) -> None:
    assert read(str(request), CONTEXT) == request


@SLOW
@given(drawn.ODDS)
def test_odds_read_back(request: object) -> None:
    reads_back(request)


@SLOW
@given(drawn.ROLLS)
def test_a_roll_reads_back_with_its_own_dice(request: object) -> None:
    reads_back(request)


@settings(SLOW, max_examples=25)
@given(drawn.COMPARES)
def test_a_comparison_reads_back(request: object) -> None:
    reads_back(request)


@SLOW
@given(st.one_of(drawn.NEEDS, drawn.SEVERAL_NEEDS))
def test_needs_read_back(request: object) -> None:
    reads_back(request)


@SLOW
@given(st.one_of(drawn.ONE_CHARGE, drawn.ROLLED_CHARGE, drawn.SEVERAL, drawn.REACHES, drawn.ADVANCES))
def test_charges_reach_and_advances_read_back(request: object) -> None:
    reads_back(request)


@SLOW
@given(st.one_of(drawn.DICE, drawn.ROLL_OFF))
def test_loose_dice_and_roll_offs_read_back(request: object) -> None:
    reads_back(request)


@pytest.mark.parametrize(
    "request_",
    [
        Help(),
        Help("charge"),
        Words(),
        CallWord("sweep", "half range double attacks"),
        CallWord("tough hide", "ignore"),
        CallWord("hot shot", "critical hits score 1 extra hit"),
        CallWord("sweep", None),
    ],
    ids=str,
)
def test_talk_about_words_reads_back(request_: object) -> None:
    reads_back(request_)
