"""The questions asked of the tables, each once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, Row, Select, func, select

from bot.ledger import schema


def pages_of(channel: str) -> Select[Any]:
    """The pages of a channel, the oldest first."""
    table = schema.pages
    return select(table).where(table.c.channel == channel).order_by(table.c.number)


def open_page(connection: Connection, channel: str) -> Row[Any] | None:
    """The page that is written on now, if there is one."""
    query = pages_of(channel).where(schema.pages.c.closed.is_(None))
    return connection.execute(query).one_or_none()


def cuts_of(connection: Connection, page: Row[Any]) -> Sequence[Row[Any]]:
    """The cuts of a page in order."""
    table = schema.cuts
    here = (table.c.channel == page.channel) & (table.c.page == page.id)
    return connection.execute(select(table).where(here).order_by(table.c.number)).all()


def cut_words(connection: Connection, page: Row[Any]) -> tuple[str, ...]:
    """What the cuts of a page say."""
    return tuple(cut.words for cut in cuts_of(connection, page))


def rows_of(connection: Connection, page: Row[Any]) -> Sequence[Row[Any]]:
    """The entries of a page in order."""
    table = schema.entries
    here = (table.c.channel == page.channel) & (table.c.page == page.id)
    return connection.execute(select(table).where(here).order_by(table.c.id)).all()


def rolls_on(connection: Connection, page: Row[Any]) -> int:
    """How many entries of a page have dice."""
    table = schema.entries
    here = (table.c.channel == page.channel) & (table.c.page == page.id) & (table.c.sides != "[]")
    return connection.execute(select(func.count()).select_from(table).where(here)).scalar_one()


def reply_to(connection: Connection, channel: str, event: str) -> str | None:
    """The kept reply to an event of the channel."""
    table = schema.entries
    query = select(table.c.reply).where(table.c.channel == channel, table.c.event == event)
    kept: str | None = connection.execute(query).scalar()
    return kept


def channels(connection: Connection) -> list[str]:
    """Every channel with a page."""
    query = select(schema.pages.c.channel).distinct().order_by(schema.pages.c.channel)
    return list(connection.execute(query).scalars())
