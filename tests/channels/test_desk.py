"""The desk: one message after the other, and a bug becomes an apology, never a trace in the channel."""

from __future__ import annotations

import logging
import threading
import time

import pytest

from bot.asked import Asked
from bot.desk import Desk
from bot.ledger import LedgerError
from bot.reply import Reply


def asked(text: str) -> Asked:
    return Asked(text=text, who="Ada", where="low-ferry")


def nothing() -> None:
    """There is no disk to wait for."""


def broken(_: Asked) -> Reply:
    raise ZeroDivisionError("a bug")


def test_a_bug_is_an_apology_with_a_reference_and_a_trace_in_the_log(caplog: pytest.LogCaptureFixture) -> None:
    with Desk(broken, lambda: "ab12", nothing) as desk, caplog.at_level(logging.ERROR):
        reply = desk.ask(asked("roll"))
    assert reply.kind == "trouble"
    assert "ab12" in reply.title
    assert "ZeroDivisionError" in caplog.text
    assert "a bug" not in reply.title


def test_answers_come_one_at_a_time_in_the_order_of_asking() -> None:
    busy = threading.Lock()
    order: list[str] = []

    def answer(asked: Asked) -> Reply:
        assert busy.acquire(blocking=False), "two answers at the same time"
        order.append(asked.text)
        time.sleep(0.001)
        busy.release()
        return Reply("echo", asked.text)

    names = [str(number) for number in range(20)]
    with Desk(answer, lambda: "x", nothing) as desk:
        replies = desk.ask_together([asked(name) for name in names])
    assert order == names
    assert [reply.title for reply in replies] == names


def test_a_reply_leaves_once_it_is_on_the_disk() -> None:
    done: list[str] = []

    def answer(asked: Asked) -> Reply:
        done.append(asked.text)
        return Reply("echo", asked.text)

    with Desk(answer, lambda: "x", lambda: done.append("settled")) as desk:
        desk.ask(asked("roll"))
        assert done == ["roll", "settled"]


def test_what_cannot_be_settled_is_not_shown() -> None:
    def settle() -> None:
        raise LedgerError("no room to write")

    with Desk(lambda asked: Reply("echo", asked.text), lambda: "x", settle) as desk:
        reply = desk.ask(asked("roll"))
    assert reply.kind == "trouble"
    assert "roll" not in reply.title


def test_closing_finishes_what_is_being_answered() -> None:
    done: list[str] = []

    def answer(asked: Asked) -> Reply:
        time.sleep(0.01)
        done.append(asked.text)
        return Reply("echo", "")

    desk = Desk(answer, lambda: "x", nothing)
    thread = threading.Thread(target=lambda: desk.ask(asked("roll")))
    thread.start()
    time.sleep(0.005)
    desk.close()
    thread.join()
    assert done == ["roll"]


def test_a_record_that_cannot_be_used_is_no_bug() -> None:
    def away(_: Asked) -> Reply:
        raise LedgerError("the database server cannot be reached")

    with Desk(away, lambda: "ab12", nothing) as desk:
        reply = desk.ask(asked("roll"))
    assert (reply.kind, reply.title) == ("trouble", "The record could not be used")
