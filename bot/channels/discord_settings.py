"""Where the channel connects and with what: the environment over the settings file, looked over before it is used."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from urllib.parse import urlsplit

from bot.settings import Discord
from resolver.refused import Refused

TOKEN, URL, SHARDS, LEVEL = "DISCORD_TOKEN", "DRUMHEAD_DISCORD_URL", "DRUMHEAD_SHARDS", "DRUMHEAD_LOG"
LEVELS = ("debug", "info", "warning", "error")
QUOTES = "\"'`\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}"
_TOKEN = re.compile(r"[\w.-]+", re.ASCII)
_HOST = re.compile(r"[\w.:-]+")


class SettingsError(Exception):
    """A setting that cannot be used; the message says which, why, and what would do."""


@dataclass(frozen=True)
class Service:
    """Addresses of the service: REST, gateway, and where pictures of people live."""

    rest: str
    gateway: str
    assets: str


def token_of(environment: Mapping[str, str]) -> str:
    """The bot's token; it is never part of a complaint."""
    token = environment.get(TOKEN, "").strip()
    if not token:
        raise SettingsError(f"{TOKEN} is not set; the page docs/hosting.md says where the token comes from")
    if token.lower().startswith("bot "):
        raise SettingsError(f'{TOKEN} begins with "Bot "; leave that word out')
    if token[0] in QUOTES or token[-1] in QUOTES:
        raise SettingsError(f"{TOKEN} stands in quotes; leave them out")
    if _TOKEN.fullmatch(token) is None:
        raise SettingsError(f"{TOKEN} contains blanks or characters no token has; copy it again")
    if not any(map(str.isalnum, token)):
        raise SettingsError(f"{TOKEN} is only a mark in the place of a token; put the token there")
    return token


def service_of(environment: Mapping[str, str]) -> Service | None:
    """Another address than the usual one, for a proxy: REST at URL/api/v10, gateway under /gateway/."""
    url = environment.get(URL, "").strip().rstrip("/")
    if not url:
        return None
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError as error:
        raise SettingsError(f"{URL} is not an address: {error}") from None
    host = parts.hostname or ""
    if parts.scheme not in ("http", "https") or not _HOST.fullmatch(host) or parts.query or parts.fragment:
        raise SettingsError(f"{URL} is an address such as http://localhost:8080, got {url!r}")
    if parts.username or parts.password:
        raise SettingsError(f"{URL} holds no name and no password")
    scheme = "wss" if parts.scheme == "https" else "ws"
    host = f"[{host}]" if ":" in host else host
    at = host if port is None else f"{host}:{port}"
    return Service(f"{url}/api/v10", f"{scheme}://{at}/gateway/", url)


def with_environment(settings: Discord, environment: Mapping[str, str]) -> Discord:
    """The settings, with the number of shards from the environment if it stands there."""
    said = environment.get(SHARDS, "").strip()
    if not said:
        return settings
    if not said.isdecimal():
        raise SettingsError(f"{SHARDS} is a whole number, got {said!r}")
    try:
        return replace(settings, shards=int(said))
    except Refused as refused:
        raise SettingsError(f"{SHARDS}: {refused.message}") from None


def level_of(environment: Mapping[str, str]) -> str:
    """How much is logged."""
    level = environment.get(LEVEL, "").strip().lower() or "info"
    if level not in LEVELS:
        raise SettingsError(f"{LEVEL} is one of {', '.join(LEVELS)}, got {level!r}")
    return level
