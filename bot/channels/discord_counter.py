"""The counter between chat and desk: an event becomes a message with its asker, its reply becomes what is shown."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

from bot.app import trouble
from bot.asked import Asked, Question
from bot.channels.discord_names import MENTION, Names
from bot.channels.discord_offers import Offer, Shelf, offers_of, plain_id
from bot.channels.discord_replying import Before, in_reply
from bot.channels.discord_shown import Shown, Studio
from bot.ledger import Ledger, LedgerError
from bot.left_open import settled
from bot.reply import Note, Reply

log = logging.getLogger(__name__)
T = TypeVar("T")
USED = "That button had been pressed already; this is what came of it."
SEEN = "seen\n"  # where it is remembered that all have seen what a press did; no person can be called so


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


@dataclass(frozen=True)
class Deed:
    """What an interaction asks for.

    `shared` is the event common to all presses of what is done once. `public` is for what concerns everybody though it
    is no entry, `signed` for where the chat does not show who asked. `form` is what was filled in.
    """

    text: str
    interaction: int
    public: bool
    signed: bool = False
    shared: str | None = None
    question: Question | None = None
    form: Offer | None = None

    @property
    def own(self) -> str:
        """The event of this interaction alone."""
        return f"interaction {self.interaction}"

    @property
    def event(self) -> str:
        """The event under which it is recorded."""
        return self.shared or self.own


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

    async def answer(self, text: str, speaker: Speaker, event: str, before: Before | None = None) -> Shown:
        """What is shown for a message; `before` is what it replies to."""
        try:
            return await self._shown(await self._reply(text, speaker, event, before=before), speaker.where, text)
        except LedgerError as error:
            return Shown(trouble(error))

    async def answer_deed(
        self, deed: Deed, speaker: Speaker, before: Callable[[], Awaitable[object]] | None = None
    ) -> tuple[Shown, bool]:
        """What is shown for an interaction, and whether to the asker alone: all but what happened at the table.

        `before` waits for the answer to the same thing asked a moment ago.
        """
        if before is not None:
            await before()
        try:
            return await self._answer_deed(deed, speaker)
        except LedgerError as error:
            return Shown(trouble(error)), True

    async def _answer_deed(self, deed: Deed, speaker: Speaker) -> tuple[Shown, bool]:
        did = await self._did(deed, speaker.where)
        if did is not None and await self.off_loop(self._seen, deed, speaker.where):
            return await self._used(deed, did, speaker), True
        reply = await self._reply(deed.text, speaker, deed.event, deed)
        happened = await self._happened(reply, speaker.where, deed)
        if deed.signed and happened:
            by = await self.name(speaker) if did is None else await self.off_loop(self._who, speaker.where, did)
            if f" {by} " not in f"{reply.title} ":  # "Ada sits with the Wardens" says who it was
                reply = replace(reply, blocks=(*reply.blocks, Note(f"by {by}")))
        return await self._shown(reply, speaker.where, deed.text, deed.form), not happened

    async def seen_by_all(self, deed: Deed, where: str) -> None:
        """Remember that what was done once has been shown to everybody: who presses later is told so in private."""
        try:
            if await self._did(deed, where) is not None:
                await self.off_loop(self._ledger.memory.remember, where, SEEN + deed.event, {"seen": True})
        except LedgerError as error:
            log.error("ledger: %s", error)  # it has been answered, and is only shown to everybody once more

    async def _did(self, deed: Deed, where: str) -> int | None:
        """The number of the entry that came of what is done once, if it was done."""
        if deed.shared is None:
            return None
        return await self.off_loop(self._ledger.memory.number, where, deed.shared)

    def _seen(self, deed: Deed, where: str) -> bool:
        return bool(self._ledger.memory.recall(where, SEEN + deed.event))

    def _who(self, where: str, number: int) -> str:
        entry = self._ledger.entry(where, number)
        assert entry is not None
        return entry.who

    async def _used(self, deed: Deed, number: int, speaker: Speaker) -> Shown:
        """That a question was answered, or what came of a button."""
        if deed.question is not None:
            reply = settled(number)
        else:
            reply = await self._reply(deed.text, speaker, deed.event, deed)
            reply = replace(reply, blocks=(*reply.blocks, Note(USED)))
        return await self._shown(reply, speaker.where, deed.text)

    async def _happened(self, reply: Reply, where: str, deed: Deed) -> bool:
        if reply.private:
            return False
        if reply.shared:
            return deed.public
        numbers = [await self.off_loop(self._ledger.memory.number, where, event) for event in {deed.event, deed.own}]
        return any(number is not None for number in numbers)

    async def _reply(
        self, text: str, speaker: Speaker, event: str, deed: Deed | None = None, before: Before | None = None
    ) -> Reply:
        who, where = await self.name(speaker), speaker.where
        if MENTION.search(text):
            text = await self.off_loop(self.names.spelled, where, text)
        asked = Asked(text=text, who=who, where=where, event=event, moderator=speaker.moderator)
        if deed is not None:
            press = deed.own if deed.shared else None
            asked = replace(asked, question=deed.question, press=press, alone=True, private=True)
        whole = asked if before is None else await self.off_loop(in_reply, asked, before, self.shelf, self._ledger)
        if isinstance(whole, Reply):
            return whole
        reply = await self._desk.ask_soon(whole)
        if reply.kind == "forgotten":
            await self.off_loop(self.names.forget, speaker.where, speaker.account)
        return reply

    async def _shown(self, reply: Reply, where: str, asked: str, form: Offer | None = None) -> Shown:
        drawn = await self._studio.drawn(reply)
        offers = [(offer, await self._id(where, offer)) for offer in offers_of(reply, asked, form)]
        return Shown(reply, tuple((offer, id) for offer, id in offers if id is not None), drawn)

    async def _id(self, where: str, offer: Offer) -> str | None:
        """Its custom id; none while the record cannot keep it, and the answer goes without that button."""
        id = plain_id(offer)
        try:
            return await self.off_loop(self.shelf.id_of, where, offer) if id is None else id
        except LedgerError as error:
            log.error("ledger: %s", error)
            return None
