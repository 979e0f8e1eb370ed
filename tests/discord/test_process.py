"""The program as a process: ended politely or killed, nothing that was rolled is lost and nothing is rolled twice."""

from __future__ import annotations

import asyncio
import os
import signal
import subprocess
import sys
from collections.abc import AsyncIterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from aiohttp import web

from bot.ledger import Ledger
from tests.discord.loopback import Loopback
from tests.discord.loopback.faults import after, times
from tests.discord.loopback.service import TOKEN
from tests.discord.loopback.world import Channel, Person
from tests.discord.process import ROOT, Program

ROLL = "roll 10 shots, hit 4+, S5 AP-1 into T4, save 3+"


@pytest.fixture
async def program(loopback: Loopback, tmp_path: Path) -> AsyncIterator[Program]:
    running = Program(loopback, tmp_path)
    yield running
    await running.kill()


def entries(program: Program, channel: Channel) -> dict[str | None, str]:
    """The first line of every reply in the ledger by the event it answered, read by another process than wrote it."""
    file = str(program.folder / "ledger.db")
    with Ledger(file, lambda: datetime.now(UTC), lambda size: bytes(size)) as ledger:
        return {entry.event: entry.reply.title for entry in ledger.entries(f"discord:{channel.id}")}


async def test_killed_in_the_middle_of_a_busy_evening_it_loses_no_roll_and_rolls_none_twice(
    program: Program, loopback: Loopback
) -> None:
    channels = [loopback.ferry, *(loopback.open(loopback.servers[0], f"table {number}") for number in range(2))]
    await program.start()

    async def kill(request: web.Request) -> web.StreamResponse | None:
        """Killed when a roll is in the ledger and not yet shown, others being shown and others waiting."""
        if len(loopback.rest.sent) < 5:
            return None
        program.send(signal.SIGKILL)
        return web.Response(status=503)

    loopback.rest.faults.append(times(9, "/messages", kill))
    said = []
    for number in range(12):
        channel = channels[number % 3]
        said.append((await loopback.say(Person(f"Player {number}"), channel, loopback.mention(ROLL)), channel))
    assert await program.ended() == -signal.SIGKILL
    before = {channel.id: entries(program, channel) for channel in channels}
    loopback.rest.faults.clear()
    await program.start()
    for message, channel in said:
        await loopback.deliver(message, channel)
    await loopback.answer(12)
    for channel in channels:
        after = entries(program, channel)
        mine = [f"message {message['id']}" for message, where in said if where is channel]
        assert sorted(after, key=str) == sorted(mine)
        assert before[channel.id].items() <= after.items()
        shown = [sent.content.splitlines()[0] for sent in loopback.rest.sent if sent.channel == channel.id]
        assert sorted(shown) == sorted(f"**{title}**" for title in after.values())
    assert any(before.values())


def test_the_process_that_answers_does_not_load_the_library_of_the_chat() -> None:
    loads = "import sys, bot.channels.discord_answering; sys.exit('discord' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", loads], cwd=ROOT).returncode == 0


async def test_told_to_end_while_it_starts_it_ends_at_once(program: Program, loopback: Loopback) -> None:
    """The first process of a container ignores the signal unless it listens for it."""
    settings = program.folder / "bot.yaml"
    os.mkfifo(settings)
    await program.begin(settings)
    opened = await asyncio.to_thread(os.open, settings, os.O_WRONLY)  # from here on it waits for its settings
    try:
        program.send(signal.SIGTERM)
        assert await program.ended() == 0
    finally:
        os.close(opened)
    assert not loopback.rest.calls


async def test_told_to_end_it_finishes_what_it_is_answering_and_closes_the_ledger(
    program: Program, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DRUMHEAD_LOG", "debug")  # so that as much as possible could give the token away
    await program.start()
    loopback.rest.faults.append(times(1, "/messages", after(0.4)))
    await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    await loopback.until(lambda: any("/messages" in call for call in loopback.rest.calls))
    program.send(signal.SIGTERM)
    assert await program.ended() == 0
    assert "#1 roll" in (await loopback.answer()).content
    assert not (program.folder / "ledger.db-wal").exists()
    assert program.lines[-1]["message"] == "closed"
    assert all({"time", "level", "from", "message"} <= line.keys() for line in program.lines)
    assert TOKEN.encode() not in program.log
    assert 1000 in loopback.gateway.close_codes
