"""The whole stand-in: one server on a free port, people who speak in it, and what they got for an answer."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from typing import Any

from aiohttp import web

from tests.discord.loopback.gateway import Gateway
from tests.discord.loopback.kept import Sent, Waiting
from tests.discord.loopback.rest import Rest
from tests.discord.loopback.world import ABSENT, DIRECT, WHEN, Channel, Person, Server, snowflake

PATIENCE = 60.0
TOKEN = "loopback.token.never-logged"


class Loopback:
    """Two servers, so that two shards have one each; `ferry` is the channel where most is said."""

    def __init__(self) -> None:
        self.me = Person("Drumhead", bot=True)
        self.servers = [Server("Low Ferry Club", 2), Server("Saltmarsh League", 3)]
        self.ferry = self.servers[0].channel("low-ferry")
        self.league = self.servers[1].channel("league")
        self.channels = {channel.id: channel for server in self.servers for channel in server.channels}
        self.rest = Rest(self.me, TOKEN, self.channels)
        self.gateway = Gateway(self.me, self.servers, TOKEN)
        self.gateway.base = self.rest.gateway_url = lambda: f"ws://127.0.0.1:{self.port}/gateway/"
        self.port = 0

    async def __aenter__(self) -> Loopback:
        await self.start()
        return self

    async def __aexit__(self, *_: object) -> None:
        await self.stop()

    async def start(self, port: int = 0) -> None:
        app = web.Application(middlewares=[self.rest.service], client_max_size=30 * 1024 * 1024)
        app.add_routes([*self.rest.routes(), web.get("/gateway/", self.gateway.connect)])
        self._runner = web.AppRunner(app, access_log=None, shutdown_timeout=0.1)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", port)
        await site.start()
        self.port = self._runner.addresses[0][1]

    async def stop(self) -> None:
        self.gateway.drop()
        await self._runner.cleanup()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def open(self, server: Server, name: str, denied: int = 0) -> Channel:
        """A channel that is there from the start."""
        channel = server.channel(name, denied)
        self.channels[channel.id] = channel
        return channel

    def thread(self, name: str) -> Channel:
        """A thread in the ferry channel."""
        thread = self.servers[0].thread(name, self.ferry)
        self.channels[thread.id] = thread
        return thread

    def direct(self) -> Channel:
        """A direct conversation with the bot."""
        channel = Channel("direct", kind=DIRECT)
        self.channels[channel.id] = channel
        return channel

    def mention(self, text: str) -> str:
        return f"<@{self.me.id}> {text}"

    async def say(self, who: Person, channel: Channel, text: str, **more: Any) -> dict[str, Any]:
        """A person writes; returns the message as it was delivered."""
        message = self.written(who, channel, text, **more)
        await self.deliver(message, channel)
        return message

    async def deliver(self, message: dict[str, Any], channel: Channel) -> None:
        """Deliver a message, once more if it was delivered before."""
        await self.gateway.dispatch("MESSAGE_CREATE", message, channel.server)

    def written(
        self, who: Person, channel: Channel, text: str, mentions: tuple[Person, ...] = (), **more: Any
    ) -> dict[str, Any]:
        mentioned = [self.me, *mentions] if f"<@{self.me.id}>" in text else list(mentions)
        message = {
            "id": snowflake(), "channel_id": channel.id, "author": who.user, "content": text, "timestamp": WHEN,
            "edited_timestamp": None, "tts": False, "mention_everyone": False, "mention_roles": [], "pinned": False,
            "mentions": [person.user | {"member": person.member()} for person in mentioned], "attachments": [],
            "embeds": [], "type": 19 if "message_reference" in more else 0, "components": [],
        }  # fmt: skip
        if channel.server is not None:
            roles = (channel.server.moderators,) if who.permissions & (1 << 13) else ()
            member = self.rest.members[channel.server.id, who.id] = who.member(roles)
            message |= {"guild_id": channel.server.id, "member": member}
        message |= more
        self.rest.said.append(message)
        return message

    def reply_to(self, sent: Sent) -> dict[str, Any]:
        """What a message carries beside its text when it replies to one of the bot's."""
        reference = {"message_id": sent.id, "channel_id": sent.channel}
        return {"message_reference": reference, "referenced_message": self.rest.message(sent)}

    async def interact(
        self, who: Person, channel: Channel, kind: int, data: dict[str, Any], /, **more: Any
    ) -> Waiting:
        """An interaction (2 a command, 3 a button or select, 4 autocomplete, 5 a form)."""
        waiting = Waiting(snowflake(), f"interaction-{snowflake()}", channel, time.monotonic())
        self.rest.waiting[waiting.id] = self.rest.by_token[waiting.token] = waiting
        await self.redeliver(waiting, who, kind, data, **more)
        return waiting

    async def redeliver(
        self, waiting: Waiting, who: Person, kind: int, data: dict[str, Any], /, **more: Any
    ) -> None:
        """The same interaction, delivered once more."""
        channel = waiting.channel
        body = {
            "id": waiting.id, "application_id": self.me.id, "type": kind, "token": waiting.token, "version": 1,
            "data": data,
            "channel": channel.payload(self.me), "channel_id": channel.id, "locale": "en-GB", "entitlements": [],
            "authorizing_integration_owners": {}, "attachment_size_limit": 10 * 1024 * 1024,
            "app_permissions": str(((1 << 50) - 1) & ~channel.denied),
        }  # fmt: skip
        if channel.server is None:
            body |= {"user": who.user, "context": 1}
        else:
            body |= {"member": who.member(), "guild_id": channel.server.id, "context": 0}
            body["guild"] = {"id": channel.server.id, "locale": "en-GB", "features": []}
        said = {key: value for key, value in (body | more).items() if value is not ABSENT}
        await self.gateway.dispatch("INTERACTION_CREATE", said, channel.server)

    async def slash(self, who: Person, channel: Channel, name: str, /, **options: Any) -> Waiting:
        """A slash command, its options checked against what the bot registered."""
        return await self.interact(who, channel, 2, self.command(name, options))

    def command(self, name: str, options: dict[str, Any], focused: str | None = None) -> dict[str, Any]:
        known = next(command for command in self.rest.commands if command["name"] == name)
        kinds = {option["name"]: option["type"] for option in known["options"]}
        given: list[dict[str, Any]] = []
        for option, value in options.items():
            said = {"name": option, "type": kinds[option], "value": value}
            given.append(said | {"focused": True} if option == focused else said)
        missing = [o["name"] for o in known["options"] if o.get("required") and o["name"] not in options]
        assert focused or not missing, f"/{name} requires {missing}"
        return {"id": known["id"], "name": name, "type": 1, "options": given}

    async def suggest(self, who: Person, channel: Channel, name: str, option: str, typed: str) -> list[str]:
        """What autocomplete offers while an option is typed."""
        data = self.command(name, {option: typed}, focused=option)
        waiting = await self.interact(who, channel, 4, data)
        await self.until(lambda: waiting.answered is not None)
        return [choice["value"] for choice in waiting.suggestions]

    async def press(self, who: Person, sent: Sent, label: str) -> Waiting:
        """Press a button under one of the bot's messages."""
        data = {"custom_id": sent.button(label)["custom_id"], "component_type": 2}
        return await self.interact(who, self.channels[sent.channel], 3, data, message=self.rest.message(sent))

    async def choose(self, who: Person, sent: Sent, value: str) -> Waiting:
        """Choose from the select under one of the bot's messages."""
        data = {"custom_id": sent.buttons[0]["custom_id"], "component_type": 3, "values": [value]}
        return await self.interact(who, self.channels[sent.channel], 3, data, message=self.rest.message(sent))

    async def fill_in(self, who: Person, form: Waiting, text: str) -> Waiting:
        """Send off a form that the bot opened."""
        assert form.form is not None
        row = form.form["components"][0]
        field = row["component"] if row["type"] == 18 else row["components"][0]
        value = {"type": 4, "custom_id": field["custom_id"], "value": text}
        shown = (
            {"type": 18, "id": 1, "component": value}
            if row["type"] == 18
            else {"type": 1, "components": [value]}
        )
        return await self.interact(
            who, form.channel, 5, {"custom_id": form.form["custom_id"], "components": [shown]}
        )

    async def until(self, true: Callable[[], Any]) -> None:
        """Wait until something is so; whatever reaches the service is news."""
        deadline = time.monotonic() + PATIENCE
        while not true():
            assert time.monotonic() < deadline, "nothing came"
            try:
                async with self.rest.changed:
                    await asyncio.wait_for(self.rest.changed.wait(), 0.02)
            except TimeoutError:
                continue

    async def answer(self, count: int = 1, since: int = 0) -> Sent:
        """The message that makes so many since then."""
        await self.until(lambda: len(self.rest.sent) >= since + count)
        return self.rest.sent[since + count - 1]

    async def answer_to(self, waiting: Waiting) -> Sent:
        """What an interaction got for an answer."""
        found: list[Sent] = []

        def there() -> bool:
            found[:] = [sent for sent in self.rest.sent if sent.interaction == waiting.id]
            return bool(found)

        await self.until(there)
        return found[0]
