"""What the client stands on, and what the places it hears from are called in the record."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import discord

from bot.channels.discord_counter import Counter
from bot.channels.discord_listening import Listening
from bot.channels.discord_persist import Sleep
from bot.settings import Discord
from bot.suggest import Suggest

Asking = discord.Interaction[Any]

_CHAT = "discord:"


@dataclass(frozen=True)
class Room:
    """Everything that the client stands on, built by the composition root.

    `clock` counts seconds, `now` tells the time. `ready` waits until it answers at once. `played` tells the places
    where the last thing was recorded no longer ago than that.
    """

    settings: Discord
    counter: Counter
    listening: Listening
    suggest: Suggest
    played: Callable[[timedelta], Sequence[str]]
    clock: Callable[[], float]
    now: Callable[[], datetime]
    sleep: Sleep
    ready: Callable[[], Awaitable[None]]
    reference: Callable[[], str]


def place(channel: int) -> str:
    """The name of a channel in the record."""
    return f"{_CHAT}{channel}"


def channel_of(where: str) -> int | None:
    """The channel that is called so in the record; None for a place that is none."""
    name = where.removeprefix(_CHAT)
    return int(name) if where.startswith(_CHAT) and name.isdigit() else None


def where_of(interaction: Asking) -> str:
    """The place of an interaction in the record."""
    if interaction.channel_id is None:
        return f"{_CHAT}of {interaction.user.id}"  # a channel that the service did not name is nobody else's
    return place(interaction.channel_id)
