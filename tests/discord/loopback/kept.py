"""What the service keeps: messages that the bot sent, and interactions that wait for their answer."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from tests.discord.loopback.world import Channel
from tests.references import discord_limits as limits


@dataclass
class Sent:
    """A message that the bot sent, or what it answered to an interaction."""

    id: str
    channel: str
    data: dict[str, Any]
    files: dict[str, bytes] = field(default_factory=dict)
    interaction: str | None = None
    edits: int = 0

    @property
    def content(self) -> str:
        return str(self.data.get("content") or "")

    @property
    def private(self) -> bool:
        return bool((self.data.get("flags") or 0) & limits.EPHEMERAL)

    @property
    def buttons(self) -> list[dict[str, Any]]:
        return [child for row in self.data.get("components") or [] for child in row["components"]]

    def button(self, label: str) -> dict[str, Any]:
        return next(button for button in self.buttons if label in (button.get("label") or ""))


@dataclass
class Waiting:
    """An interaction that the bot was told of."""

    id: str
    token: str
    channel: Channel
    started: float
    answered: float | None = None
    kind: int | None = None
    flags: int = 0
    original: Sent | None = None
    suggestions: list[dict[str, Any]] = field(default_factory=list)
    form: dict[str, Any] | None = None
