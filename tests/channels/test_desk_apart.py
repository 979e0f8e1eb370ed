"""The desk in a process of its own: the same order, the same apologies, and no message lost with the process."""

from __future__ import annotations

import asyncio
import os
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import pytest

from bot.asked import Asked
from bot.desk import Desk
from bot.desk_apart import AHEAD, DeskApart
from bot.ledger import LedgerError
from bot.reply import Reply

LOST = Reply("trouble", "lost")


def asked(text: str) -> Asked:
    return Asked(text=text, who="Ada", where="low-ferry")


def echo(asked: Asked) -> Reply:
    """Says who answers; dies, fails or waits where that is what it is told."""
    if asked.text == "die":
        os.kill(os.getpid(), signal.SIGKILL)
    if asked.text == "fail":
        raise ZeroDivisionError("a bug")
    if asked.text == "unsendable":
        return Reply("bug", "unsendable", data={"no JSON": lambda: None})
    if asked.text == "wait":
        time.sleep(0.3)
    return Reply(str(os.getpid()), asked.text)


def steps(folder: Path, count: int) -> Iterator[None]:
    """Getting ready takes so many steps; each leaves a mark."""
    for number in range(count):
        time.sleep(0.05)
        (folder / f"step {number}").touch()
        yield


@contextmanager
def opened(folder: Path, count: int = 0) -> Iterator[tuple[Desk, Iterator[None]]]:
    with Desk(echo, lambda: "ab12", lambda: None) as desk:
        yield desk, steps(folder, count)
    (folder / "closed").touch()


@contextmanager
def noting(folder: Path) -> Iterator[tuple[Desk, Iterator[None]]]:
    """A desk that notes every answer and every wait for the disk; the disk is full once something is `too much`."""
    notes = folder / "notes"

    def note(words: str) -> None:
        with notes.open("a") as file:
            file.write(f"{words}\n")

    def answer(asked: Asked) -> Reply:
        note(asked.text)
        return echo(asked)

    def settle() -> None:
        note("disk")
        if "too much" in notes.read_text():
            raise LedgerError("the disk is full")

    with Desk(answer, lambda: "ab12", settle) as desk:
        yield desk, iter(())


@pytest.fixture
def apart(tmp_path: Path) -> Iterator[DeskApart]:
    with DeskApart(partial(opened, tmp_path), lambda: LOST) as desk:
        yield desk


async def asked_together(desk: DeskApart, *texts: str) -> list[Reply]:
    return await asyncio.gather(*(desk.ask_soon(asked(text)) for text in texts))


async def test_answers_come_from_another_process_in_the_order_of_asking(apart: DeskApart) -> None:
    names = [str(number) for number in range(50)]
    order: list[str] = []
    tasks = [asyncio.create_task(apart.ask_soon(asked(name))) for name in names]
    for task in tasks:
        task.add_done_callback(lambda done: order.append(done.result().title))
    replies = await asyncio.gather(*tasks)
    assert [reply.title for reply in replies] == names
    assert order == names
    assert {int(reply.kind) for reply in replies} != {os.getpid()}


async def test_a_bug_is_an_apology_and_the_next_message_is_answered(apart: DeskApart) -> None:
    bug, fine = await asked_together(apart, "fail", "roll")
    assert "ab12" in bug.title
    assert fine.title == "roll"


async def test_only_the_message_at_which_the_process_died_is_lost(apart: DeskApart) -> None:
    before, lost, *after = await asked_together(apart, "before", "die", "a", "b", "c")
    assert lost == LOST
    assert [reply.title for reply in after] == ["a", "b", "c"]
    assert {reply.kind for reply in after} != {before.kind}


async def test_a_message_whose_process_was_killed_is_answered_by_the_next(apart: DeskApart) -> None:
    (before,) = await asked_together(apart, "before")
    waiting = asyncio.create_task(asked_together(apart, "wait", "a"))
    await asyncio.sleep(0.1)
    os.kill(int(before.kind), signal.SIGKILL)
    replies = await waiting
    assert [reply.title for reply in replies] == ["wait", "a"]
    assert before.kind not in {reply.kind for reply in replies}


async def test_nothing_is_shown_before_it_is_on_the_disk_where_many_share_one_wait(tmp_path: Path) -> None:
    with DeskApart(partial(noting, tmp_path), lambda: LOST) as desk:
        await asked_together(desk, "first")
        assert (tmp_path / "notes").read_text() == "first\ndisk\n"
        names = [str(number) for number in range(AHEAD - 8)]
        replies = await asked_together(desk, "wait", *names)
    assert [reply.title for reply in replies] == ["wait", *names]
    notes = (tmp_path / "notes").read_text().splitlines()[2:]
    assert [note for note in notes if note != "disk"] == ["wait", *names]
    assert notes[-1] == "disk"
    assert notes.count("disk") < len(names) / 2


async def test_what_could_not_be_brought_to_the_disk_is_not_shown(tmp_path: Path) -> None:
    with DeskApart(partial(noting, tmp_path), lambda: LOST) as desk:
        (fine,) = await asked_together(desk, "fine")
        (kept_back,) = await asked_together(desk, "too much")
    assert fine.title == "fine"
    assert (kept_back.kind, kept_back.title) == ("trouble", "The record could not be used")


async def test_a_process_that_dies_again_and_again_is_begun_again(apart: DeskApart) -> None:
    replies = await asked_together(apart, "die", "die", "roll")
    assert [reply.title for reply in replies] == ["lost", "lost", "roll"]


async def test_a_reply_that_cannot_be_sent_is_lost_alone(apart: DeskApart) -> None:
    replies = await asyncio.wait_for(asked_together(apart, "before", "unsendable", "after"), 60)
    assert [reply.title for reply in replies] == ["before", "lost", "after"]


async def test_a_message_does_not_wait_until_everything_is_ready(tmp_path: Path) -> None:
    with DeskApart(partial(opened, tmp_path, 100), lambda: LOST) as desk:
        assert (await desk.ask_soon(asked("roll"))).title == "roll"
        assert not (tmp_path / "step 99").exists()


async def test_nobody_who_stopped_waiting_keeps_others_from_their_answers(apart: DeskApart) -> None:
    with pytest.raises(TimeoutError):
        await asyncio.wait_for(apart.ask_soon(asked("wait")), 0.01)
    assert [reply.title for reply in await asked_together(apart, "a", "b")] == ["a", "b"]


@pytest.mark.parametrize("name", [signal.SIGTERM, signal.SIGINT])
async def test_a_signal_to_the_whole_group_leaves_the_end_to_the_channel(
    apart: DeskApart, tmp_path: Path, name: signal.Signals
) -> None:
    (first,) = await asked_together(apart, "a")
    os.kill(int(first.kind), name)
    (second,) = await asked_together(apart, "b")
    assert second.kind == first.kind
    apart.close()
    assert (tmp_path / "closed").exists()


async def test_closing_finishes_what_is_being_answered(apart: DeskApart, tmp_path: Path) -> None:
    (first,) = await asked_together(apart, "a")
    waiting = asyncio.create_task(apart.ask_soon(asked("wait")))
    await asyncio.sleep(0.05)
    apart.close()
    assert (tmp_path / "closed").exists()
    assert not Path(f"/proc/{first.kind}").exists()
    waiting.cancel()


async def test_it_can_be_waited_for_until_it_is_ready(tmp_path: Path) -> None:
    with DeskApart(partial(opened, tmp_path, 3), lambda: LOST) as desk:
        await desk.ready()
        assert (tmp_path / "step 2").exists()
        assert [reply.title for reply in await asked_together(desk, "first", "second")] == ["first", "second"]
