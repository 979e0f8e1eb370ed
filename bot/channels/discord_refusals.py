"""What is wrong with a slash command before it is a message: an old command, or a number out of bounds."""

from __future__ import annotations

from typing import Any

import discord
from discord import AppCommandOptionType, app_commands

from bot.channels.discord_said import OLD_COMMAND
from bot.reply import Reply

_NUMBERS = (AppCommandOptionType.integer, AppCommandOptionType.number)


class OutOfBounds(app_commands.CheckFailure):
    """An option beyond what its description allows. The usual clients send none, so nothing else looks."""

    def __init__(self, option: app_commands.Parameter, value: float) -> None:
        low, high = option.min_value, option.max_value
        super().__init__(f"{option.display_name} lies between {_said(low)} and {_said(high)}, got {_said(value)}")


def _said(number: float | None) -> str:
    """A number without needless decimals."""
    return f"{number:,}".removesuffix(".0")


async def within_bounds(interaction: discord.Interaction[Any]) -> bool:
    """A check of every command: each number is one that its option may have."""
    assert isinstance(interaction.command, app_commands.Command)
    for option in interaction.command.parameters:
        value = getattr(interaction.namespace, option.display_name) if option.type in _NUMBERS else None
        if value is not None and not (option.min_value or 0) <= value <= (option.max_value or value):
            raise OutOfBounds(option, value)
    return True


def refusal_of(error: app_commands.AppCommandError) -> Reply | None:
    """What the asker is told of an error that is no bug."""
    if isinstance(error, app_commands.CommandNotFound | app_commands.CommandSignatureMismatch):
        return OLD_COMMAND
    return Reply("misread", str(error)) if isinstance(error, OutOfBounds) else None
