"""The gateway: hello, identify, resume with replay, heartbeats, and every way in which a connection goes wrong."""

from __future__ import annotations

import asyncio
import json
import secrets
import zlib
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from aiohttp import WSCloseCode, WSMsgType, web

from tests.discord.loopback.world import Person, Server
from tests.references import discord_limits as limits

DISPATCH, HEARTBEAT, IDENTIFY, RESUME, RECONNECT, INVALID_SESSION, HELLO, ACK = 0, 1, 2, 6, 7, 9, 10, 11
MESSAGE_CONTENT = 1 << 15  # the privileged intent, page "Gateway", section "List of Intents"


@dataclass
class Session:
    """What one shard has been told, so that it can be told again after a resume."""

    id: str
    shard: tuple[int, int]
    intents: int
    sent: list[dict[str, Any]] = field(default_factory=list)
    socket: web.WebSocketResponse | None = None
    packer: Any = None


class Gateway:
    """`base` is where a socket connects; faults are switched on by setting the attributes named here."""

    def __init__(self, me: Person, servers: list[Server], token: str) -> None:
        self.me, self.servers, self.token = me, servers, token
        self.base: Callable[[], str] = lambda: ""
        self.sessions: dict[str, Session] = {}
        self.identified = 0
        self.resumed = 0
        self.close_codes: list[int | None] = []
        self.interval_ms = 1_000
        self.acknowledge = True
        self.accept_resume = True
        self.content_allowed = True

    async def connect(self, request: web.Request) -> web.WebSocketResponse:
        """One socket from hello to its end."""
        socket = web.WebSocketResponse()
        await socket.prepare(request)
        packer = zlib.compressobj() if request.query.get("compress") == "zlib-stream" else None
        await _send(
            socket, packer, {"op": HELLO, "d": {"heartbeat_interval": self.interval_ms}, "s": None, "t": None}
        )
        async for message in socket:
            if message.type != WSMsgType.TEXT:
                break
            if len(message.data.encode()) > limits.GATEWAY_BYTES:
                await socket.close(code=4002)
                break
            await self._received(socket, packer, json.loads(message.data))
        self.close_codes.append(socket.close_code)
        return socket

    async def _received(self, socket: web.WebSocketResponse, packer: Any, data: dict[str, Any]) -> None:
        if data["op"] == HEARTBEAT and self.acknowledge:
            await _send(socket, packer, {"op": ACK, "d": None, "s": None, "t": None})
        elif data["op"] == IDENTIFY:
            await self._identify(socket, packer, data["d"])
        elif data["op"] == RESUME:
            await self._resume(socket, packer, data["d"])

    async def _identify(self, socket: web.WebSocketResponse, packer: Any, data: dict[str, Any]) -> None:
        if data["token"] != self.token:
            await socket.close(code=4004)
            return
        if data["intents"] & MESSAGE_CONTENT and not self.content_allowed:
            await socket.close(code=4014)
            return
        self.identified += 1
        number, of = data.get("shard", [0, 1])
        session = Session(secrets.token_hex(8), (number, of), data["intents"], [], socket, packer)
        self.sessions[session.id] = session
        mine = [server for server in self.servers if (int(server.id) >> 22) % of == number]
        await self.tell(session, "READY", {
            "v": 10, "user": self.me.user, "session_id": session.id, "resume_gateway_url": self.base(),
            "shard": [number, of],
            "guilds": [{"id": server.id, "unavailable": True} for server in mine],
            "application": {"id": self.me.id, "flags": 0},
        })  # fmt: skip
        for server in mine:
            await self.tell(session, "GUILD_CREATE", server.payload(self.me))

    async def _resume(self, socket: web.WebSocketResponse, packer: Any, data: dict[str, Any]) -> None:
        session = self.sessions.get(data["session_id"])
        if session is None or not self.accept_resume:
            await _send(socket, packer, {"op": INVALID_SESSION, "d": False, "s": None, "t": None})
            return
        self.resumed += 1
        session.socket, session.packer = socket, packer
        for missed in [event for event in session.sent if event["s"] > data["seq"]]:
            await _send(socket, packer, missed)
        await self.tell(session, "RESUMED", {})

    async def tell(self, session: Session, name: str, data: dict[str, Any]) -> None:
        """Dispatch one event to a shard; kept for its resume when the socket is gone."""
        event = {"op": DISPATCH, "t": name, "s": len(session.sent) + 1, "d": data}
        session.sent.append(event)
        if session.socket is not None and not session.socket.closed:
            await _send(session.socket, session.packer, event)

    async def dispatch(self, name: str, data: dict[str, Any], server: Server | None) -> None:
        """Tell the shard that the server belongs to; what has no server goes to shard 0."""
        await self.tell(self.session_of(server), name, data)

    def session_of(self, server: Server | None) -> Session:
        """The newest session of the shard."""
        for session in reversed(self.sessions.values()):
            number, of = session.shard
            if number == (0 if server is None else (int(server.id) >> 22) % of):
                return session
        raise AssertionError("no shard has identified")

    async def ask(self, op: int, data: Any = None) -> None:
        """Send an operation (reconnect, invalid session) to every shard."""
        for session in self.sessions.values():
            if session.socket is not None and not session.socket.closed:
                await _send(session.socket, session.packer, {"op": op, "d": data, "s": None, "t": None})

    def drop(self) -> None:
        """Cut every socket without a word."""
        for session in self.sessions.values():
            if (
                session.socket is not None
                and session.socket._req is not None
                and session.socket._req.transport
            ):
                session.socket._req.transport.abort()

    async def close(self, code: int = WSCloseCode.GOING_AWAY) -> None:
        """Close every socket with a code."""
        sockets = [session.socket for session in self.sessions.values() if session.socket is not None]
        await asyncio.gather(*(socket.close(code=code) for socket in sockets))


async def _send(socket: web.WebSocketResponse, packer: Any, event: dict[str, Any]) -> None:
    text = json.dumps(event)
    try:
        if packer is None:
            await socket.send_str(text)
        else:
            await socket.send_bytes(packer.compress(text.encode()) + packer.flush(zlib.Z_SYNC_FLUSH))
    except ConnectionError:
        return  # the other side went away; a resume will ask for it again
