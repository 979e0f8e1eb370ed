"""The whole program as a process of its own, so that it can be ended in every way a process ends."""

from __future__ import annotations

import asyncio
import json
import os
import sys
from asyncio.subprocess import PIPE, Process
from pathlib import Path
from typing import Any

from tests.discord.loopback import Loopback
from tests.discord.loopback.service import TOKEN

ROOT = Path(__file__).parent.parent.parent


def environment(folder: Path, **more: str) -> dict[str, str]:
    """What the program is told by its environment; its own folders lie in `folder`."""
    own = {"HOME": str(folder), "XDG_STATE_HOME": str(folder), "XDG_DATA_HOME": str(folder), "PYTHONPATH": str(ROOT)}
    return {**os.environ, **own, "DRUMHEAD_LEDGER": str(folder / "ledger.db"), "DISCORD_TOKEN": TOKEN, **more}


class Program:
    """`drumhead discord`, running against the loopback service."""

    def __init__(self, loopback: Loopback, folder: Path) -> None:
        self.loopback, self.folder = loopback, folder
        self.process: Process | None = None
        self.log = b""

    async def start(self, settings: str = "discord: {pictures: false}\n") -> None:
        """Start it and wait until it hears."""
        file = self.folder / "bot.yaml"
        file.write_text(settings)
        before = self.loopback.gateway.identified
        await self.begin(file)
        await self.loopback.until(lambda: self.loopback.gateway.identified > before)

    async def begin(self, settings: Path) -> None:
        """Start it, and leave it to itself."""
        said = environment(self.folder, DRUMHEAD_DISCORD_URL=self.loopback.url, DRUMHEAD_SETTINGS=str(settings))
        command = (sys.executable, "-m", "bot", "discord")
        self.process = await asyncio.create_subprocess_exec(*command, env=said, cwd=self.folder, stderr=PIPE)

    def send(self, signal: int) -> None:
        assert self.process is not None
        self.process.send_signal(signal)

    async def ended(self) -> int:
        """Wait for its end, and keep what it logged."""
        assert self.process is not None
        _, log = await self.process.communicate()
        self.log += log
        status = self.process.returncode
        assert status is not None
        self.process = None
        return status

    async def kill(self) -> None:
        """End it if a test left it running."""
        if self.process is not None:
            self.process.kill()
            await self.ended()

    @property
    def lines(self) -> list[dict[str, Any]]:
        """The log, line by line."""
        return [json.loads(line) for line in self.log.decode().splitlines()]
