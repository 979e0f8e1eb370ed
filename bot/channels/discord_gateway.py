"""Patience with the gateway, where the library has too little or too much of it.

A socket that cannot be opened is tried again, because on Linux the library would otherwise give its session up, and
with it all that was said meanwhile. A socket whose heartbeats go unanswered is closed after two of them, as the
documentation wants it, whatever else still arrives on it; it is then resumed.
"""

from __future__ import annotations

import asyncio
import logging
import time
from typing import Any

import aiohttp
import discord
from discord.gateway import DiscordWebSocket
from discord.http import Route

from bot.channels.discord_persist import Sleep, persist

log = logging.getLogger(__name__)

HEARTBEATS_MISSED = 2
ZOMBIE = 4000  # a close code after which a session may be resumed


def connect_patiently(client: discord.Client, sleep: Sleep) -> None:
    """Let the client open its sockets with growing pauses in between, for as long as the library waits."""
    connect = client.http.ws_connect

    async def patiently(url: str, **options: Any) -> aiohttp.ClientWebSocketResponse:
        return await persist(lambda: connect(url, **options), sleep)

    # The library has no place to say this; only this one client is told.
    client.http.ws_connect = patiently  # type: ignore[method-assign]


async def wait_for_a_start(client: discord.Client, sleep: Sleep) -> None:
    """Wait while the service allows no more sessions to be begun: the library looks at that limit, and goes on."""
    said = await persist(lambda: client.http.request(Route("GET", "/gateway/bot")), sleep)
    limit = said.get("session_start_limit") or {}
    if limit.get("remaining", 1) < 1:
        seconds = limit.get("reset_after", 0) / 1000
        log.warning("no more sessions may be begun now; again in %.0f s", seconds)
        await sleep(seconds)


async def watch_heartbeats(client: discord.AutoShardedClient) -> None:
    """Close every socket that is no longer answered, for ever."""
    while True:
        sockets = [shard._parent.ws for shard in client.shards.values()]
        overdue = [socket for socket in sockets if missed(socket, time.perf_counter())]
        for socket in overdue:
            log.warning("shard %s gets no answer to its heartbeats; connecting it again", socket.shard_id)
            await socket.close(ZOMBIE)
        await asyncio.sleep(min((wait for wait in map(interval, sockets) if wait is not None), default=1.0) / 2)


def is_open(shard: discord.ShardInfo) -> bool:
    """Whether the shard is connected at this moment."""
    return shard._parent.ws is not None and shard._parent.ws.open


def interval(socket: DiscordWebSocket) -> float | None:
    """Seconds between the heartbeats of a socket; None before it has any."""
    return None if socket._keep_alive is None else socket._keep_alive.interval


def missed(socket: DiscordWebSocket, now: float) -> bool:
    """Whether the last heartbeats of an open socket were not acknowledged."""
    beats, wait = socket._keep_alive, interval(socket)
    if beats is None or wait is None or not socket.open:
        return False
    return now - beats._last_ack > HEARTBEATS_MISSED * wait and beats._last_send > beats._last_ack
