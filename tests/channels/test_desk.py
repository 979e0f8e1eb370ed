"""The desk: one message after the other, and a bug becomes an apology, never a trace in the channel."""

from __future__ import annotations

import asyncio
import logging
import threading
import time

import pytest

from bot.asked import Asked
from bot.desk import Desk
from bot.reply import Reply


def asked(text: str) -> Asked:
    return Asked(text=text, who="Ada", where="low-ferry")


def broken(_: Asked) -> Reply:
    raise ZeroDivisionError("a bug")


def test_a_bug_is_an_apology_with_a_reference_and_a_trace_in_the_log(caplog: pytest.LogCaptureFixture) -> None:
    with Desk(broken, lambda: "ab12") as desk, caplog.at_level(logging.ERROR):
        reply = desk.ask(asked("roll"))
    assert reply.kind == "trouble"
    assert "ab12" in reply.title
    assert "ZeroDivisionError" in caplog.text
    assert "a bug" not in reply.title


async def test_answers_come_one_at_a_time_in_the_order_of_asking() -> None:
    busy = threading.Lock()
    order: list[str] = []

    def answer(asked: Asked) -> Reply:
        assert busy.acquire(blocking=False), "two answers at the same time"
        order.append(asked.text)
        time.sleep(0.001)
        busy.release()
        return Reply("echo", asked.text)

    names = [str(number) for number in range(20)]
    with Desk(answer, lambda: "x") as desk:
        replies = await asyncio.gather(*(desk.ask_soon(asked(name)) for name in names))
    assert order == names
    assert [reply.title for reply in replies] == names


async def test_an_apology_reaches_asynchronous_channels_too() -> None:
    with Desk(broken, lambda: "ref") as desk:
        assert (await desk.ask_soon(asked("roll"))).kind == "trouble"


def test_closing_finishes_what_is_being_answered() -> None:
    done: list[str] = []

    def answer(asked: Asked) -> Reply:
        time.sleep(0.01)
        done.append(asked.text)
        return Reply("echo", "")

    desk = Desk(answer, lambda: "x")
    thread = threading.Thread(target=lambda: desk.ask(asked("roll")))
    thread.start()
    time.sleep(0.005)
    desk.close()
    thread.join()
    assert done == ["roll"]
