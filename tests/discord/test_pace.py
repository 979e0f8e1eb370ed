"""Pace and memory: budgets that refill with time, and events that are new only once."""

from __future__ import annotations

from bot.channels.discord_pace import MOST_REMEMBERED, Paces, Seen, Turn
from bot.settings import Pace


class Clock:
    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


def test_a_budget_is_spent_told_of_once_and_refilled_by_time() -> None:
    clock = Clock()
    paces = Paces(Pace(2, 0.5), clock)
    assert [paces.turn("Ada") for _ in range(4)] == [Turn.GO, Turn.GO, Turn.SLOW_DOWN, Turn.PASS_OVER]
    clock.now = 2.0
    assert [paces.turn("Ada") for _ in range(2)] == [Turn.GO, Turn.SLOW_DOWN]


def test_a_budget_never_grows_beyond_what_is_allowed_at_once() -> None:
    clock = Clock()
    paces = Paces(Pace(2, 0.5), clock)
    clock.now = 1000.0
    assert [paces.turn("Ada") for _ in range(3)] == [Turn.GO, Turn.GO, Turn.SLOW_DOWN]


def test_one_person_cannot_spend_for_another() -> None:
    paces = Paces(Pace(1, 0.5), Clock())
    assert [paces.turn("Ada"), paces.turn("Bea"), paces.turn("Ada")] == [Turn.GO, Turn.GO, Turn.SLOW_DOWN]


def test_strangers_without_end_take_no_memory_without_end() -> None:
    paces = Paces(Pace(1, 0.5), Clock())
    for number in range(MOST_REMEMBERED + 100):
        paces.turn(number)
    assert len(paces._budgets) == MOST_REMEMBERED


def test_an_event_is_new_once_unless_it_got_no_answer() -> None:
    seen = Seen()
    assert [seen.first(1), seen.first(2), seen.first(1)] == [True, True, False]
    seen.unanswered(1)
    assert seen.first(1)


def test_old_events_are_let_go() -> None:
    seen = Seen()
    for event in range(MOST_REMEMBERED + 1):
        seen.first(event)
    assert seen.first(0)
    assert not seen.first(MOST_REMEMBERED)
