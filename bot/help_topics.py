"""The topics of `help`, as plain values that a YAML file fills."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Saying:
    """A message worth typing, and what it does."""

    say: str
    does: str


@dataclass(frozen=True, kw_only=True)
class Topic:
    """Messages of one kind."""

    id: str
    title: str
    about: str
    sayings: tuple[Saying, ...]


@dataclass(frozen=True, kw_only=True)
class HelpFile:
    """Every topic, in the order in which a newcomer needs them."""

    topics: tuple[Topic, ...]
