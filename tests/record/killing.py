"""Umpires that are killed while they record, over and over; prints what they showed before they died.

Usage: killing.py RECORD (random KILLS SEED | steps). Each umpire is a fork that takes messages in order, tells
every answer to the parent the moment it would be shown, and takes its last messages again when it comes back,
as a chat does after a lost connection. One line of JSON for each answer shown: [event, number, faces].
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

from recording import WHEN, asked, rolling
from sqlalchemy import event

from bot.ledger import Ledger

MOST_ANSWERS = 3  # that an umpire shows before its last moment, which is
LAST_MOMENT = 0.01  # seconds long at most: about one roll
BREATH = 0.005  # seconds between two messages, so that neither umpire starves the other
AGAIN = 3  # messages that are delivered once more after each death

Show = Callable[[str], None]
Prepare = Callable[[Ledger], Callable[[], None]]


def nothing() -> None:
    """What an umpire does before showing an answer, unless it is to die then."""


def umpire(record: str, name: str, first: int, show: Show, prepare: Prepare) -> None:
    """Answer messages from `first` on until somebody stops it."""
    with Ledger(record, lambda: WHEN, os.urandom) as ledger:
        before_showing = prepare(ledger)
        for number in range(first, first + 1000):
            message = f"{name}{number}"
            reply = ledger.record(asked(event=message), "dice", rolling(5))
            before_showing()
            show(json.dumps([message, reply.machine["id"], reply.machine["faces"]]) + "\n")
            time.sleep(BREATH)


def start(record: str, name: str, first: int, prepare: Prepare) -> tuple[int, int]:
    """Fork an umpire; its process id, and the end of the pipe that tells what it shows."""
    reading, writing = os.pipe()
    child = os.fork()
    if child:
        os.close(writing)
        return child, reading
    os.close(reading)
    try:
        umpire(record, name, first, lambda line: _tell(writing, line), prepare)
    finally:
        os._exit(1)


def _tell(pipe: int, line: str) -> None:
    os.write(pipe, line.encode())


def killed(child: int, pipe: int, answers: int, moment: float) -> list[str]:
    """Let an umpire show so many answers, then kill it a moment later; everything that it has shown."""
    with os.fdopen(pipe) as lines:
        shown = [lines.readline() for _ in range(answers)]
        time.sleep(moment)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        return [*shown, *lines.readlines()]


def told(child: int, pipe: int) -> list[str]:
    """Everything that an umpire showed before it died of itself."""
    with os.fdopen(pipe) as lines:
        shown = lines.readlines()
    os.waitpid(child, 0)
    return shown


def kill_at_random(record: str, kills: int, seed: int) -> None:
    """Two umpires at a time on one record, each killed after a random while."""
    chance = random.Random(seed)
    done = {"a": 0, "b": 0}
    for _ in range(kills // 2):
        started = {name: start(record, name, max(0, done[name] - AGAIN), lambda ledger: nothing) for name in done}
        for name, (child, pipe) in started.items():
            lines = killed(child, pipe, chance.randint(0, MOST_ANSWERS), chance.uniform(0, LAST_MOMENT))
            done[name] += max(0, len(lines) - AGAIN)
            sys.stdout.writelines(lines)


def kill_at_every_step(record: str) -> None:
    """One umpire at a time, killed before each statement, its commit too, and before its first answer shows."""
    for step in range(1000):
        child, pipe = start(record, f"s{step}.", 0, lambda ledger, step=step: _mine(ledger, step))  # type: ignore[misc]
        lines = told(child, pipe)
        sys.stdout.writelines(lines[:1])
        if lines:  # it lived to show its first answer: every step has had its death
            sys.stdout.write(json.dumps(["steps", step, []]) + "\n")
            return


def _mine(ledger: Ledger, step: int) -> Callable[[], None]:
    """Die at the given step: as the file begins a statement, or when all is written and nothing shown."""
    left = [step]

    def tick(*_: object) -> None:
        if not left[0]:
            os.kill(os.getpid(), signal.SIGKILL)
        left[0] -= 1

    engine = ledger._store.engine
    engine.dispose()  # so that every connection from now on is watched
    event.listen(engine, "connect", lambda file, _: file.set_trace_callback(tick))
    return tick


if __name__ == "__main__":
    file, way, *numbers = sys.argv[1:]
    Path(file).parent.mkdir(exist_ok=True)
    if way == "random":
        kill_at_random(file, *map(int, numbers))
    else:
        kill_at_every_step(file)
