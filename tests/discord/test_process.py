"""The program as a process: ended politely or killed, nothing that was rolled is lost and nothing is rolled twice."""

from __future__ import annotations

import signal
from collections.abc import AsyncIterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from aiohttp import web

from bot.ledger import Ledger
from tests.discord.loopback import Loopback
from tests.discord.loopback.faults import after, times
from tests.discord.loopback.service import TOKEN
from tests.discord.loopback.world import Person
from tests.discord.process import Program

ROLL = "roll 10 shots, hit 4+, S5 AP-1 into T4, save 3+"


@pytest.fixture
async def program(loopback: Loopback, tmp_path: Path) -> AsyncIterator[Program]:
    running = Program(loopback, tmp_path)
    yield running
    await running.kill()


def entries(program: Program, loopback: Loopback) -> list[str]:
    """What the ledger holds of the channel, read by another process than the one that wrote it."""
    file = str(program.folder / "ledger.db")
    with Ledger(file, lambda: datetime.now(UTC), lambda size: bytes(size)) as ledger:
        return [entry.reply.title for entry in ledger.entries(f"discord:{loopback.ferry.id}")]


async def test_killed_between_roll_and_reply_it_shows_that_very_roll_afterwards(
    program: Program, loopback: Loopback, ada: Person
) -> None:
    await program.start()

    async def kill(request: web.Request) -> web.StreamResponse:
        program.send(signal.SIGKILL)
        return web.Response(status=503)

    loopback.rest.faults.append(times(1, "/messages", kill))
    message = await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    assert await program.ended() == -signal.SIGKILL
    assert not loopback.rest.sent
    [before] = entries(program, loopback)
    await program.start()
    await loopback.deliver(message, loopback.ferry)
    shown = await loopback.answer()
    assert shown.content.startswith(f"**{before}**")
    assert entries(program, loopback) == [before]


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
