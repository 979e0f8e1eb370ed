"""The chat's marks for channels, roles, commands and small pictures, spelled out as the chat shows them."""

from __future__ import annotations

import re

import discord

_MARK = re.compile(
    r"<(?:#(?P<channel>\d{1,20})|@&(?P<role>\d{1,20})"
    r"|(?P<command>/[^:<>]{1,100}):\d{1,20}|a?(?P<picture>:\w{1,32}:)\d{1,20})>"
)


def spelled_out(text: str, server: discord.Guild | None) -> str:
    """The text with names for marks; what the server does not know is called by its kind."""

    def said(match: re.Match[str]) -> str:
        if match["channel"]:
            channel = server and server.get_channel_or_thread(int(match["channel"]))
            return f"#{channel.name if channel else 'channel'}"
        if match["role"]:
            role = server and server.get_role(int(match["role"]))
            return f"@{role.name.removeprefix('@') if role else 'role'}"
        return match["command"] or match["picture"]

    return _MARK.sub(said, text)
