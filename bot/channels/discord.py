"""The Discord channel: the client and its events. Each event becomes a message for the umpire, or is let be.

Only what is addressed to the umpire is answered; table talk is left alone. One message gets one answer.
"""

from __future__ import annotations

import asyncio
import logging
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from weakref import WeakValueDictionary

import discord
from discord.ext import commands

from bot.app import apology, trouble
from bot.channels import discord_listening as listening
from bot.channels import discord_said as said
from bot.channels.discord_commands import COMMANDS
from bot.channels.discord_counter import Deed, Speaker
from bot.channels.discord_gateway import connect_patiently, wait_for_a_start
from bot.channels.discord_lenient import listen_leniently
from bot.channels.discord_marks import spelled_out
from bot.channels.discord_missed import PLAYED, missed
from bot.channels.discord_offers import Act, Offer
from bot.channels.discord_pace import Paces, Seen, Turn, Turns
from bot.channels.discord_persist import LET_DOWN, persist, refused_for_good
from bot.channels.discord_refusals import refusal_of
from bot.channels.discord_replying import before
from bot.channels.discord_room import Asking, Room, channel_of, place, where_of
from bot.channels.discord_sending import Sender
from bot.channels.discord_shown import NO_MENTIONS, Shown
from bot.channels.discord_slash_text import asks
from bot.channels.discord_views import filled_in, form_of, pressed
from bot.ledger import LedgerError
from bot.reply import Reply

log = logging.getLogger(__name__)

SAID = (discord.MessageType.default, discord.MessageType.reply)


class Once(discord.app_commands.CommandTree["Umpire"]):
    """Commands and completions, each taken up when it is first delivered."""

    async def interaction_check(self, interaction: Asking, /) -> bool:
        return self.client.seen.first(interaction.id)


