"""What was said while no session could hear it: looked up where there was play, as soon as a new session has begun.

A session that is resumed brings what was said meanwhile by itself. Where none could be, and after a restart, the
channels in which something was recorded lately are read back. The umpire's answers point at what they answer, so
what none of them points at had no answer.
"""

from __future__ import annotations

import asyncio
import logging
from contextlib import suppress
from datetime import datetime, timedelta

import discord

from bot.channels.discord_persist import LET_DOWN, Sleep, persist

log = logging.getLogger(__name__)

PLAYED = timedelta(hours=3)  # how long ago the last thing may have been recorded
SAID = timedelta(minutes=10)  # how long ago what is still answered may have been said
MOST = 50  # messages of a channel that are looked through
LONGEST = 8.0  # seconds that a channel may take: what is said there now waits for it


async def missed(
    client: discord.Client, id: int, shard: int, now: datetime, sleep: Sleep
) -> list[discord.Message]:
    """The messages of a channel of the shard that had no answer, the oldest first."""

    async def look() -> list[discord.Message]:
        channel = client.get_channel(id) or await client.fetch_channel(id)
        if not isinstance(channel, discord.abc.Messageable) or _shard_of(channel) != shard:
            return []
        return await _unanswered(channel, client.user, now)

    try:
        return await _with_members(await asyncio.wait_for(persist(look, sleep), LONGEST))
    except (discord.NotFound, discord.Forbidden, discord.InvalidData) as error:
        log.debug("channel %d is not looked through: %s", id, error)
    except (TypeError, discord.HTTPException, *LET_DOWN) as error:  # a page instead of messages is a TypeError
        log.warning("what was said in channel %d meanwhile could not be read: %s", id, error)
    return []


def _shard_of(channel: discord.abc.Messageable) -> int:
    """Of a server's channel that of the server; direct messages come to the first."""
    guild = getattr(channel, "guild", None)
    return 0 if guild is None else int(guild.shard_id)


async def _unanswered(
    channel: discord.abc.Messageable, me: discord.abc.User | None, now: datetime
) -> list[discord.Message]:
    """What was said there lately and has no answer. Where no answer points at anything, that is all behind the last."""
    lately: list[discord.Message] = []
    async for message in channel.history(limit=MOST):
        if message.created_at < now - SAID:
            break
        lately.append(message)
    mine = [message for message in lately if message.author == me]
    answered = {message.reference.message_id for message in mine if message.reference is not None}
    if mine and not answered:
        lately = lately[: lately.index(mine[0])]
    return [message for message in lately[::-1] if message.author != me and message.id not in answered]


async def _with_members(messages: list[discord.Message]) -> list[discord.Message]:
    """The messages as a session brings them: with what their authors are in the server."""
    members: dict[int, discord.User | discord.Member] = {}
    for message in messages:
        author = message.author
        if message.guild is None or author.bot or isinstance(author, discord.Member):
            continue
        if author.id not in members:
            members[author.id] = author
            with suppress(discord.HTTPException, *LET_DOWN):
                members[author.id] = await message.guild.fetch_member(author.id)
        message.author = members[author.id]
    return messages
