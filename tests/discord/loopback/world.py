"""People, servers and channels as the service describes them, and ids that grow."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import count
from typing import Any

WHEN = "2026-03-14T19:00:00.000000+00:00"
TEXT, DIRECT, THREAD = 0, 1, 11
ABSENT: Any = object()  # for a field that an event leaves out

# Permission bits of the documentation's page "Permissions".
MANAGE_MESSAGES = 1 << 13
VIEW, SEND, EMBED, ATTACH, HISTORY = 1 << 10, 1 << 11, 1 << 14, 1 << 15, 1 << 16
SEND_IN_THREADS = 1 << 38
USUAL = VIEW | SEND | EMBED | ATTACH | HISTORY | SEND_IN_THREADS
MODERATING = USUAL | MANAGE_MESSAGES

_IDS = count(1)


def snowflake(server: int = 0) -> str:
    """A new id; `server` numbers servers so that (id >> 22) tells their shard."""
    return (
        str(((server + 1) << 40) * 4 + (server << 22) + next(_IDS)) if server else str((1 << 60) + next(_IDS))
    )


@dataclass(frozen=True)
class Person:
    """Somebody who writes; `permissions` are what they may do in the server's channels."""

    name: str
    id: str = field(default_factory=snowflake)
    permissions: int = USUAL
    bot: bool = False

    @property
    def user(self) -> dict[str, Any]:
        handle = self.name.lower().replace(" ", "_")
        return {
            "id": self.id, "username": handle, "discriminator": "0", "global_name": self.name, "avatar": None,
            "bot": self.bot, "public_flags": 0,
        }  # fmt: skip

    def member(self, roles: tuple[str, ...] = ()) -> dict[str, Any]:
        return {
            "user": self.user, "nick": None, "avatar": None, "roles": list(roles), "joined_at": WHEN,
            "deaf": False, "mute": False, "flags": 0, "permissions": str(self.permissions),
        }  # fmt: skip


@dataclass
class Channel:
    """A text channel, a thread in one, or a direct conversation. `denied` are permissions the bot lacks there."""

    name: str
    server: Server | None = None
    id: str = field(default_factory=snowflake)
    kind: int = TEXT
    denied: int = 0
    parent: str | None = None

    def payload(self, me: Person) -> dict[str, Any]:
        if self.kind == DIRECT:
            return {"id": self.id, "type": DIRECT, "last_message_id": None, "recipients": []}
        shared = {
            "id": self.id,
            "type": self.kind,
            "name": self.name,
            "guild_id": self.server.id if self.server else None,
        }
        if self.kind == THREAD:
            meta = {
                "archived": False,
                "auto_archive_duration": 1440,
                "archive_timestamp": WHEN,
                "locked": False,
            }
            return shared | {
                "parent_id": self.parent, "owner_id": me.id, "message_count": 0, "member_count": 1,
                "rate_limit_per_user": 0, "thread_metadata": meta, "last_message_id": None, "flags": 0,
            }  # fmt: skip
        denied = [{"id": me.id, "type": 1, "allow": "0", "deny": str(self.denied)}] if self.denied else []
        return shared | {
            "position": 0, "permission_overwrites": denied, "nsfw": False, "topic": None, "parent_id": None,
            "last_message_id": None, "rate_limit_per_user": 0, "flags": 0,
        }  # fmt: skip


@dataclass
class Server:
    """A server (guild) with its channels; one role for moderators, and one that the bot came with."""

    name: str
    number: int
    channels: list[Channel] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.id = snowflake(self.number)
        self.moderators, self.bots = snowflake(), snowflake()

    def channel(self, name: str, denied: int = 0) -> Channel:
        made = Channel(name, self, denied=denied)
        self.channels.append(made)
        return made

    def thread(self, name: str, parent: Channel) -> Channel:
        made = Channel(name, self, kind=THREAD, parent=parent.id)
        self.channels.append(made)
        return made

    def payload(self, me: Person) -> dict[str, Any]:
        return {
            "id": self.id, "name": self.name, "icon": None, "splash": None, "owner_id": snowflake(),
            "unavailable": False,
            "region": "", "afk_timeout": 300, "verification_level": 0, "default_message_notifications": 0,
            "explicit_content_filter": 0, "features": [], "mfa_level": 0, "premium_tier": 0, "nsfw_level": 0,
            "roles": [
                _role(self.id, "@everyone", USUAL), _role(self.moderators, "moderators", MODERATING),
                _role(self.bots, me.name, 0) | {"managed": True, "tags": {"bot_id": me.id}},
            ],
            "emojis": [], "stickers": [], "member_count": 3, "large": False, "voice_states": [], "presences": [],
            "members": [me.member()], "joined_at": WHEN, "preferred_locale": "en-GB",
            "channels": [channel.payload(me) for channel in self.channels if channel.kind == TEXT],
            "threads": [channel.payload(me) for channel in self.channels if channel.kind == THREAD],
            "stage_instances": [], "guild_scheduled_events": [], "soundboard_sounds": [],
        }  # fmt: skip


def _role(id: str, name: str, permissions: int) -> dict[str, Any]:
    return {
        "id": id, "name": name, "color": 0, "colors": {"primary_color": 0}, "hoist": False, "position": 0,
        "permissions": str(permissions), "managed": False, "mentionable": False, "flags": 0,
    }  # fmt: skip