class Umpire(commands.AutoShardedBot):
    """One client for all servers. `options` go to the library (tests shorten its waits)."""

    def __init__(self, room: Room, **options: Any) -> None:
        intents = discord.Intents.none()
        intents.guilds = intents.guild_messages = intents.dm_messages = True
        intents.message_content = room.settings.plain_messages
        super().__init__(
            command_prefix=commands.when_mentioned,
            tree_cls=Once,
            help_command=None,
            intents=intents,
            allowed_mentions=NO_MENTIONS,
            chunk_guilds_at_startup=False,
            member_cache_flags=discord.MemberCacheFlags.none(),
            max_messages=None,
            shard_count=room.settings.shards,
            **options,
        )
        self.room, self.counter, self.sender = room, room.counter, Sender(room.sleep)
        self.seen: Seen[int, Shown] = Seen()
        self.refusals: Seen[tuple[str, int], None] = Seen()
        self.turns = Turns()
        self.people, self.places = Paces(room.settings.person), Paces(room.settings.channel)
        self.queues: WeakValueDictionary[int, asyncio.Lock] = WeakValueDictionary()
        self.leaving = False
        self.answered = self.busy = 0
        self.idle = asyncio.Event()
        self.idle.set()
        connect_patiently(self, room.sleep)
        listen_leniently(self)
        self.tree.error(self.on_command_error_)
        for command in COMMANDS:
            self.tree.add_command(command)

    async def setup_hook(self) -> None:
        """Register the commands; the service keeps them, so a refusal must not keep the umpire away. Then connect,
        once nobody need wait for an answer.
        """
        try:
            await persist(self.tree.sync, self.room.sleep)
        except (discord.HTTPException, *LET_DOWN) as error:
            log.error("the slash commands could not be registered: %s", error)
        await self.room.ready()
        await wait_for_a_start(self, self.room.sleep)

    async def on_ready(self) -> None:
        log.info("ready in %d servers on %d shards", len(self.guilds), len(self.shards))

    async def on_shard_ready(self, shard: int) -> None:
        """A session has begun anew: what was said before it, and had no answer, is answered now."""
        if self.leaving:
            return
        with self.working():
            try:
                places = await self.counter.off_loop(self.room.played, PLAYED)
            except LedgerError as error:
                log.error("ledger: %s", error)
                return
            channels = [id for id in map(channel_of, places) if id is not None]
            await asyncio.gather(*(self._catch_up(id, shard) for id in channels))

    async def _catch_up(self, channel: int, shard: int) -> None:
        """What is said in the channel now waits until what was said before has been answered."""
        async with self._queue(channel):
            for message in await missed(self, channel, shard, self.room.now(), self.room.sleep):
                if self._is_said(message):
                    await self._heard(message, place(channel), self.room.clock())

    @contextmanager
    def working(self) -> Iterator[None]:
        """Counts what is being answered, so that closing can wait for it."""
        self.busy += 1
        self.idle.clear()
        try:
            yield
        finally:
            self.busy -= 1
            if not self.busy:
                self.idle.set()

    # messages

    async def on_message(self, message: discord.Message, /) -> None:
        """Answer what is addressed to the umpire, in words or with a roster file."""
        assert self.user is not None
        if self.leaving or not self._is_said(message):
            return
        arrived = self.room.clock()
        with self.working():
            async with self._queue(message.channel.id):
                await self._heard(message, place(message.channel.id), arrived)

    @staticmethod
    def _is_said(message: discord.Message) -> bool:
        """Whether a person said it."""
        return not message.author.bot and message.webhook_id is None and message.type in SAID

    def _queue(self, channel: int) -> asyncio.Lock:
        """The messages of one channel are answered one after the other, in their order."""
        return self.queues.setdefault(channel, asyncio.Lock())

    async def _heard(self, message: discord.Message, where: str, arrived: float) -> None:
        try:
            answer = self.seen.answer(message.id)
            if answer is None:
                await self._heard_first(message, where, arrived)
            else:  # delivered again: the service drops what it has
                await self.sender.post(message.channel, answer, message.id, message)
        except LedgerError as error:
            await self.sender.apologize(trouble(error), message)
        except (discord.HTTPException, *LET_DOWN) as error:
            self._unposted(message, where, error)

    def _unposted(self, message: discord.Message, where: str, error: Exception) -> None:
        """A place that takes no messages is told of once; anything else may go better if the message comes again."""
        if not refused_for_good(error):
            self.seen.unanswered(message.id)
            log.error("an answer in %s could not be posted: %s", where, error)
        elif self.refusals.first((where, getattr(error, "code", 0))):
            log.warning("may not write in %s: %s", where, error)

    async def _heard_first(self, message: discord.Message, where: str, arrived: float) -> None:
        text = await self._words(message, where)
        if text is None or not self.seen.first(message.id):
            return
        shown = await self._answer(message, text, where, arrived)
        if shown is not None and not listening.table_talk(message, self.user, shown.reply):
            await self.sender.post(message.channel, shown, message.id, message)
            self.seen.answered(message.id, shown.in_words())
            self.answered += 1

    async def _words(self, message: discord.Message, where: str) -> str | None:
        """The words meant for the umpire; None for anything that is none of its business."""
        assert self.user is not None
        addressed = listening.addressed(message, self.user.id)
        if not addressed and not await self.counter.off_loop(self.room.listening.on, where):
            return None
        speakers = [Speaker(person.id, person.display_name, where) for person in message.mentions]
        names = {who.account: await self.counter.name(who) for who in speakers if who.account != self.user.id}
        content = spelled_out(listening.content(message, self.user.id), message.guild)
        text = listening.words(content, self.user.id, names)
        return text if addressed or await self.counter.off_loop(self.room.listening.meant, where, text) else None

    async def _answer(self, message: discord.Message, text: str, where: str, arrived: float) -> Shown | None:
        turn = self._turn(message.author.id, message.channel.id, arrived)
        if turn is not Turn.GO:
            return Shown(said.SLOW_DOWN) if turn is Turn.SLOW_DOWN else None
        whole = await listening.with_file(text, message, self.user, self.room.sleep) or listening.wordless(message)
        if isinstance(whole, Reply):
            return Shown(whole)
        speaker = self._speaker(message)
        wish = listening.wish(text)
        if wish is not None:
            return Shown(await self._set_listening(where, wish, speaker.moderator, listening.direct(message)))
        return await self.counter.answer(whole, speaker, f"message {message.id}", before(message, self.user))

    def _speaker(self, message: discord.Message) -> Speaker:
        author = message.author
        moderator = listening.moderates(message.channel, author)
        return Speaker(author.id, author.display_name, place(message.channel.id), moderator)

    def _turn(self, person: int, channel: int, now: float) -> Turn:
        turn = self.people.turn(person, now)
        return self.places.turn(channel, now) if turn is Turn.GO else turn

    # interactions

    async def on_interaction(self, interaction: Asking) -> None:
        """Buttons, selects and forms; commands arrive through the command tree.

        One that is delivered again is let be: its answer was due within seconds, so it has it, or can no longer get it.
        """
        if interaction.type not in (discord.InteractionType.component, discord.InteractionType.modal_submit):
            return
        if not self.seen.first(interaction.id):
            return
        data: Any = interaction.data or {}
        id = pressed(data)
        offer = await self.counter.off_loop(self.counter.shelf.offer, where_of(interaction), id)
        if offer is None:
            await self.sender.tell(interaction, said.TOO_OLD)
        elif interaction.type is discord.InteractionType.modal_submit:
            words = f"{offer.text} with dice {filled_in(data)}" if offer.act is Act.OWN_DICE else filled_in(data)
            await self._press(interaction, words, offer, id)
        elif offer.act is not Act.SAY:
            await self.sender.open_form(interaction, form_of(offer, id))
        else:
            await self._press(interaction, offer.text, offer, id)

    async def _press(self, interaction: Asking, text: str, offer: Offer, id: str) -> None:
        """Say what a button, select or form makes; what is to happen once has one event, whoever presses."""
        message = interaction.message.id if interaction.message is not None else interaction.id
        shared = offer.shared_event(message, id)
        text = spelled_out(text, interaction.guild)
        form = None if offer.act is Act.SAY else offer
        public, question = not asks(text), offer.question
        await self._run(interaction, Deed(text, interaction.id, public, True, shared, question, form))

    async def say(self, interaction: Asking, text: str, *, public: bool = False) -> None:
        """Answer a command as if its person had typed the message."""
        await self._run(interaction, Deed(spelled_out(text, interaction.guild), interaction.id, public))

    async def _run(self, interaction: Asking, deed: Deed) -> None:
        if self.leaving:
            await self.sender.tell(interaction, said.CLOSING)
            return
        where = where_of(interaction)
        with self.working(), self.turns.turn(f"{where} {deed.event}") as before:
            if self._turn(interaction.user.id, interaction.channel_id or 0, self.room.clock()) is not Turn.GO:
                await self.sender.tell(interaction, said.SLOW_DOWN)
                return
            coming = asyncio.create_task(self.counter.answer_deed(deed, self._asker(interaction), before))
            told = await self.sender.answer(interaction, coming, not deed.public or before is not None)
            if told and not coming.result()[1]:
                await self.counter.seen_by_all(deed, where)
            self.answered += 1

    def _asker(self, interaction: Asking) -> Speaker:
        user = interaction.user
        moderator = interaction.guild_id is not None and interaction.permissions.manage_messages
        return Speaker(user.id, user.display_name, where_of(interaction), moderator)

    async def suggested(self, interaction: Asking, kind: str, typed: str) -> list[str]:
        """Completions for an option that is being typed."""
        suggest, where = self.room.suggest, where_of(interaction)
        if kind == "terms":
            return await self.counter.off_loop(suggest.terms, typed)
        by_kind = {"units": suggest.units, "attacks": suggest.attacks}
        return await self.counter.off_loop(by_kind.get(kind, suggest.openings), where, typed)

    async def set_listening(self, interaction: Asking, on: bool) -> None:
        """Opt a channel in to plain messages, or out: moderators only."""
        allowed, direct = self._asker(interaction).moderator, interaction.guild_id is None
        await self.sender.tell(interaction, await self._set_listening(where_of(interaction), on, allowed, direct))

    async def _set_listening(self, where: str, on: bool, allowed: bool, direct: bool) -> Reply:
        if direct or not allowed:
            return said.ALL_HEARD if direct else said.NOT_YOURS
        await self.counter.off_loop(self.room.listening.turn, where, on)
        return said.listening(on, self.intents.message_content)

    # what should not happen

    async def on_error(self, event_method: str, /, *args: Any, **kwargs: Any) -> None:
        """A bug in the channel itself: the trace goes to the log, the apology to where it happened."""
        error = sys.exc_info()[1]
        assert error is not None
        await self.sender.apologize(apology(error, self.room.reference()), args[0] if args else None)

    async def on_command_error_(self, interaction: Asking, error: discord.app_commands.AppCommandError) -> None:
        refusal = refusal_of(error)
        if refusal is not None:
            await self.sender.tell(interaction, refusal)
        else:
            bug: BaseException = getattr(error, "original", error)
            await self.sender.apologize(apology(bug, self.room.reference()), interaction)
