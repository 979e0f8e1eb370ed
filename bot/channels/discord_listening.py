"""What is said to the umpire: which messages are meant for it, and their words without the marks of the chat."""

from __future__ import annotations

import logging
import re
from collections.abc import Callable, Mapping
from typing import Any

import discord

from bot.channels import discord_said
from bot.channels.discord_marks import without_slash
from bot.channels.discord_names import MENTION
from bot.channels.discord_persist import LET_DOWN, Sleep, persist
from bot.ledger import Memory
from bot.reply import Reply

log = logging.getLogger(__name__)

LISTENING = "listening\n"  # where a channel's setting is remembered; no person can be called so
MOST_ROSTER_BYTES = 20_000
_ROSTER_FILE = re.compile(r".*\.(?:ya?ml|txt)", re.IGNORECASE)
_LISTEN = re.compile(
    r"(?:please )?(?:listen(?: here)?(?: on| (?P<off>off))?|(?P<no>stop|do not|don't) listen(?:ing)?(?: here)?)[.! ]*",
    re.IGNORECASE,
)
_CODE = re.compile(r"^`([^`\n]+)`$|^```(?:\w*\n)?(.+?)```$", re.DOTALL)

Opens = Callable[[str, str], bool]


class Listening:
    """Which channels have opted in to plain messages. `opens` tells whether one, there, is meant for the umpire."""

    def __init__(self, memory: Memory, opens: Opens) -> None:
        self._memory, self._opens = memory, opens
        self._on: dict[str, bool] = {}

    def on(self, where: str) -> bool:
        """Whether the channel has opted in."""
        if where not in self._on:
            self._on[where] = bool(self._memory.recall(where, LISTENING).get("on"))
        return self._on[where]

    def turn(self, where: str, on: bool) -> None:
        """Opt in or out."""
        self._memory.remember(where, LISTENING, {"on": on})
        self._on[where] = on

    def meant(self, where: str, text: str) -> bool:
        """Whether a plain message of table talk is one to act on."""
        return bool(text) and self.on(where) and self._opens(text, where)


def direct(message: discord.Message) -> bool:
    """Whether it was said to the umpire alone; a server that is not known yet is a server all the same."""
    return message.guild is None and getattr(message.channel, "guild_id", None) is None


def addressed(message: discord.Message, me: int) -> bool:
    """A direct message, a mention, or a reply to something the umpire said."""
    if direct(message):
        return True
    if any(person.id == me for person in message.mentions) or _own_role(message) is not None:
        return True
    before = message.reference.resolved if message.reference is not None else None
    return isinstance(before, discord.Message) and before.author.id == me


def _own_role(message: discord.Message) -> discord.Role | None:
    """The role that the service made for the umpire, if it is mentioned: it is called as the umpire is."""
    own = None if message.guild is None else message.guild.self_role
    return own if own in message.role_mentions else None


def content(message: discord.Message, me: int) -> str:
    """What the message says, with the umpire mentioned for its role."""
    role = _own_role(message)
    return message.content if role is None else message.content.replace(role.mention, f"<@{me}>")


def table_talk(message: discord.Message, me: discord.abc.User | None, reply: Reply) -> bool:
    """Whether what nobody addressed to the umpire turns out to be no matter of its: a question that no rule answers."""
    return reply.kind == "unknown" and (me is None or not addressed(message, me.id))


def words(content: str, me: int, names: Mapping[int, str]) -> str:
    """The message without the umpire's own mention, other mentions by name, code marks and a typed slash taken off."""

    def said(match: re.Match[str]) -> str:
        account = int(match[1])
        return "" if account == me else names.get(account, match[0])

    text = MENTION.sub(said, content).strip(" \t\n,:")
    code = _CODE.match(text)
    return without_slash(text if code is None else (code[1] or code[2]).strip())


def wish(text: str) -> bool | None:
    """Whether the message asks to listen to plain messages, or no longer to; None if it is about something else."""
    match = _LISTEN.fullmatch(text)
    return None if match is None else match["off"] is None and match["no"] is None


def roster_file(message: discord.Message) -> discord.Attachment | None:
    """The roster that the message brings as a file, if it brings one."""
    for attachment in message.attachments:
        if _ROSTER_FILE.fullmatch(attachment.filename):
            return attachment
    return None


def wordless(message: discord.Message) -> str | Reply:
    """What a message without words for the umpire asks, or what to say of it; a bare mention asks for help."""
    pictures = message.attachments or message.stickers
    if not message.content and not (pictures and direct(message)):
        return discord_said.UNREADABLE
    return discord_said.PICTURE_ONLY if pictures else "help"


async def with_file(text: str, message: discord.Message, me: discord.abc.User | None, sleep: Sleep) -> str | Reply:
    """The message to the umpire with its roster file written out, or what is wrong with the file."""
    file = roster_file(message)
    if file is None or me is None or not addressed(message, me.id):
        return text
    if file.size > MOST_ROSTER_BYTES:
        return discord_said.too_large(file.filename, file.size, MOST_ROSTER_BYTES)
    try:
        body = await persist(file.read, sleep)
    except (discord.HTTPException, *LET_DOWN) as error:
        log.warning("a roster file could not be fetched: %s", error)
        return discord_said.unfetched(file.filename)
    return with_roster(text, body, file.filename)


def with_roster(text: str, body: bytes, name: str) -> str:
    """The message with its file written out below a remark that names it."""
    return f"{text or 'roster'}\n# {' '.join(name.split())}\n{body.decode('utf-8', errors='replace')}"


def moderates(channel: Any, person: discord.abc.User) -> bool:
    """Whether the person may remove other people's messages there: that is a moderator."""
    if not isinstance(person, discord.Member):
        return False
    try:
        return bool(channel.permissions_for(person).manage_messages)
    except (discord.ClientException, AttributeError):
        return False
