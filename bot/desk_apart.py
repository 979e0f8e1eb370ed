"""The desk in a process of its own: a busy chat and a busy umpire do not take turns at one processor then.

The process ends with its channel. Should it end before, its messages are put to a new one, which shows a roll that was
committed instead of rolling again; a message at which that one ends as well gets an apology.
"""

from __future__ import annotations

import asyncio
import logging
import multiprocessing
import os
import signal
from collections import deque
from collections.abc import Callable, Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import AbstractContextManager
from dataclasses import dataclass
from multiprocessing.connection import Connection

from bot.asked import Asked
from bot.closing import Closing
from bot.desk import Desk
from bot.reply import Reply

log = logging.getLogger(__name__)

# A desk, and the steps of getting ready for it, between which it answers already.
Opened = Callable[[], AbstractContextManager[tuple[Desk, Iterable[object]]]]
TOGETHER = 12  # messages that share one wait for the disk and one sending of their replies
AHEAD = 4 * TOGETHER  # messages that lie with the process: those it answers, and the next
TRIES = 2  # processes that may end at one message


@dataclass
class _Waiting:
    """A message that lies with the process, and how many processes have ended at it."""

    asked: Asked
    coming: asyncio.Future[Reply]
    ended: int = 0

    def answer(self, reply: Reply) -> None:
        if not self.coming.done():
            self.coming.set_result(reply)


class DeskApart(Closing):
    """Answers in the order of asking. `opened` travels to the process, which opens its own desk by it.

    `lost` answers a message at which the process ended.
    """

    def __init__(self, opened: Opened, lost: Callable[[], Reply]) -> None:
        self._opened, self._lost = opened, lost
        self._room = asyncio.Semaphore(AHEAD)
        self._waiting: deque[_Waiting] = deque()
        self._leaving: list[Asked] = []  # what the loop's next turn sends off together
        self._loop: asyncio.AbstractEventLoop | None = None
        self._ready = asyncio.Event()
        self._one_by_one = 0  # messages that saw a process end, and are put to the next singly
        self._start()

    def _start(self) -> None:
        context = multiprocessing.get_context("spawn")
        self._link, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs, self._opened), name="desk")
        self._process.start()
        theirs.close()

    def close(self) -> None:
        """Finish what is being answered and take no more."""
        if self._loop is not None and not self._loop.is_closed():
            self._loop.remove_reader(self._link)
        self._loop = None
        self._link.close()
        self._process.join()

    async def ready(self) -> None:
        """Wait until the process answers at once; whoever asks before is kept waiting."""
        if self._loop is None:
            self._listen()
        await self._ready.wait()

    async def ask_soon(self, asked: Asked) -> Reply:
        """The reply, awaited without holding up the event loop."""
        async with self._room:
            loop = self._loop or self._listen()
            coming: asyncio.Future[Reply] = loop.create_future()
            self._waiting.append(_Waiting(asked, coming))
            if not self._one_by_one:
                self._put(asked)
            return await coming

    def _listen(self) -> asyncio.AbstractEventLoop:
        self._loop = asyncio.get_running_loop()
        self._loop.add_reader(self._link, self._came)
        return self._loop

    def _put(self, asked: Asked) -> None:
        """Send it off with whatever else is asked in this turn of the loop: each sending wakes the process."""
        if not self._leaving and self._loop is not None:
            self._loop.call_soon(self._send_off)
        self._leaving.append(asked)

    def _send_off(self) -> None:
        together, self._leaving = self._leaving, []
        try:
            self._link.send(together)
        except OSError:
            return  # it has ended, and will be heard to have

    def _came(self) -> None:
        """Replies are there, or the end of the process."""
        try:
            replies: list[Reply] = self._link.recv()
        except (EOFError, OSError):
            self._begin_anew()
            return
        if not replies:
            self._ready.set()
        for reply in replies:
            self._waiting.popleft().answer(reply)
        if self._one_by_one and replies:
            self._one_by_one -= 1
            self._go_on()

    def _go_on(self) -> None:
        """Put the next message, or all of them once every one is answered that saw a process end."""
        for waiting in [*self._waiting][: 1 if self._one_by_one else None]:
            self._put(waiting.asked)

    def _begin_anew(self) -> None:
        self.close()
        log.error("the desk's process ended with status %s; another one is started", self._process.exitcode)
        self._start()
        self._listen()
        self._leaving.clear()  # all of it waits still, and is put again
        if self._waiting and (self._one_by_one or len(self._waiting) == 1):
            self._waiting[0].ended += 1
            if self._waiting[0].ended == TRIES:
                self._waiting.popleft().answer(self._lost())
        self._one_by_one = len(self._waiting)
        self._go_on()


def _serve(link: Connection, opened: Opened) -> None:
    """Answer until the channel has ended, whatever signal the whole group of processes is sent."""
    for name in (signal.SIGINT, signal.SIGTERM):
        signal.signal(name, signal.SIG_IGN)
    with opened() as (desk, getting_ready), _Settling(link, desk) as settling:
        try:
            for _ in getting_ready:
                while link.poll():
                    settling.answer(link.recv())
            settling.tell_ready()
            come: list[Asked] = []
            while True:
                while not come or link.poll():
                    come += link.recv()
                settling.answer(come[:TOGETHER])
                del come[:TOGETHER]
        except (EOFError, OSError):
            return


class _Settling(Closing):
    """Sends replies in their order, each once it is on the disk. The desk answers on while others wait for it."""

    def __init__(self, link: Connection, desk: Desk) -> None:
        self._link, self._desk = link, desk
        self._sender = ThreadPoolExecutor(max_workers=1, thread_name_prefix="settling")

    def answer(self, together: list[Asked]) -> None:
        """Answer some messages, whose replies share one wait."""
        self._sender.submit(self._send, self._desk.ask_together(together)).add_done_callback(_or_end)

    def close(self) -> None:
        """Send what is still to be sent."""
        self._sender.shutdown(wait=True)

    def tell_ready(self) -> None:
        """Send no replies."""
        self._sender.submit(self._send, []).add_done_callback(_or_end)

    def _send(self, replies: list[Reply]) -> None:
        try:
            self._link.send(self._desk.settled(replies) if replies else replies)
        except OSError:
            log.info("the channel has ended before a reply was sent")


def _or_end(sending: Future[None]) -> None:
    """Replies that cannot be sent at all would be waited for without end: the process ends, as at any other bug."""
    error = sending.exception()
    if error is not None:
        log.error("replies could not be sent", exc_info=error)
        os._exit(1)
