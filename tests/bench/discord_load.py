"""Load on the Discord channel: one person at a time, then 50 people at once in 20 channels, over the loopback service.

Run it with `python -m tests.bench.discord_load [seconds]`; the client runs as a process of its own. Everybody
asks again as soon as an answer is there. Printed are answers a second and the time from message to answer.
"""

from __future__ import annotations

import asyncio
import json
import os
import signal
import statistics
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from aiohttp import web

from tests.discord.loopback import Loopback
from tests.discord.loopback.world import Channel, Person
from tests.discord.process import Program

PEOPLE, CHANNELS = 50, 20
HEARTBEAT_MS = 41_250  # the documentation's example, page "Gateway", section "Sending Heartbeats"
MESSAGES = (
    "roll 10 shots, hit 4+, S5 AP-1 into T4, save 3+, W2, 5 models",
    "needs save 3+ AP-1",
    "charge 9",
    "roll 5 models with 2 attacks each, hit 3+, S4 into T4, save 4+",
    "dice 3d6",
)
SETTINGS = """\
discord:
  pictures: false
  person: {at_once: 10000, a_second: 10000}
  channel: {at_once: 10000, a_second: 10000}
"""


class Answers:
    """Wakes whoever waits for the answer to a message."""

    def __init__(self, loopback: Loopback) -> None:
        self._waiting: dict[str, asyncio.Event] = {}
        loopback.rest.faults.append(self._look)

    async def _look(self, request: web.Request) -> None:
        if request.method == "POST" and "/messages" in request.path:
            data: dict[str, Any] = json.loads(await request.text())
            event = self._waiting.pop(str(data["nonce"]).split("-")[0], None)
            if event is not None:
                event.set()

    async def time_of(self, loopback: Loopback, who: Person, channel: Channel, text: str) -> float:
        """Seconds from the message to its answer."""
        message = loopback.written(who, channel, loopback.mention(text))
        event = self._waiting[message["id"]] = asyncio.Event()
        start = time.perf_counter()
        await loopback.deliver(message, channel)
        await asyncio.wait_for(event.wait(), 30)
        return time.perf_counter() - start


async def busy(loopback: Loopback, answers: Answers, who: Person, channel: Channel, until: float) -> list[float]:
    """One person who asks again and again."""
    times: list[float] = []
    while time.perf_counter() < until:
        text = MESSAGES[len(times) % len(MESSAGES)]
        times.append(await answers.time_of(loopback, who, channel, text))
        loopback.rest.sent.clear()  # the service need not look for a nonce among all that was ever said
    return times


def cpu_seconds(pid: int) -> float:
    """What a process has used of the processors, as Linux counts it (proc(5): utime and stime)."""
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def processes_of(pid: int) -> dict[str, int]:
    """The client's process and the one that its desk has to itself."""
    begun = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    desk = [int(child) for child in begun if b"spawn_main" in Path(f"/proc/{child}/cmdline").read_bytes()]
    return {"chat": pid, "desk": desk[0], "service": os.getpid()}


def used(processes: Mapping[str, int]) -> dict[str, float]:
    return {name: cpu_seconds(pid) for name, pid in processes.items()}


def report(what: str, times: Sequence[float], seconds: float) -> None:
    ordered = sorted(times)
    cuts = [1000 * ordered[min(len(ordered) - 1, int(share * len(ordered)))] for share in (0.5, 0.99, 1)]
    half, most, all_ = cuts
    print(
        f"{what}: {len(times) / seconds:.0f} answers a second, {statistics.fmean(times) * 1000:.1f} ms on average, "
        f"half within {half:.1f} ms, 99 in 100 within {most:.1f} ms, all within {all_:.1f} ms"
    )


async def main(seconds: float) -> None:
    with tempfile.TemporaryDirectory() as folder:
        async with Loopback() as loopback:
            loopback.gateway.interval_ms = HEARTBEAT_MS
            channels = [loopback.open(loopback.servers[0], f"table-{number}") for number in range(CHANNELS)]
            program = Program(loopback, Path(folder))
            await program.start(settings=SETTINGS)
            try:
                assert program.process is not None
                await measure(loopback, Answers(loopback), channels, seconds, program.process.pid)
                program.send(signal.SIGTERM)
                await program.ended()
            finally:
                await program.kill()


async def measure(loopback: Loopback, answers: Answers, channels: list[Channel], seconds: float, pid: int) -> None:
    people = [Person(f"Player {number}") for number in range(PEOPLE)]
    places = [channels[number % CHANNELS] for number in range(PEOPLE)]
    for who, channel in zip(people, places, strict=True):
        await answers.time_of(loopback, who, channel, "charge 9")
    start = time.perf_counter()
    alone = await busy(loopback, answers, people[0], places[0], start + seconds / 6)
    report("one at a time", alone, time.perf_counter() - start)
    processes = processes_of(pid)
    start, before = time.perf_counter(), used(processes)
    crowd = [busy(loopback, answers, *pair, start + seconds) for pair in zip(people, places, strict=True)]
    times = [taken for person in await asyncio.gather(*crowd) for taken in person]
    report(f"{PEOPLE} at once in {CHANNELS} channels", times, time.perf_counter() - start)
    spent = {name: 1000 * (after - before[name]) / len(times) for name, after in used(processes).items()}
    print("of a processor for each answer: " + ", ".join(f"{name} {ms:.2f} ms" for name, ms in spent.items()))
    print(f"load average: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")


if __name__ == "__main__":
    asyncio.run(main(float(sys.argv[1]) if len(sys.argv) > 1 else 60.0))
