"""Pace and memory: budgets that refill with time, and events that are new only once."""

from __future__ import annotations

from bot.channels.discord_pace import MOST_REMEMBERED, Paces, Seen, Turn
from bot.settings import Pace


def turns(paces: Paces, who: str, count: int, now: float = 0.0) -> list[Turn]:
    return [paces.turn(who, now) for _ in range(count)]


def test_a_budget_is_spent_told_of_once_and_refilled_by_time() -> None:
    paces = Paces(Pace(2, 0.5))
    assert turns(paces, "Ada", 4) == [Turn.GO, Turn.GO, Turn.SLOW_DOWN, Turn.PASS_OVER]
    assert turns(paces, "Ada", 2, now=2.0) == [Turn.GO, Turn.SLOW_DOWN]


def test_a_budget_never_grows_beyond_what_is_allowed_at_once() -> None:
    paces = Paces(Pace(2, 0.5))
    paces.turn("Ada", 0.0)
    assert turns(paces, "Ada", 3, now=1000.0) == [Turn.GO, Turn.GO, Turn.SLOW_DOWN]


def test_what_arrived_earlier_and_is_heard_later_costs_no_time_twice() -> None:
    paces = Paces(Pace(1, 1.0))
    assert [paces.turn("Ada", 5.0), paces.turn("Ada", 4.0), paces.turn("Ada", 5.5)] == [
        Turn.GO, Turn.SLOW_DOWN, Turn.PASS_OVER,
    ]  # fmt: skip
    assert paces.turn("Ada", 6.0) is Turn.GO


def test_one_person_cannot_spend_for_another() -> None:
    paces = Paces(Pace(1, 0.5))
    assert [paces.turn(who, 0.0) for who in ("Ada", "Bea", "Ada")] == [Turn.GO, Turn.GO, Turn.SLOW_DOWN]


def test_strangers_without_end_take_no_memory_without_end() -> None:
    paces = Paces(Pace(1, 0.5))
    for number in range(MOST_REMEMBERED + 100):
        paces.turn(number, 0.0)
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
