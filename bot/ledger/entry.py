"""What the record gives back: entries, pages, and its one complaint that a person can act on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from bot.reply import Reply


class LedgerError(Exception):
    """The record cannot do this; the message says why and what to do."""


@dataclass(frozen=True)
class Entry:
    """One recorded thing, quoted by its number: `#17`. `sides` and `faces` are in the order drawn.

    `who` and `text` are empty once the person asked to be forgotten.
    """

    id: int
    page: str
    channel: str
    kind: str
    who: str
    when: datetime
    text: str
    read: str
    ruleset: str
    sides: tuple[int, ...]
    faces: tuple[int, ...]
    declared: bool
    data: Mapping[str, Any]
    reply: Reply
    event: str | None = None


@dataclass(frozen=True)
class Page:
    """A stretch of the record under one secret; `secret` (hex) is None until the page is closed.

    `number` counts the pages of the channel from 1, `first` is the number of its first entry, and `rolls` counts
    the entries that have dice.
    """

    id: str
    channel: str
    number: int
    opened: datetime
    closed: datetime | None
    commitment: str
    cuts: tuple[str, ...]
    first: int
    rolls: int
    secret: str | None = field(default=None, repr=False)
