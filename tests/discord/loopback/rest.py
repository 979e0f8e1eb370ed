"""The REST side: messages, interactions and their follow-ups, commands; it keeps all that was sent to it."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Awaitable, Callable
from typing import Any

from aiohttp import web

from tests.discord.loopback.calls import answered, body_of, check_permissions
from tests.discord.loopback.kept import Sent, Waiting
from tests.discord.loopback.refusing import (
    Refusal,
    check_commands,
    check_form,
    check_message,
    check_suggestions,
)
from tests.discord.loopback.world import DIRECT, HISTORY, VIEW, WHEN, Channel, Person, snowflake
from tests.references import discord_limits as limits

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]
MESSAGE, DEFERRED, DEFERRED_UPDATE, UPDATE, SUGGEST, FORM = 4, 5, 6, 7, 8, 9


class Rest:
    """`faults` is asked before every call and may answer in place of the service (see loopback/faults.py)."""

    def __init__(self, me: Person, token: str, channels: dict[str, Channel]) -> None:
        self.me, self.token, self.channels = me, token, channels
        self.sent: list[Sent] = []
        self.said: list[dict[str, Any]] = []
        self.members: dict[tuple[str, str], dict[str, Any]] = {}
        self.waiting: dict[str, Waiting] = {}
        self.by_token: dict[str, Waiting] = {}
        self.commands: list[dict[str, Any]] = []
        self.calls: list[str] = []
        self.faults: list[Callable[[web.Request], Awaitable[web.StreamResponse | None]]] = []
        self.gateway_url: Callable[[], str] = lambda: ""
        self.shards = 1
        self.starts_left = 999  # sessions that may still be begun
        self.points = True  # whether it is told what a message of the bot's replies to
        self.reads_all = False  # whether the bot was given the message content intent
        self.describes = True  # whether an acknowledged interaction is described, which the client may ask for
        self.changed = asyncio.Condition()
        self.files: dict[str, bytes] = {}

    def routes(self) -> list[web.RouteDef]:
        api = "/api/v10"
        return [
            web.get(f"{api}/users/@me", self._me),
            web.get(f"{api}/oauth2/applications/@me", self._application),
            web.get(f"{api}/gateway/bot", self._gateway),
            web.put(f"{api}/applications/{{app}}/commands", self._put_commands),
            web.get(f"{api}/guilds/{{guild}}/members/{{user}}", self._member),
            web.get(f"{api}/channels/{{channel}}", self._channel),
            web.get(f"{api}/channels/{{channel}}/messages", self._history),
            web.post(f"{api}/channels/{{channel}}/messages", self.create),
            web.post(f"{api}/interactions/{{id}}/{{token}}/callback", self.callback),
            web.get(f"{api}/webhooks/{{app}}/{{token}}/messages/@original", self._original),
            web.patch(f"{api}/webhooks/{{app}}/{{token}}/messages/@original", self._edit_original),
            web.delete(f"{api}/webhooks/{{app}}/{{token}}/messages/@original", self.delete_original),
            web.post(f"{api}/webhooks/{{app}}/{{token}}", self.follow_up),
            web.get("/attachments/{name}", self._file),
        ]

    @web.middleware
    async def service(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Faults first, then the call; a refusal in the documented form."""
        self.calls.append(f"{request.method} {request.path}")
        for fault in list(self.faults):
            answer = await fault(request)
            if answer is not None:
                return answer
        needs_token = "/webhooks/" not in request.path and "/interactions/" not in request.path
        if (
            request.path.startswith("/api/")
            and needs_token
            and request.headers.get("Authorization") != f"Bot {self.token}"
        ):
            return answered({"message": "401: Unauthorized", "code": 0}, 401)
        try:
            return await handler(request)
        except Refusal as refusal:
            return answered({"code": refusal.code, "message": refusal.message}, refusal.status)

    async def _me(self, request: web.Request) -> web.Response:
        return answered(self.me.user)

    async def _application(self, request: web.Request) -> web.Response:
        return answered({
            "id": self.me.id, "name": "Drumhead", "icon": None, "description": "", "bot_public": True,
            "bot_require_code_grant": False, "verify_key": "", "team": None, "flags": 0, "owner": self.me.user,
        })  # fmt: skip

    async def _gateway(self, request: web.Request) -> web.Response:
        limit = {"total": 1000, "remaining": self.starts_left, "reset_after": 14_400_000, "max_concurrency": 1}
        return answered({"url": self.gateway_url(), "shards": self.shards, "session_start_limit": limit})

    async def _put_commands(self, request: web.Request) -> web.Response:
        commands = await request.json()
        check_commands(commands)
        ids = {
            "application_id": self.me.id,
            "version": "1",
            "default_member_permissions": None,
            "nsfw": False,
        }
        self.commands = [
            {"options": [], "type": 1, **command, "id": snowflake(), **ids} for command in commands
        ]
        return answered(self.commands)

    async def _file(self, request: web.Request) -> web.Response:
        body = self.files.get(request.match_info["name"])
        return web.Response(status=404) if body is None else web.Response(body=body)

    def _asked_of(self, request: web.Request) -> Channel:
        channel = self.channels.get(request.match_info["channel"])
        if channel is None:
            raise Refusal(404, 10003, "Unknown Channel")
        return channel

    async def _channel(self, request: web.Request) -> web.Response:
        return answered(self._asked_of(request).payload(self.me))

    async def _member(self, request: web.Request) -> web.Response:
        member = self.members.get((request.match_info["guild"], request.match_info["user"]))
        if member is None:
            raise Refusal(404, 10007, "Unknown Member")
        return answered(member)

    async def _history(self, request: web.Request) -> web.Response:
        """The messages of a channel, the newest first; words that the bot may not read are left out."""
        channel = self._asked_of(request)
        if channel.denied & VIEW:
            raise Refusal(403, 50001, "Missing Access")
        limit = int(request.query.get("limit", "50"))
        if not 1 <= limit <= limits.HISTORY:
            raise Refusal(400, 50035, "Invalid Form Body: limit")
        if channel.denied & HISTORY:
            return answered([])
        said = [self._readable(message, channel) for message in self.said if message["channel_id"] == channel.id]
        shown = [self.message(sent) for sent in self.sent if sent.channel == channel.id and not sent.private]
        return answered(sorted(said + shown, key=lambda message: int(message["id"]), reverse=True)[:limit])

    def _readable(self, message: dict[str, Any], channel: Channel) -> dict[str, Any]:
        meant = any(person["id"] == self.me.id for person in message["mentions"])
        message = {key: value for key, value in message.items() if key not in ("member", "guild_id")}
        if meant or self.reads_all or channel.kind == DIRECT:
            return message
        return message | {"content": "", "attachments": [], "components": []}

    async def create(self, request: web.Request) -> web.Response:
        channel = self._asked_of(request)
        data, files = await body_of(request)
        check_permissions(channel, data, files)
        check_message(data, len(files))
        nonce = str(data["nonce"]) if data.get("enforce_nonce") else None
        before = [
            sent
            for sent in self.sent
            if nonce and sent.channel == channel.id and sent.data.get("nonce") == nonce
        ]
        sent = before[0] if before else self._keep(channel.id, data, files)
        await self._news()
        return answered(self.message(sent))

    async def callback(self, request: web.Request) -> web.Response:
        waiting = self.waiting.get(request.match_info["id"])
        if waiting is None or waiting.token != request.match_info["token"]:
            raise Refusal(404, 10062, "Unknown interaction")
        if waiting.answered is not None:
            raise Refusal(400, 40060, "Interaction has already been acknowledged.")
        if time.monotonic() - waiting.started > limits.FIRST_ANSWER_SECONDS:
            raise Refusal(404, 10062, "Unknown interaction")
        payload, files = await body_of(request)
        kind, data = payload["type"], payload.get("data") or {}
        if kind in CHECKS:
            CHECKS[kind](data, len(files))
        waiting.answered, waiting.kind, waiting.flags = time.monotonic(), kind, data.get("flags") or 0
        waiting.suggestions = data.get("choices") or []
        waiting.form = data if kind == FORM else None
        if kind in (MESSAGE, UPDATE):
            waiting.original = self._keep(waiting.channel.id, data, files, waiting.id)
        await self._news()
        return answered(self._acknowledged(waiting)) if self.describes else web.Response(status=204)

    def _acknowledged(self, waiting: Waiting) -> dict[str, Any]:
        said: dict[str, Any] = {
            "id": waiting.id,
            "type": 2,
            "response_message_loading": waiting.kind == DEFERRED,
        }
        if waiting.original is None:
            return {"interaction": said}
        message = self.message(waiting.original)
        return {
            "interaction": said | {"response_message_id": message["id"]},
            "resource": {"type": waiting.kind, "message": message},
        }

    def _by_token(self, request: web.Request) -> Waiting:
        waiting = self.by_token.get(request.match_info["token"])
        if waiting is None:
            raise Refusal(404, 10015, "Unknown Webhook")
        return waiting

    async def _original(self, request: web.Request) -> web.Response:
        waiting = self._by_token(request)
        if waiting.original is None:
            raise Refusal(404, 10008, "Unknown Message")
        return answered(self.message(waiting.original))

    async def _edit_original(self, request: web.Request) -> web.Response:
        waiting = self._by_token(request)
        data, files = await body_of(request)
        check_message(data, len(files))
        if waiting.original is None:
            if waiting.kind != DEFERRED:
                raise Refusal(404, 10008, "Unknown Message")
            waiting.original = self._keep(
                waiting.channel.id, data | {"flags": waiting.flags}, files, waiting.id
            )
        else:
            waiting.original.data |= data
            waiting.original.files |= files
            waiting.original.edits += 1
        await self._news()
        return answered(self.message(waiting.original))

    async def delete_original(self, request: web.Request) -> web.Response:
        waiting = self._by_token(request)
        if waiting.original is not None:
            self.sent.remove(waiting.original)
        elif waiting.kind != DEFERRED:
            raise Refusal(404, 10008, "Unknown Message")
        waiting.original = None
        waiting.kind = MESSAGE
        return web.Response(status=204)

    async def follow_up(self, request: web.Request) -> web.Response:
        waiting = self._by_token(request)
        if waiting.kind == DEFERRED and waiting.original is None:
            return await self._edit_original(request)
        data, files = await body_of(request)
        check_message(data, len(files))
        sent = self._keep(waiting.channel.id, data, files, waiting.id)
        await self._news()
        return answered(self.message(sent))

    def _keep(
        self, channel: str, data: dict[str, Any], files: dict[str, bytes], interaction: str | None = None
    ) -> Sent:
        sent = Sent(snowflake(), channel, dict(data), files, interaction)
        self.sent.append(sent)
        return sent

    async def _news(self) -> None:
        async with self.changed:
            self.changed.notify_all()

    def message(self, sent: Sent) -> dict[str, Any]:
        """The message as the service gives it back."""
        described = {str(item["id"]): item for item in sent.data.get("attachments") or []}
        files = [
            {
                "id": snowflake(), "filename": name, "size": len(body), "url": "", "proxy_url": "",
                "description": described.get(str(number), {}).get("description"),
            }
            for number, (name, body) in enumerate(sent.files.items())
        ]  # fmt: skip
        reference = sent.data.get("message_reference") if self.points else None
        return ({"message_reference": reference, "type": 19} if reference else {"type": 0}) | {
            "id": sent.id, "channel_id": sent.channel, "author": self.me.user, "content": sent.content,
            "timestamp": WHEN,
            "edited_timestamp": None, "tts": False, "mention_everyone": False, "mentions": [], "mention_roles": [],
            "attachments": files, "embeds": sent.data.get("embeds") or [], "pinned": False,
            "components": sent.data.get("components") or [], "flags": sent.data.get("flags") or 0,
            "nonce": sent.data.get("nonce"),
        }  # fmt: skip


CHECKS: dict[int, Callable[[dict[str, Any], int], None]] = {
    MESSAGE: check_message,
    UPDATE: check_message,
    FORM: lambda data, files: check_form(data),
    SUGGEST: lambda data, files: check_suggestions(data),
}
