"""The counter between chat and desk: an event becomes a message with its asker, its reply becomes what is shown."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

from bot.asked import Asked
from bot.channels.discord_names import Names
from bot.channels.discord_offers import Offer, Shelf, offers_of, plain_id
from bot.channels.discord_shown import Shown, Studio
from bot.ledger import Ledger
from bot.reply import Note, Reply

T = TypeVar("T")
USED = "That button had been pressed already; this is what came of it."
# Kinds that concern the whole channel although they are no entries of the record.
PUBLIC_KINDS = frozenset({"page", "reveal", "cut"})


class AnyDesk(Protocol):
    """Where answers come from, in this process or another."""

    async def ask_soon(self, asked: Asked) -> Reply:
        """The reply, awaited without holding up the event loop."""


@dataclass(frozen=True)
class Speaker:
    """An account as it speaks in a channel."""

    account: int
    display: str
    where: str
    moderator: bool = False


class Counter:
    """What waits for the ledger or draws is done by `worker`, off the event loop."""

    def __init__(self, desk: AnyDesk, ledger: Ledger, studio: Studio, worker: Executor) -> None:
        self._desk, self._ledger, self._studio, self._worker = desk, ledger, studio, worker
        self.names = Names(ledger.memory)
        self.shelf = Shelf(ledger.memory)

    async def off_loop(self, work: Callable[..., T], *arguments: object) -> T:
        """What the work returns, done by a worker."""
        return await asyncio.get_running_loop().run_in_executor(self._worker, work, *arguments)

    async def name(self, speaker: Speaker) -> str:
        """Who the speaker is in the record."""
        known = self.names.known(speaker.where, speaker.account)
        if known is not None:
            return known
        return await self.off_loop(self.names.name, speaker.where, speaker.account, speaker.display)

    async def answer(self, text: str, speaker: Speaker, event: str) -> Shown:
        """What is shown for a message."""
        return await self._shown(await self._reply(text, speaker, event), speaker.where, text)

    async def answer_privately(
        self, text: str, speaker: Speaker, event: str, *, once: bool, public: bool, signed: bool
    ) -> tuple[Shown, bool]:
        """What is shown for an interaction, and whether to the asker alone: all but what happened at the table.

        `once` is for what must not happen again, `public` for what concerns everybody though it is no entry, and
        `signed` for where the chat does not show who asked.
        """
        used = once and await self.off_loop(self._ledger.recorded, speaker.where, event) is not None
        reply = await self._reply(text, speaker, event)
        if used:
            reply = replace(reply, blocks=(*reply.blocks, Note(USED)))
        happened = await self._happened(reply, speaker.where, event, public)
        if signed and happened and not used:
            reply = replace(reply, blocks=(*reply.blocks, Note(f"by {await self.name(speaker)}")))
        return await self._shown(reply, speaker.where, text), used or not happened

    async def _happened(self, reply: Reply, where: str, event: str, public: bool) -> bool:
        if reply.private:
            return False
        if reply.kind in PUBLIC_KINDS:
            return public
        return await self.off_loop(self._ledger.recorded, where, event) is not None

    async def _reply(self, text: str, speaker: Speaker, event: str) -> Reply:
        who = await self.name(speaker)
        asked = Asked(text=text, who=who, where=speaker.where, event=event, moderator=speaker.moderator)
        reply = await self._desk.ask_soon(asked)
        if reply.kind == "forgotten":
            await self.off_loop(self.names.forget, speaker.where, speaker.account)
        return reply

    async def _shown(self, reply: Reply, where: str, asked: str) -> Shown:
        drawn = await self._studio.drawn(reply)
        offers = offers_of(reply, asked)
        ids = [await self._id(where, offer) for offer in offers]
        return Shown(reply, tuple(zip(offers, ids, strict=True)), drawn)

    async def _id(self, where: str, offer: Offer) -> str:
        id = plain_id(offer)
        return await self.off_loop(self.shelf.id_of, where, offer) if id is None else id
