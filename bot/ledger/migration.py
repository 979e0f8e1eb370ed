"""Older records brought forward, one version at a time, inside the transaction that opens them.

Version 1 had no chain: its rows are linked now, as they stand. Version 2 had no index by kind.
"""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import Connection, insert, select, text, update

from bot.ledger import chain, schema
from bot.ledger.memory import CREATE
from bot.ledger.place import VERSION, checked_version
from bot.ledger.queries import channels, cut_words, pages_of, rows_of

Entropy = Callable[[int], bytes]


def bring_forward(connection: Connection, name: str, entropy: Entropy) -> None:
    """Make the record as new as this program, or say why that is impossible."""
    column = schema.about.c
    found = connection.execute(select(column.value).where(column.key == "version")).scalar()
    version = checked_version(found, name)
    if version == VERSION:
        return
    for step in range(version, VERSION):
        _STEPS[step](connection, entropy)
    here = schema.about.c.key == "version"
    connection.execute(update(schema.about).where(here).values(value=str(VERSION)))


def create(connection: Connection) -> None:
    """The tables of a new record."""
    schema.metadata.create_all(connection)
    connection.execute(text(CREATE))
    connection.execute(insert(schema.about).values(key="version", value=str(VERSION)))


def _link_rows(connection: Connection, entropy: Entropy) -> None:
    """1 to 2: pages learn their first and last number and their head; rows are chained."""
    for column in ("first INTEGER", "last INTEGER", "head TEXT"):
        connection.execute(text(f"ALTER TABLE pages ADD COLUMN {column}"))
    for column in ("salts TEXT", "digests TEXT", "link TEXT"):
        connection.execute(text(f"ALTER TABLE entries ADD COLUMN {column}"))
    schema.entries_by_page.create(connection)
    for channel in channels(connection):
        _link_channel(connection, channel, entropy)


def _link_channel(connection: Connection, channel: str, entropy: Entropy) -> None:
    table, last = schema.entries, 0
    for page in connection.execute(pages_of(channel)).all():
        first, head, cuts = last + 1, chain.start(page._asdict()), cut_words(connection, page)
        for row in rows_of(connection, page):
            values = chain.sealed(row._asdict(), entropy(chain.SALT_BYTES * len(chain.REMOVABLE)))
            head, last = chain.link(head, values, cuts), row.id
            linked = {"salts": values["salts"], "digests": values["digests"], "link": head}
            here = (table.c.channel == channel) & (table.c.id == row.id)
            connection.execute(update(table).where(here).values(linked))
        here = (schema.pages.c.channel == channel) & (schema.pages.c.id == page.id)
        connection.execute(update(schema.pages).where(here).values(first=first, last=last, head=head))


def _by_kind(connection: Connection, _: Entropy) -> None:
    """2 to 3: whether a channel ever had a table is asked with every message."""
    schema.entries_by_kind.create(connection)


_STEPS: dict[int, Callable[[Connection, Entropy], None]] = {1: _link_rows, 2: _by_kind}
