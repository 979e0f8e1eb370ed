"""What the record gives back: entries, pages, and its one complaint that a person can act on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import Any

from bot.ledger.kept import reply_from_json
from bot.reply import Reply


class LedgerError(Exception):
    """The record cannot do this; the message says why and what to do.

    `shown` is what anybody may read of it: without the record's whereabouts and what its database said.
    """

    def __init__(self, message: str, shown: str | None = None) -> None:
        super().__init__(message)
        self.shown = message if shown is None else shown


@contextmanager
def whole(id: int) -> Iterator[None]:
    """Whatever cannot be read of an entry is complained of in one way."""
    try:
        yield
    except (ValueError, TypeError, KeyError, AttributeError):
        raise LedgerError(
            f"#{id} of the record is damaged and cannot be read. `drumhead check` names what was "
            "changed; a backup has it as it was."
        ) from None


@dataclass(frozen=True)
class Entry:
    """One recorded thing, quoted by its number: `#17`. `sides` and `faces` are in the order drawn.

    `who` and `text` are empty once the person asked to be forgotten. The reply, which most readers of many
    entries do without, is unpacked from `kept` when it is asked for.
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
    kept: str = field(repr=False)
    event: str | None = None

    @cached_property
    def reply(self) -> Reply:
        """What was answered."""
        with whole(self.id):
            return reply_from_json(self.kept)


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
