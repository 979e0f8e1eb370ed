"""Not too much at once, and nothing twice: the pace of people and channels, and the events already answered."""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import Awaitable, Callable, Hashable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import Enum
from typing import Generic, TypeVar

from bot.settings import Pace

MOST_REMEMBERED = 10_000
MOST_KEPT = 500  # answers
Event = TypeVar("Event", bound=Hashable)
Answer = TypeVar("Answer")


class Turn(Enum):
    """What to do with a message: answer it, say once that it is too much, or pass over it."""

    GO = "go"
    SLOW_DOWN = "slow down"
    PASS_OVER = "pass over"


@dataclass
class _Budget:
    left: float
    at: float
    told: bool = False


class Paces:
    """A budget for each person or channel, refilled by time."""

    def __init__(self, pace: Pace) -> None:
        self._pace = pace
        self._budgets: OrderedDict[Hashable, _Budget] = OrderedDict()

    def turn(self, who: Hashable, now: float) -> Turn:
        """Spend one message of the budget, at the second at which it arrived."""
        budget = self._refilled(who, now)
        if budget.left >= 1:
            budget.left -= 1
            budget.told = False
            return Turn.GO
        told, budget.told = budget.told, True
        return Turn.PASS_OVER if told else Turn.SLOW_DOWN

    def _refilled(self, who: Hashable, now: float) -> _Budget:
        budget = self._budgets.pop(who, None) or _Budget(self._pace.at_once, now)
        passed = max(0.0, now - budget.at)
        budget.left = min(self._pace.at_once, budget.left + passed * self._pace.a_second)
        budget.at += passed
        self._budgets[who] = budget
        if len(self._budgets) > MOST_REMEMBERED:
            self._budgets.popitem(last=False)
        return budget


class Seen(Generic[Event, Answer]):
    """The last events that are being answered or have been: the service may deliver one again after a resume.

    The last answers are kept, to be given again.
    """

    def __init__(self) -> None:
        self._events: OrderedDict[Event, None] = OrderedDict()
        self._answers: OrderedDict[Event, Answer] = OrderedDict()

    def first(self, event: Event) -> bool:
        """Whether the event is new; from now on it is not."""
        if event in self._events:
            return False
        self._events[event] = None
        if len(self._events) > MOST_REMEMBERED:
            self._events.popitem(last=False)
        return True

    def answered(self, event: Event, answer: Answer) -> None:
        """The event got this answer."""
        self._answers[event] = answer
        if len(self._answers) > MOST_KEPT:
            self._answers.popitem(last=False)

    def answer(self, event: Event) -> Answer | None:
        """The answer that the event got; None while it gets one, or long after."""
        return self._answers.get(event)

    def unanswered(self, event: Event) -> None:
        """The event got no answer after all: delivered again, it is to be answered."""
        self._events.pop(event, None)


class Turns:
    """Presses of what is done once take turns: the next is looked at when the one before has been answered."""

    def __init__(self) -> None:
        self._last: dict[str, asyncio.Event] = {}

    @contextmanager
    def turn(self, event: str) -> Iterator[Callable[[], Awaitable[object]] | None]:
        """Take a turn; inside stands what waits for the one before, if there is one."""
        before, mine = self._last.get(event), asyncio.Event()
        self._last[event] = mine
        try:
            yield None if before is None else before.wait
        finally:
            mine.set()
            if self._last[event] is mine:
                del self._last[event]
