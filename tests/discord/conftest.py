"""The real client, unmodified, connected to the loopback service, over a ledger in a temporary file."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import AsyncExitStack
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from discord.utils import snowflake_time

from bot.app import App
from bot.asked import Asked
from bot.channels.discord import Umpire
from bot.channels.discord_run import Runner, connect_to
from bot.channels.discord_settings import service_of
from bot.channels.discord_start import room_of
from bot.content import load_rulesets
from bot.desk import Desk
from bot.glossary import Glossary, load_glossary
from bot.house import House
from bot.ledger import Storage
from bot.reply import Reply
from bot.settings import Discord
from resolver.ruleset import Ruleset
from tests.conversation import Clock, secret
from tests.discord.loopback import Loopback
from tests.discord.loopback.service import TOKEN
from tests.discord.loopback.world import Person, snowflake


@cache
def shelf() -> tuple[Mapping[str, Ruleset], Glossary]:
    """Rulesets and glossary, read once for all tests."""
    return load_rulesets(), load_glossary()


class DeskHere(Desk):
    """The desk in the client's own process."""

    def __init__(self, *arguments: Any) -> None:
        super().__init__(*arguments)
        self._turns = ThreadPoolExecutor(1)

    async def ask_soon(self, asked: Asked) -> Reply:
        return await asyncio.get_running_loop().run_in_executor(self._turns, self.ask, asked)


class Hurried(Umpire):
    """The client without the library's pause before it identifies again, which only the real service needs."""

    async def before_identify_hook(self, shard_id: int | None, *, initial: bool = False) -> None:
        await asyncio.sleep(0)


class Playing:
    """A running client and the place it plays in."""

    def __init__(self, loopback: Loopback, folder: Path) -> None:
        self.loopback, self.folder = loopback, folder
        self.pauses: list[float] = []
        self.ended: asyncio.Task[None] | None = None

    async def sleep(self, seconds: float) -> None:
        """Pauses are noted, and hardly made."""
        self.pauses.append(seconds)
        await asyncio.sleep(min(seconds, 0.01))

    async def start(self, settings: Discord | None = None, heartbeat_timeout: float = 3.0, **replaced: Any) -> None:
        """Start the client and wait until it hears."""
        before = self.loopback.gateway.identified
        self.begin(settings, heartbeat_timeout, TOKEN, **replaced)
        await self.loopback.until(lambda: self.loopback.gateway.identified >= before + self.loopback.rest.shards)
        await self.loopback.until(
            lambda: self.umpire is not None and len(self.umpire.guilds) == len(self.loopback.servers)
        )

    def begin(
        self,
        settings: Discord | None = None,
        heartbeat_timeout: float = 3.0,
        token: str = TOKEN,
        **replaced: Any,
    ) -> None:
        connect_to(service_of({"DRUMHEAD_DISCORD_URL": self.loopback.url}))
        self._stack = AsyncExitStack()
        settings = settings or Discord(pictures=False)
        storage = self._stack.enter_context(Storage(str(self.folder / "ledger.db"), Clock(), secret))
        self.app = app = App(House(*shelf(), storage))
        desk = self._stack.enter_context(DeskHere(app.answer, lambda: "ref1", storage.settle))
        room = self._stack.enter_context(
            room_of(app.house, desk, settings, **self._replacing() | replaced)
        )

        def make() -> Umpire:
            return Hurried(room, guild_ready_timeout=0.05, heartbeat_timeout=heartbeat_timeout)

        self.runner = Runner(make, self.sleep, 3600)
        self.ended = asyncio.create_task(self.runner.run(token))

    def _replacing(self) -> dict[str, Any]:
        """Parts of the room that are the test's own; all ids of the service are of one moment."""
        now = snowflake_time(int(snowflake()))
        return {"sleep": self.sleep, "reference": lambda: "ref2", "now": lambda: now}

    @property
    def umpire(self) -> Umpire | None:
        return self.runner.umpire

    async def stop(self) -> None:
        if self.ended is not None:
            self.runner.stop()
            await self.ended
            await self.leave()

    async def leave(self) -> None:
        """Close the ledger of a client that has ended."""
        await self._stack.aclose()
        self.ended = None


Play = Callable[..., Awaitable[Playing]]


@pytest.fixture
async def loopback() -> AsyncIterator[Loopback]:
    async with Loopback() as service:
        yield service


@pytest.fixture
async def playing(loopback: Loopback, tmp_path: Path) -> AsyncIterator[Playing]:
    """A running client, with no picture drawn."""
    game = Playing(loopback, tmp_path)
    await game.start()
    yield game
    await game.stop()


@pytest.fixture
async def unstarted(loopback: Loopback, tmp_path: Path) -> AsyncIterator[Playing]:
    """A client that the test starts itself."""
    game = Playing(loopback, tmp_path)
    yield game
    await game.stop()


@pytest.fixture
def ada() -> Person:
    return Person("Ada")


@pytest.fixture
def bea() -> Person:
    return Person("Bea")
