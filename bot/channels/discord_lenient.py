"""Where the library stumbles over what it need not have: an event it cannot read, an acknowledgement without a body.

An event that it could not read would end its connection, and with it all that is being said meanwhile; an answer that
was taken but not described would look like one that failed. An interaction brings only a part of its channel, which
is not enough for the library if it does not know that channel already. And it tries a failed call again after a
second, then three, while a first answer is due within three: here a failure is told at once, and others decide what
comes of it.
"""

from __future__ import annotations

import logging
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any

import aiohttp
import discord
from discord.webhook.async_ import AsyncWebhookAdapter, async_context

log = logging.getLogger(__name__)

Parser = Callable[[Any], None]

# What tells of messages, interactions, and of the places and rights they belong to; nothing else is read.
HEARD = (
    "READY", "RESUMED", "MESSAGE_CREATE", "INTERACTION_CREATE", "USER_UPDATE",
    "CHANNEL_CREATE", "CHANNEL_UPDATE", "CHANNEL_DELETE",
    "THREAD_CREATE", "THREAD_UPDATE", "THREAD_DELETE", "THREAD_LIST_SYNC",
    "GUILD_CREATE", "GUILD_UPDATE", "GUILD_DELETE", "GUILD_MEMBER_UPDATE",
    "GUILD_ROLE_CREATE", "GUILD_ROLE_UPDATE", "GUILD_ROLE_DELETE",
)  # fmt: skip
BEGINNING = ("READY", "RESUMED")  # without these there is no session to keep
UNREADABLE = (KeyError, TypeError, ValueError, AttributeError, IndexError)
RESET = (54, 10054)  # a reset connection as macOS and Windows number it: after these the library calls again by itself
USUAL_FILE_BYTES = 10 * 1024 * 1024  # the library insists on a limit for files, older services do not say it


def listen_leniently(client: discord.Client) -> None:
    """Read only what is needed, and pass over an event that cannot be read."""
    parsers = client._connection.parsers
    parsers["INTERACTION_CREATE"] = anywhere(parsers["INTERACTION_CREATE"])
    kept = {name: parsers[name] if name in BEGINNING else lenient(name, parsers[name]) for name in HEARD}
    parsers.clear()
    parsers.update(kept)


def lenient(name: str, parser: Parser) -> Parser:
    """The parser, for which an event that it cannot read is a line in the log."""

    def read(data: Any) -> None:
        try:
            parser(data)
        except UNREADABLE:
            log.exception("an event %s could not be read and is passed over", name)

    return read


def anywhere(parser: Parser) -> Parser:
    """The parser of interactions, which reads one also if of its channel too little is told."""

    def read(data: Any) -> None:
        data.setdefault("attachment_size_limit", USUAL_FILE_BYTES)
        if "channel" in data:
            try:
                parser(data)
                return
            except UNREADABLE as error:
                log.debug("an interaction is read again without its channel: %r", error)
        parser(data | {"channel": _bare_channel(data)})

    return read


def _bare_channel(data: Any) -> dict[str, Any]:
    """The least that the library reads of a channel. Where one is known under this id, that is taken instead."""
    id = data["channel_id"] if "channel_id" in data else data["channel"]["id"]
    kind = discord.ChannelType.text if "guild_id" in data else discord.ChannelType.private
    return {"id": id, "type": kind.value, "name": "", "position": 0}


class _Prompt:
    """A session that tells of a failing service, and of a reset connection, at once."""

    def __init__(self, session: aiohttp.ClientSession) -> None:
        self._session = session

    @asynccontextmanager
    async def request(self, *call: Any, **options: Any) -> AsyncIterator[aiohttp.ClientResponse]:
        try:
            async with self._session.request(*call, **options) as response:
                if response.status >= 500:
                    raise discord.DiscordServerError(response, await response.text(errors="replace"))
                yield response
        except OSError as error:
            if error.errno in RESET:
                raise aiohttp.ServerDisconnectedError from error
            raise


class Acknowledged(AsyncWebhookAdapter):
    """Calls about interactions. That one was answered is enough to know; what the service says of it is not needed."""

    async def request(self, route: Any, session: Any, **options: Any) -> Any:
        """Make a call once."""
        return await super().request(route, _Prompt(session), **options)  # type: ignore[arg-type]

    async def create_interaction_response(self, interaction_id: int, token: str, **options: Any) -> Any:
        """Answer an interaction; returns the least that the library reads."""
        await super().create_interaction_response(interaction_id, token, **options)
        return {"interaction": {"id": interaction_id}}


def answer_leniently() -> None:
    """From now on, in this task and those it begins, interactions are answered so."""
    async_context.set(Acknowledged())  # type: ignore[no-untyped-call]  # the library says no types here
