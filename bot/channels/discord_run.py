"""Running the client unattended: connecting however long it takes, the health line, and a clean end."""

from __future__ import annotations

import asyncio
import logging
import math
import signal
from collections.abc import Awaitable, Callable

import discord
import yarl
from discord.gateway import DiscordWebSocket

from bot.channels.discord import Umpire
from bot.channels.discord_gateway import is_open, watch_heartbeats
from bot.channels.discord_lenient import answer_leniently
from bot.channels.discord_persist import LET_DOWN, Sleep, asked_to_wait, pause_before
from bot.channels.discord_settings import Service, SettingsError

log = logging.getLogger(__name__)

INTENT = (
    "plain_messages asks for the message content intent, which this application has not been given: "
    "switch it on in the developer portal, or plain_messages off"
)
SHARDS = "DRUMHEAD_SHARDS, or shards in bot.yaml"
# Discord developer documentation, "Opcodes and Status Codes", Gateway Close Event Codes after which none reconnects.
REFUSALS = {
    4004: "the service does not accept this token any more; make a new one and set DISCORD_TOKEN",
    4010: f"the service knows no such shard; put another number of shards, or none, into {SHARDS}",
    4011: f"this bot is in too many servers for so few shards; put a larger number, or none, into {SHARDS}",
    4012: "the service no longer speaks as this program does; update Drumhead",
    4013: "the service does not know what this program wants to hear; update Drumhead",
    4014: INTENT,
}

LONGEST_GOODBYE = 20.0  # seconds that closing waits for what is being answered


# No voice is used here; its missing parts are no news.
discord.VoiceClient.warn_nacl = discord.VoiceClient.warn_dave = False


def connect_to(service: Service | None) -> None:
    """Point the library at another address than the usual one."""
    if service is not None:
        discord.http.Route.BASE = service.rest
        DiscordWebSocket.DEFAULT_GATEWAY = yarl.URL(service.gateway)
        discord.asset.Asset.BASE = service.assets


class Runner:
    """Runs one client after another until told to stop; each is made anew, since a failed start leaves its marks."""

    def __init__(self, make: Callable[[], Umpire], sleep: Sleep, health_seconds: float) -> None:
        self._make, self._sleep, self._health_seconds = make, sleep, health_seconds
        self._stopping = asyncio.Event()
        self.umpire: Umpire | None = None

    def stop(self) -> None:
        """End: finish what is being answered, then leave."""
        self._stopping.set()

    async def run(self, token: str) -> None:
        """Stay connected until stopped. Raises SettingsError where waiting would not help."""
        answer_leniently()
        loop = asyncio.get_running_loop()
        for name in (signal.SIGTERM, signal.SIGINT):
            loop.add_signal_handler(name, self.stop)
        attempt = 0
        while not self._stopping.is_set():
            attempt += 1
            self.umpire = self._make()
            error = await self._until_it_ends(self.umpire, token)
            if error is None or self._stopping.is_set():
                continue
            if self.umpire.is_ready():
                attempt = 1
            pause = _wanted_pause(error) or pause_before(attempt)
            log.warning("not connected (%s: %s); again in %.1f s", type(error).__name__, error, pause)
            await self._unless_stopped(self._sleep(pause))

    async def _until_it_ends(self, umpire: Umpire, token: str) -> BaseException | None:
        """Run one client to its end, or until told to stop; what ended it, if waiting may help."""
        running = asyncio.create_task(_run(umpire, token))
        health = asyncio.create_task(self._tell_health(umpire))
        watch = asyncio.create_task(watch_heartbeats(umpire))
        stopped = asyncio.create_task(self._stopping.wait())
        await asyncio.wait((running, stopped), return_when=asyncio.FIRST_COMPLETED)
        if not running.done():
            await goodbye(umpire)
        for task in (health, watch, stopped):
            task.cancel()
        await close(umpire)
        await asyncio.wait((running,), timeout=1 if self._stopping.is_set() else None)
        running.cancel()  # a client that is still trying to connect does not notice that it was closed
        await asyncio.gather(running, health, watch, stopped, return_exceptions=True)
        return None if running.cancelled() or self._stopping.is_set() else _what_ended(running)

    async def _unless_stopped(self, pause: Awaitable[None]) -> None:
        sleeping = asyncio.ensure_future(pause)
        stopped = asyncio.create_task(self._stopping.wait())
        await asyncio.wait((sleeping, stopped), return_when=asyncio.FIRST_COMPLETED)
        for task in (sleeping, stopped):
            task.cancel()

    async def _tell_health(self, umpire: Umpire) -> None:
        while True:
            await asyncio.sleep(self._health_seconds)
            log.info("health", extra={"fields": health(umpire)})


async def _run(umpire: Umpire, token: str) -> BaseException | None:
    """Log in and stay; what may be better the next time is returned, what may not is raised."""
    try:
        await umpire.start(token)
    except discord.LoginFailure:
        raise SettingsError("the service does not accept this token; make a new one and set DISCORD_TOKEN") from None
    except discord.PrivilegedIntentsRequired:
        raise SettingsError(INTENT) from None
    except discord.ConnectionClosed as error:
        if error.code in REFUSALS:
            raise SettingsError(f"{REFUSALS[error.code]} (code {error.code})") from None
        return error
    except (*LET_DOWN, RecursionError) as error:
        return error
    except discord.HTTPException as error:
        if asked_to_wait(error) is None:
            raise SettingsError(f"the service refuses this client: {error}") from None
        return error
    return None


def _what_ended(running: asyncio.Task[BaseException | None]) -> BaseException | None:
    """What waiting may mend, also a bug, whose trace is logged; a setting that cannot be used is raised."""
    error = running.exception()
    if error is None:
        return running.result()
    if isinstance(error, SettingsError):
        raise error
    log.error("the client ended by an unexpected error", exc_info=error)
    return error


def _wanted_pause(error: BaseException) -> float | None:
    return asked_to_wait(error) if isinstance(error, discord.HTTPException) else None


async def goodbye(umpire: Umpire) -> None:
    """Take no more, and finish what is being answered."""
    umpire.leaving = True
    log.info("closing; %d answers to finish", umpire.busy)
    try:
        await asyncio.wait_for(umpire.idle.wait(), LONGEST_GOODBYE)
    except TimeoutError:
        log.error("%d answers were not finished", umpire.busy)


async def close(umpire: Umpire) -> None:
    """Close the sockets and the session, also of a client that never got to have any."""
    if not umpire.is_closed():
        await umpire.close()


def health(umpire: Umpire) -> dict[str, object]:
    """How it is, for whoever watches the log."""
    latencies = [
        {"shard": number, "ms": round(1000 * seconds) if math.isfinite(seconds) else None}
        for number, seconds in umpire.latencies
    ]
    connected = all(one["ms"] is not None for one in latencies) and all(map(is_open, umpire.shards.values()))
    return {
        "ready": umpire.is_ready() and connected,
        "servers": len(umpire.guilds),
        "shards": latencies,
        "answered": umpire.answered,
        "answering": umpire.busy,
    }
