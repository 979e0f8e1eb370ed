"""Calls that the network or the service lets down are made again, with growing pauses; refusals are not.

The library gives up at once on a reset connection, on a 503, and on a 429 that did not come through its usual way.
"""

from __future__ import annotations

import asyncio
import logging
import random
from collections.abc import Awaitable, Callable
from http import HTTPStatus
from typing import TypeVar

import aiohttp
import discord

log = logging.getLogger(__name__)
T = TypeVar("T")
Sleep = Callable[[float], Awaitable[None]]

TRIES = 8  # a good minute in all
LONGEST_PAUSE = 60.0
# Seconds, where a first answer is due; an attempt that hangs leaves time for another.
LONGEST_ATTEMPT, SHORT_PAUSE = 1.8, 0.1
# Discord developer documentation, "JSON Error Codes": a thread that is archived, and one that is locked.
CLOSED = (50083, 160005)
# What may be better the next time. (A TimeoutError is an OSError.)
LET_DOWN = (OSError, aiohttp.ClientError, discord.DiscordServerError, discord.GatewayNotFound)


def pause_before(attempt: int) -> float:
    """Seconds after the attempt of this number, from 1: half a second, then twice as long each time, give or take."""
    return float(min(LONGEST_PAUSE, 0.5 * 2 ** (attempt - 1)) * random.uniform(0.8, 1.2))


def asked_to_wait(error: discord.HTTPException) -> float | None:
    """The seconds that a 429 asks for; None for any other refusal."""
    if error.status != 429:
        return None
    said = error.response.headers.get("Retry-After")
    try:
        return min(LONGEST_PAUSE, float(said)) if said else 1.0
    except ValueError:
        return 1.0


def refused_for_good(error: Exception) -> bool:
    """Whether a place takes no messages from us, or is gone: no fault of ours, and no news the next time."""
    return isinstance(error, discord.HTTPException) and (error.status in (403, 404) or error.code in CLOSED)


async def in_time(call: Callable[[], Awaitable[T]], sleep: Sleep, seconds: float) -> T:
    """A first answer to an interaction, which is worth nothing later: tried again quickly while there is time.

    An attempt that is given up may have been taken all the same.
    """
    loop = asyncio.get_running_loop()
    end = loop.time() + seconds
    while True:
        try:
            return await asyncio.wait_for(call(), min(LONGEST_ATTEMPT, max(0.1, end - loop.time())))
        except (*LET_DOWN, discord.HTTPException) as error:
            refused = isinstance(error, discord.HTTPException) and not isinstance(error, discord.DiscordServerError)
            wanted = asked_to_wait(error) if isinstance(error, discord.HTTPException) and refused else SHORT_PAUSE
            if wanted is None or loop.time() + wanted >= end:
                raise
            log.warning("a first answer failed (%s: %s); again in %.1f s", type(error).__name__, error, wanted)
        await sleep(wanted)


def perhaps_taken(error: Exception) -> bool:
    """Whether a call that ended so may have been taken: it was made, and nobody said that it failed."""
    if isinstance(error, discord.DiscordServerError):
        return error.status == HTTPStatus.GATEWAY_TIMEOUT
    return not isinstance(error, aiohttp.ClientConnectorError)


async def persist(
    call: Callable[[], Awaitable[T]], sleep: Sleep, tries: int = TRIES, *, once: bool = False
) -> T:
    """What the call returns, tried again where that may help; its last error otherwise.

    What the service would do twice is to be called `once`, that is, never again after it may have been taken.
    """
    for attempt in range(1, tries):
        try:
            return await call()
        except LET_DOWN as error:
            if once and perhaps_taken(error):
                raise
            pause = pause_before(attempt)
            log.warning("the service let us down (%s: %s); again in %.1f s", type(error).__name__, error, pause)
        except discord.HTTPException as error:
            wanted = asked_to_wait(error)
            if wanted is None:
                raise
            pause = wanted
            log.warning("asked to wait %.1f s", pause)
        await sleep(pause)
    return await call()
