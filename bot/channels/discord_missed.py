"""What was said while no session could hear it: looked up where there was play, as soon as a new session has begun.

A session that is resumed brings what was said meanwhile by itself. Where none could be, and after a restart, the
channels in which something was recorded lately are read back to the last thing that the umpire said there.
"""

from __future__ import annotations

import logging
from collections.abc import AsyncIterator, Sequence
from datetime import datetime, timedelta

import discord

from bot.channels.discord_persist import LET_DOWN

log = logging.getLogger(__name__)

PLAYED = timedelta(hours=3)  # how long ago the last thing may have been recorded
SAID = timedelta(minutes=10)  # how long ago what is still answered may have been said
MOST = 50  # messages of a channel that are looked through


async def missed(
    client: discord.Client, channels: Sequence[int], shard: int, now: datetime
) -> AsyncIterator[discord.Message]:
    """The messages of a shard's channels that have had no answer, the oldest of each channel first."""
    for id in channels:
        try:
            channel = client.get_channel(id) or await client.fetch_channel(id)
            if isinstance(channel, discord.abc.Messageable) and _shard_of(channel) == shard:
                for message in await _unanswered(channel, client.user, now):
                    yield message
        except (discord.NotFound, discord.Forbidden, discord.InvalidData) as error:
            log.debug("channel %d is not looked through: %s", id, error)
        except (discord.HTTPException, *LET_DOWN) as error:
            log.warning("what was said in channel %d meanwhile could not be read: %s", id, error)


def _shard_of(channel: discord.abc.Messageable) -> int:
    """Of a server's channel that of the server; direct messages come to the first."""
    guild = getattr(channel, "guild", None)
    return 0 if guild is None else int(guild.shard_id)


async def _unanswered(
    channel: discord.abc.Messageable, me: discord.abc.User | None, now: datetime
) -> list[discord.Message]:
    """What was said there lately, behind the last that the umpire said."""
    found: list[discord.Message] = []
    async for message in channel.history(limit=MOST):
        if message.author == me or message.created_at < now - SAID:
            break
        found.append(message)
    return found[::-1]
