"""One call: its body and files, what the bot may not do in a channel, and an answer in the documented form."""

from __future__ import annotations

import json
import time
from typing import Any

from aiohttp import web

from tests.discord.loopback.refusing import Refusal
from tests.discord.loopback.world import ATTACH, HISTORY, SEND, Channel
from tests.references import discord_limits as limits


def check_permissions(channel: Channel, data: dict[str, Any], files: dict[str, bytes]) -> None:
    if channel.denied & SEND:
        raise Refusal(403, 50013, "Missing Permissions")
    if channel.denied & ATTACH and files:
        raise Refusal(403, 50013, "Missing Permissions")
    if channel.denied & HISTORY and data.get("message_reference"):
        raise Refusal(400, 160002, "Cannot reply without permission to read message history")


async def body_of(request: web.Request) -> tuple[dict[str, Any], dict[str, bytes]]:
    """The JSON of a call, and its files by name."""
    if request.content_type != "multipart/form-data":
        return await request.json(), {}
    form = await request.post()
    files = {value.filename: value.file.read() for value in form.values() if isinstance(value, web.FileField)}
    if sum(map(len, files.values())) > limits.FILE_MIB * 1024 * 1024:
        raise Refusal(413, 40005, "Request entity too large")
    data = json.loads(str(form["payload_json"]))
    if "data" in data:  # an interaction's answer names its files within
        assert isinstance(data["data"], dict)
    return data, files


def answered(data: Any, status: int = 200, headers: dict[str, str] | None = None) -> web.Response:
    """JSON with exactly the content type that clients look for, and the headers of a wide rate limit."""
    limit = {
        "X-RateLimit-Limit": "1000", "X-RateLimit-Remaining": "999", "X-RateLimit-Reset-After": "1",
        "X-RateLimit-Reset": f"{time.time() + 1:.3f}", "Content-Type": "application/json",
    }  # fmt: skip
    return web.Response(body=json.dumps(data).encode(), status=status, headers=limit | (headers or {}))
