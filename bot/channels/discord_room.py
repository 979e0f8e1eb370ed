"""What the client stands on, and what the places it hears from are called in the record."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Any

import discord

from bot.channels.discord_counter import Counter
from bot.channels.discord_listening import Listening
from bot.channels.discord_persist import Sleep
from bot.settings import Discord
from bot.suggest import Suggest

Asking = discord.Interaction[Any]


@dataclass(frozen=True)
class Room:
    """Everything that the client stands on, built by the composition root. `ready` waits until it answers at once."""

    settings: Discord
    counter: Counter
    listening: Listening
    suggest: Suggest
    clock: Callable[[], float]
    sleep: Sleep
    ready: Callable[[], Awaitable[None]]
    reference: Callable[[], str]


def place(channel: int) -> str:
    """The name of a channel in the record."""
    return f"discord:{channel}"


def where_of(interaction: Asking) -> str:
    """The place of an interaction in the record."""
    if interaction.channel_id is None:
        return f"discord:of {interaction.user.id}"  # a channel that the service did not name is nobody else's
    return place(interaction.channel_id)
