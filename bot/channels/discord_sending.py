"""Putting an answer where it belongs: a message in the channel, or the answer to an interaction; never twice."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from contextlib import suppress
from enum import Enum
from functools import partial
from typing import Any

import discord

from bot.channels import discord_said as said
from bot.channels.discord_persist import LET_DOWN, Sleep, in_time, persist
from bot.channels.discord_shown import Shown
from bot.reply import Reply

log = logging.getLogger(__name__)

# The service's codes: this interaction was answered before, and one may not reply where one may not read.
ALREADY_ANSWERED, NO_HISTORY = 40060, 160002
PATIENCE = 0.25  # seconds that an interaction waits for its answer before it is deferred
FIRST_ANSWER = 2.5  # seconds that are left for a first answer then; it is due after three
UNHEARD_OF = (1.0, 2.0)  # seconds after which a first answer that may have been taken is looked for again


class Taken(Enum):
    """What became of a first answer: the service took it, refused it, or was not heard of in time."""

    YES = ()
    NO = None
    PERHAPS = UNHEARD_OF


class Sender:
    """Sends and sends again. `sleep` is how pauses are made."""

    def __init__(self, sleep: Sleep) -> None:
        self._sleep = sleep

    async def post(self, channel: Any, shown: Shown, event: int, reply_to: discord.Message | None = None) -> None:
        """Post the answer in a channel, in reply to a message."""
        allowed = permissions(channel)
        if shown.has_files and allowed is not None and not allowed.attach_files:
            shown = shown.without_files()
        if allowed is not None and not allowed.read_message_history:
            reply_to = None
        for part in range(len(shown.said)):
            first = reply_to if part == 0 else None
            await self._post(channel, shown, part, f"{event}-{part}", first)

    async def _post(self, channel: Any, shown: Shown, part: int, nonce: str, reply_to: discord.Message | None) -> None:
        """Post one message; what the place does not permit (a reply, a file) is left out.

        The nonce keeps the service from taking the message twice when an attempt got through unheard.
        """
        try:
            await persist(lambda: channel.send(**_posted(shown, part, nonce, reply_to)), self._sleep)
        except discord.HTTPException as error:
            plain, plainly_to = _more_plainly(error, shown, reply_to)
            if (plain, plainly_to) == (shown, reply_to) or part >= len(plain.said):
                raise
            log.info("posting more plainly, since it was refused: %s", error)
            await self._post(channel, plain, part, f"{nonce}p", plainly_to)

    async def answer(
        self, interaction: discord.Interaction, coming: asyncio.Task[tuple[Shown, bool]], private: bool
    ) -> bool:
        """Answer an interaction with what is coming, deferring early; `private` is the guess while it comes.

        Returns whether the answer was given.
        """
        done, _ = await asyncio.wait([coming], timeout=PATIENCE)
        deferred = Taken.NO if done else await self._defer(interaction, private)
        shown, really_private = await coming
        try:
            if not _may_attach(interaction):
                shown = shown.without_files()
            if deferred is Taken.NO:
                await self._at_once(interaction, shown, really_private)
            elif private is really_private:
                await self._complete(interaction, shown, private, deferred)
            else:
                return await self._anew(interaction, shown, really_private, deferred)
        except (discord.HTTPException, discord.InteractionResponded, *LET_DOWN) as error:
            return await self._instead(interaction, shown, really_private, error)
        return True

    async def open_form(self, interaction: discord.Interaction, form: discord.ui.Modal) -> None:
        """Answer an interaction with a form."""
        await self._first(lambda: interaction.response.send_modal(form))

    async def tell(self, interaction: discord.Interaction, reply: Reply) -> None:
        """A short word to the asker alone."""
        try:
            await in_time(lambda: _at_once(interaction, Shown(reply), True), self._sleep, FIRST_ANSWER)
        except (discord.HTTPException, discord.InteractionResponded, *LET_DOWN) as error:
            log.warning("an interaction could not be told %r: %s", reply.title, error)

    async def apologize(self, reply: Reply, subject: object) -> None:
        """An apology where the trouble happened."""
        try:
            if isinstance(subject, discord.Message):
                await self.post(subject.channel, Shown(reply), subject.id, subject)
            elif isinstance(subject, discord.Interaction) and subject.response.is_done():
                await self._follow(subject, Shown(reply), 0, True)
            elif isinstance(subject, discord.Interaction):
                await self.tell(subject, reply)
        except (discord.HTTPException, *LET_DOWN) as unsaid:
            log.warning("an apology could not be posted: %s", unsaid)

    async def _defer(self, interaction: discord.Interaction, private: bool) -> Taken:
        try:
            await self._first(lambda: interaction.response.defer(ephemeral=private, thinking=True))
        except LET_DOWN as error:
            log.warning("whether an interaction is deferred is not known (%s: %s)", type(error).__name__, error)
            return Taken.PERHAPS
        except discord.HTTPException as error:
            log.warning("an interaction could not be deferred: %s", error)
            return Taken.NO
        return Taken.YES

    async def _first(self, call: Callable[[], Awaitable[Any]]) -> bool:
        """A first answer; False if the service has one: an attempt got through whose answer was lost, or one was made
        before a restart."""
        try:
            await in_time(call, self._sleep, FIRST_ANSWER)
        except discord.HTTPException as error:
            if error.code != ALREADY_ANSWERED:
                raise
            return False
        return True

    async def _at_once(self, interaction: discord.Interaction, shown: Shown, private: bool) -> None:
        try:
            had = not await self._first(lambda: _at_once(interaction, shown, private))
        except LET_DOWN as error:
            log.warning("whether an interaction is answered is not known (%s: %s)", type(error).__name__, error)
            await self._complete(interaction, shown, private, Taken.PERHAPS)
            return
        if had:
            await self._fill_in(interaction, shown)
        await self._follow_up(interaction, shown, private)

    async def _fill_in(self, interaction: discord.Interaction, shown: Shown) -> None:
        """Make sure that an answer which the service has says this, and is no deferral from before a restart."""
        try:
            await self._edit(interaction, shown, Taken.YES)
        except (discord.HTTPException, *LET_DOWN) as error:
            log.info("an answer given before could not be filled in: %s", error)

    async def _complete(self, interaction: discord.Interaction, shown: Shown, private: bool, taken: Taken) -> None:
        """Let the first answer say this, and the rest follow."""
        await self._edit(interaction, shown, taken)
        await self._follow_up(interaction, shown, private)

    async def _edit(self, interaction: discord.Interaction, shown: Shown, taken: Taken) -> None:
        arguments = partial(shown.arguments, 0)
        await self._persist_on(taken, lambda: interaction.edit_original_response(**_as_edit(arguments())))

    async def _persist_on(self, taken: Taken, call: Callable[[], Awaitable[Any]]) -> None:
        """A call about a first answer; one that is not there may be on its way if the service was not heard of."""
        for pause in taken.value or ():
            try:
                await persist(call, self._sleep)
            except discord.NotFound:
                await self._sleep(pause)
            else:
                return
        await persist(call, self._sleep)

    async def _anew(self, interaction: discord.Interaction, shown: Shown, private: bool, deferred: Taken) -> bool:
        """Answer beside a deferral that others see than may see the answer; returns whether it was given."""
        with suppress(discord.NotFound):  # an attempt got through whose answer was lost
            await self._persist_on(deferred, interaction.delete_original_response)
        try:
            await self._follow(interaction, shown.in_one(), 0, private)
        except LET_DOWN as error:
            return await self._instead(interaction, shown, True, error)
        return True

    async def _follow_up(self, interaction: discord.Interaction, shown: Shown, private: bool) -> None:
        """The rest of an answer; after a message that may have been taken the first one says all, and no more come."""
        for part in range(1, len(shown.said)):
            try:
                await self._follow(interaction, shown, part, private)
            except LET_DOWN as error:
                log.warning("whether an answer is complete is not known (%s: %s)", type(error).__name__, error)
                await self._edit(interaction, shown.in_one(), Taken.YES)
                return

    async def _follow(self, interaction: discord.Interaction, shown: Shown, part: int, private: bool) -> None:
        """Send a message behind the first answer. It has no nonce, and the service would take it twice."""

        async def send() -> None:
            await interaction.followup.send(**shown.arguments(part), ephemeral=private, suppress_embeds=True)

        await persist(send, self._sleep, once=True)

    async def _instead(self, interaction: discord.Interaction, shown: Shown, private: bool, error: Exception) -> bool:
        """An interaction that can no longer be answered: what all may see is posted in its channel, if that can be.

        Of anything else the asker is told there that it was not answered.
        """
        log.warning("interaction %s could not be answered: %s", interaction.id, error)
        if interaction.channel is None:
            return False
        instead = Shown(said.unheard(interaction.user.display_name)) if private else shown
        try:
            await self.post(interaction.channel, instead, interaction.id)
        except (discord.HTTPException, *LET_DOWN) as unsaid:
            log.warning("nor could that be posted: %s", unsaid)
            return False
        return not private


async def _at_once(interaction: discord.Interaction, shown: Shown, private: bool) -> None:
    """The first answer to an interaction as a message."""
    await interaction.response.send_message(**shown.arguments(0), ephemeral=private, suppress_embeds=True)


def _more_plainly(
    error: discord.HTTPException, shown: Shown, reply_to: discord.Message | None
) -> tuple[Shown, discord.Message | None]:
    """What may be posted where this was refused; the same if nothing that could be left out was the reason."""
    if error.code == NO_HISTORY:
        return shown, None
    if error.status in (400, 403) and shown.has_files:
        shown = shown.without_files()
    return shown, None if error.status == 400 else reply_to


def _posted(shown: Shown, part: int, nonce: str, reply_to: discord.Message | None) -> dict[str, Any]:
    """The arguments of one message of an answer as it is posted in a channel."""
    arguments = {**shown.arguments(part), "nonce": nonce, "suppress_embeds": True}
    if reply_to is not None:
        arguments |= {"reference": reply_to.to_reference(fail_if_not_exists=False), "mention_author": False}
    return arguments


def _as_edit(arguments: dict[str, Any]) -> dict[str, Any]:
    """The arguments of a new message as those of an edited one."""
    files = arguments.pop("files", None)
    return arguments if files is None else arguments | {"attachments": files}


def _may_attach(interaction: discord.Interaction) -> bool:
    allowed = interaction.app_permissions
    return interaction.guild_id is None or not allowed.value or allowed.attach_files


def permissions(channel: Any) -> discord.Permissions | None:
    """What the bot may do in a channel that it hears; None where that is not known."""
    guild = getattr(channel, "guild", None)
    if guild is None or guild.me is None or isinstance(channel, discord.PartialMessageable):
        return None
    try:
        found = channel.permissions_for(guild.me)
    except (discord.ClientException, AttributeError):
        return None
    return found if isinstance(found, discord.Permissions) and found.view_channel else None
