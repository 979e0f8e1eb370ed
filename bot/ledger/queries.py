"""The questions asked of the tables, each once; those asked for every message are built only once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from sqlalchemy import Connection, Row, Select, bindparam, func, insert, select, text, update

from bot.ledger import schema
from bot.ledger.ready import Ready, file_behind

_SINCE = (
    select(schema.entries)
    .where(schema.entries.c.channel == bindparam("channel"), schema.entries.c.id >= bindparam("since"))
    .order_by(schema.entries.c.id.desc())
)
_OPEN_PAGE = Ready(
    select(schema.pages)
    .where(schema.pages.c.channel == bindparam("channel"), schema.pages.c.closed.is_(None))
    .order_by(schema.pages.c.number)
)
_CUTS = Ready(
    select(schema.cuts)
    .where(schema.cuts.c.channel == bindparam("channel"), schema.cuts.c.page == bindparam("page"))
    .order_by(schema.cuts.c.number)
)
_WRITTEN = Ready(insert(schema.entries))
_GROWN = Ready(
    update(schema.pages)
    .where(schema.pages.c.channel == bindparam("here"), schema.pages.c.id == bindparam("page"))
    .values(last=bindparam("last"), head=bindparam("head"))
)

_as_text = cache(text)


def run_on(connection: Connection, statement: str, values: Mapping[str, str]) -> Any:
    """The first value of the first row that the statement gives, if it gives one. A file is asked without detours."""
    file = file_behind(connection)
    if file is not None:
        row = file.execute(statement, values).fetchone()
        return None if row is None else row[0]
    result = connection.execute(_as_text(statement), values)
    return result.scalar() if result.returns_rows else None


def pages_of(channel: str) -> Select[Any]:
    """The pages of a channel, the oldest first."""
    table = schema.pages
    return select(table).where(table.c.channel == channel).order_by(table.c.number)


def open_page(connection: Connection, channel: str) -> Row[Any] | None:
    """The page that is written on now, if there is one."""
    found = _OPEN_PAGE.rows(connection, {"channel": channel})
    return found[0] if found else None


def cuts_of(connection: Connection, page: Row[Any]) -> Sequence[Row[Any]]:
    """The cuts of a page in order."""
    return _CUTS.rows(connection, {"channel": page.channel, "page": page.id})


def write_on(connection: Connection, page: Row[Any], row: Mapping[str, Any]) -> None:
    """Write the row of an entry, and tell its page: this one is the last, and the chain ends with its link."""
    _WRITTEN.run(connection, {**row, "channel": page.channel, "page": page.id})
    _GROWN.run(connection, {"here": page.channel, "page": page.id, "last": row["id"], "head": row["link"]})


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


def entries_since(connection: Connection, channel: str, since: int, last: int | None) -> Sequence[Row[Any]]:
    """The entries of a channel numbered `since` or more, the newest first; only the `last` of them, if given."""
    query = _SINCE if last is None else _SINCE.limit(last)
    return connection.execute(query, {"channel": channel, "since": since}).all()


def channels(connection: Connection) -> list[str]:
    """Every channel with a page."""
    query = select(schema.pages.c.channel).distinct().order_by(schema.pages.c.channel)
    return list(connection.execute(query).scalars())


def played_since(connection: Connection, when: str) -> list[str]:
    """The channels whose last entry was made then or later."""
    pages, entries = schema.pages, schema.entries
    last = (entries.c.channel == pages.c.channel) & (entries.c.id == pages.c.last)
    query = select(pages.c.channel).join(entries, last).where(entries.c.at >= when).distinct()
    return list(connection.execute(query.order_by(pages.c.channel)).scalars())
