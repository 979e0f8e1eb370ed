"""The tables of the record. Nothing here is ever updated but what a page learns when it closes."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, ForeignKeyConstraint, Integer, MetaData, Table, Text, UniqueConstraint

VERSION = 1

metadata = MetaData()

about = Table("about", metadata, Column("key", Text, primary_key=True), Column("value", Text, nullable=False))

pages = Table(
    "pages",
    metadata,
    Column("channel", Text, primary_key=True),
    Column("id", Text, primary_key=True),
    Column("number", Integer, nullable=False),
    Column("opened", Text, nullable=False),
    Column("closed", Text),
    Column("closed_by_event", Text),
    Column("commitment", Text, nullable=False),
    Column("secret", Text),
    UniqueConstraint("channel", "number"),
)

cuts = Table(
    "cuts",
    metadata,
    Column("channel", Text, primary_key=True),
    Column("page", Text, primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("who", Text, nullable=False),
    Column("words", Text, nullable=False),
    Column("event", Text),
    ForeignKeyConstraint(["channel", "page"], ["pages.channel", "pages.id"]),
)

entries = Table(
    "entries",
    metadata,
    Column("channel", Text, primary_key=True),
    Column("id", Integer, primary_key=True),
    Column("page", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("who", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("read", Text, nullable=False),
    Column("ruleset", Text, nullable=False),
    Column("sides", Text, nullable=False),
    Column("faces", Text, nullable=False),
    Column("declared", Boolean, nullable=False),
    Column("data", Text, nullable=False),
    Column("reply", Text, nullable=False),
    Column("event", Text),
    UniqueConstraint("channel", "event"),
    ForeignKeyConstraint(["channel", "page"], ["pages.channel", "pages.id"]),
)

memory = Table(
    "memory",
    metadata,
    Column("channel", Text, primary_key=True),
    Column("who", Text, primary_key=True),
    Column("kept", Text, nullable=False),
)
