"""The chat's marks: emphasis is taken off, channels, roles and commands are spelled out as the chat shows them."""

from __future__ import annotations

import re

import discord

_MARK = re.compile(
    r"<(?:#(?P<channel>\d{1,20})|@&(?P<role>\d{1,20})"
    r"|(?P<command>/[^:<>]{1,100}):\d{1,20}|(?P<picture>a?:\w{1,32}:)\d{1,20})>"
)
# Code is left as it is; marks count only where they enclose words ("2*3" and "low_ferry" have none).
_EMPHASIS = re.compile(
    r"(?P<code>```.*?```|`[^`\n]+`)"
    r"|(?<![\w\\*_|~])(?P<mark>\*{1,3}|_{1,3}|\|\||~~)(?=[^\s*_|~]|[*_|~]+[^\s*_|~])(?P<words>.+?)(?<=\S)(?P=mark)(?!\w)",
    re.DOTALL,
)
_DEEPEST = 4  # marks within marks
_SLASH = re.compile(r"/(?P<verb>[a-z]+(?:-[a-z]+)*)(?=\s|$)", re.IGNORECASE)


def spelled_out(text: str, server: discord.Guild | None) -> str:
    """The text with names for marks; what the server does not know is called by its kind, small pictures are not."""

    def said(match: re.Match[str]) -> str:
        if match["channel"]:
            channel = server and server.get_channel_or_thread(int(match["channel"]))
            return f"#{channel.name if channel else 'channel'}"
        if match["role"]:
            role = server and server.get_role(int(match["role"]))
            return f"@{role.name.removeprefix('@') if role else 'role'}"
        return match["command"] or " "

    return _MARK.sub(said, unmarked(text))


def unmarked(text: str) -> str:
    """The text without the marks of emphasis round its words."""
    for _ in range(_DEEPEST):
        plainer = _EMPHASIS.sub(lambda match: match["code"] or match["words"], text)
        if plainer == text:
            break
        text = plainer
    return text


def without_slash(text: str) -> str:
    """A command typed as text ("/roll-off") as the message that it stands for."""
    return _SLASH.sub(lambda match: match["verb"].replace("-", " "), text, count=1) if text.startswith("/") else text
