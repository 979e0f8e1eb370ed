"""How this umpire is run: config/bot.yaml as a value. Secrets are no part of it; they come from the environment."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from bot.content import ROOM, load
from bot.house import DEFAULT_RULESET
from resolver.refused import Refused


def _between(key: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise Refused(key, f"{key} lies between {low:g} and {high:g}, got {value:g}")


@dataclass(frozen=True)
class Pace:
    """So many messages at once, and so many more with every second that passes."""

    at_once: int
    a_second: float

    def __post_init__(self) -> None:
        _between("at_once", self.at_once, 1, 10_000)
        _between("a_second", self.a_second, 0.001, 10_000)


@dataclass(frozen=True)
class Discord:
    """How the Discord channel behaves. `shards` is None to let the service say how many."""

    shards: int | None = None
    plain_messages: bool = False
    person: Pace = Pace(30, 5.0)
    channel: Pace = Pace(100, 20.0)
    pictures: bool = True
    health_seconds: int = 60

    def __post_init__(self) -> None:
        if self.shards is not None:
            _between("shards", self.shards, 1, 1000)
        _between("health_seconds", self.health_seconds, 5, 86_400)


@dataclass(frozen=True)
class Settings:
    """The whole file. `ruleset` is used where a channel has not chosen; None for `keep_days` keeps all."""

    ruleset: str = DEFAULT_RULESET
    keep_days: int | None = None
    discord: Discord = field(default_factory=Discord)

    def __post_init__(self) -> None:
        if self.keep_days is not None:
            _between("keep_days", self.keep_days, 1, 100_000)


def load_settings(path: Path | None = None) -> Settings:
    """The settings in `path`, or those that are shipped."""
    return load(path or ROOM / "config" / "bot.yaml", Settings)
