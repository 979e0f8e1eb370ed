"""The tables of the record. A row is written once; only pages learn more, and only persons are forgotten."""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    Boolean,
    Column,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)
from sqlalchemy.types import TypeDecorator

metadata = MetaData()


class Hidden(bytes):
    """Bytes that no log or complaint shows."""

    def __repr__(self) -> str:
        return "hidden"


class Secret(TypeDecorator[Hidden]):
    """A secret of a page, kept in hex."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: bytes | None, dialect: Any) -> str | None:
        return None if value is None else value.hex()

    def process_result_value(self, value: str | None, dialect: Any) -> Hidden | None:
        return None if value is None else Hidden.fromhex(value)


def _key(name: str) -> Column[str]:
    return Column(name, Text, primary_key=True)


def _words(name: str) -> Column[str]:
    return Column(name, Text, nullable=False)


def names(table: Table, *but: str) -> list[str]:
    """The columns of a table, without some."""
    return [column.name for column in table.columns if column.name not in but]


about = Table("about", metadata, _key("key"), _words("value"))

# `first` and `last` are the numbers of its entries; `head` is the link of the last one.
pages = Table(
    "pages",
    metadata,
    _key("channel"),
    _key("id"),
    Column("number", Integer, nullable=False),
    _words("opened"),
    Column("closed", Text),
    Column("closed_by_event", Text),
    _words("commitment"),
    Column("secret", Secret),
    Column("first", Integer),
    Column("last", Integer),
    Column("head", Text),
    UniqueConstraint("channel", "number"),
)

cuts = Table(
    "cuts",
    metadata,
    _key("channel"),
    _key("page"),
    Column("number", Integer, primary_key=True),
    _words("who"),
    _words("words"),
    Column("event", Text),
    ForeignKeyConstraint(["channel", "page"], ["pages.channel", "pages.id"]),
)

# sides, faces, data, reply, salts and digests are JSON; `at` is ISO 8601 in UTC.
entries = Table(
    "entries",
    metadata,
    _key("channel"),
    Column("id", Integer, primary_key=True),
    _words("page"),
    _words("kind"),
    _words("who"),
    _words("at"),
    _words("text"),
    _words("read"),
    _words("ruleset"),
    _words("sides"),
    _words("faces"),
    Column("declared", Boolean, nullable=False),
    _words("data"),
    _words("reply"),
    Column("event", Text),
    Column("salts", Text),
    Column("digests", Text),
    Column("link", Text),
    UniqueConstraint("channel", "event"),
    ForeignKeyConstraint(["channel", "page"], ["pages.channel", "pages.id"]),
)

entries_by_page = Index("entries_by_page", entries.c.channel, entries.c.page)
entries_by_kind = Index("entries_by_kind", entries.c.channel, entries.c.kind)
