"""The record of every channel: append, read, and the pages that seal its dice."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from types import TracebackType
from typing import Any

from sqlalchemy import Connection, Row, Select, delete, func, insert, select, update

from bot.asked import Asked
from bot.ledger import schema
from bot.ledger.draft import Draft
from bot.ledger.entry import Entry, LedgerError, Page
from bot.ledger.kept import dumps, reply_from_json
from bot.ledger.rows import entry_of, entry_row
from bot.ledger.store import Store
from bot.reply import Reply
from resolver.sealed import FORMAT, SECRET_BYTES, Stream, checked_cut, commitment, page_key

Make = Callable[[Draft], Reply]


class Ledger:
    """The record at `url` (a file name or a database address); time and randomness are arguments."""

    def __init__(self, url: str, clock: Callable[[], datetime], entropy: Callable[[int], bytes]) -> None:
        self._clock = clock
        self._entropy = entropy
        self._store = Store(url)

    def __enter__(self) -> Ledger:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database."""
        self._store.close()

    def record(self, asked: Asked, kind: str, make: Make) -> Reply:
        """Make and keep one entry, in one transaction; an event recorded before gets its recorded reply."""
        with self._store.writing(asked.where) as connection:
            before = _recorded(connection, asked.where, asked.event)
            if before is not None:
                return before
            page = self._open_page(connection, asked.where)
            key = page_key(bytes.fromhex(page.secret), page.id, _cuts(connection, page))
            id = _next_id(connection, asked.where)
            draft = Draft(id, Stream(key, id))
            reply = make(draft)
            row = entry_row(draft, asked, kind, page.id, self._now(), reply)
            connection.execute(insert(schema.entries).values(row))
        return reply

    def recorded(self, channel: str, event: str | None) -> Reply | None:
        """The reply that the channel's event got when it was recorded, if it was."""
        with self._store.reading() as connection:
            return _recorded(connection, channel, event)

    def entry(self, channel: str, id: int) -> Entry | None:
        """The entry with that number, if there is one."""
        table = schema.entries
        with self._store.reading() as connection:
            query = select(table).where(table.c.channel == channel, table.c.id == id)
            row = connection.execute(query).one_or_none()
        return None if row is None else entry_of(row)

    def entries(self, channel: str, *, since: int = 0, last: int | None = None) -> list[Entry]:
        """The entries numbered `since` or more, in order; only the `last` of them, if given."""
        table = schema.entries
        query = select(table).where(table.c.channel == channel, table.c.id >= since)
        query = query.order_by(table.c.id.desc()).limit(last)
        with self._store.reading() as connection:
            rows = connection.execute(query).all()
        return [entry_of(row) for row in reversed(rows)]

    def page(self, channel: str) -> Page:
        """The page that rolls are written on now; opens one if there is none."""
        with self._store.writing(channel) as connection:
            return _page(connection, self._open_page(connection, channel))

    def pages(self, channel: str) -> list[Page]:
        """All pages of the channel, the oldest first."""
        with self._store.reading() as connection:
            return [_page(connection, row) for row in connection.execute(_pages(channel)).all()]

    def cut(self, asked: Asked, words: str) -> Page:
        """Add a player's words to the page, before its first roll, once for each player."""
        words = checked_cut(words)
        with self._store.writing(asked.where) as connection:
            row = self._open_page(connection, asked.where)
            made = connection.execute(_cuts_of(row)).all()
            if asked.event is not None and any(cut.event == asked.event for cut in made):
                return _page(connection, row)
            if any(cut.who == asked.who for cut in made):
                raise LedgerError("You have cut this page already; you can cut again on the next one.")
            if _page(connection, row).rolls:
                raise LedgerError("This page has been rolled on. `reveal` opens the next page; cut that one.")
            values = {"channel": row.channel, "page": row.id, "number": len(made) + 1}
            values |= {"who": asked.who, "words": words, "event": asked.event}
            connection.execute(insert(schema.cuts).values(values))
            return _page(connection, row)

    def reveal(self, asked: Asked) -> Page:
        """Close the page and open the next; returns the closed one with its secret."""
        table = schema.pages
        with self._store.writing(asked.where) as connection:
            if asked.event is not None:
                query = _pages(asked.where).where(table.c.closed_by_event == asked.event)
                before = connection.execute(query).one_or_none()
                if before is not None:
                    return _page(connection, before)
            row = self._open_page(connection, asked.where)
            here = (table.c.channel == row.channel) & (table.c.id == row.id)
            values = {"closed": self._now(), "closed_by_event": asked.event}
            connection.execute(update(table).where(here).values(values))
            self._open_page(connection, asked.where)
            return _page(connection, connection.execute(select(table).where(here)).one())

    def export(self, channel: str, page: str | None = None) -> dict[str, Any]:
        """One page (the current one if none is named) as anyone can verify it; no secret while it is open."""
        with self._store.reading() as connection:
            query = _pages(channel)
            rows = connection.execute(query if page is None else query.where(schema.pages.c.id == page)).all()
            if not rows:
                wanted = "no page yet" if page is None else f"no page {page}"
                raise LedgerError(f"There is {wanted} in channel {channel}.")
            row = rows[-1]
            found = _page(connection, row)
            written = [entry_of(line) for line in connection.execute(_entries_of(row)).all()]
        return {
            "format": FORMAT,
            "page": found.id,
            "commitment": found.commitment,
            "secret": found.secret,
            "cuts": list(found.cuts),
            "rolls": [_exported(entry) for entry in written],
        }

    def recall(self, channel: str, who: str = "") -> dict[str, Any]:
        """What is remembered for a person in a channel, or for the channel itself."""
        table = schema.memory
        query = select(table.c.kept).where(table.c.channel == channel, table.c.who == who)
        with self._store.reading() as connection:
            kept = connection.execute(query).scalar()
        return {} if kept is None else dict(json.loads(kept))

    def remember(self, channel: str, who: str, memory: dict[str, Any]) -> None:
        """Remember this instead of what was remembered before."""
        if self.recall(channel, who) == memory:
            return
        table = schema.memory
        with self._store.writing(channel) as connection:
            connection.execute(delete(table).where(table.c.channel == channel, table.c.who == who))
            connection.execute(insert(table).values(channel=channel, who=who, kept=dumps(memory)))

    def _now(self) -> str:
        return self._clock().astimezone(UTC).isoformat(timespec="seconds")

    def _open_page(self, connection: Connection, channel: str) -> Row[Any]:
        """The row of the open page, made if there is none."""
        query = _pages(channel).where(schema.pages.c.closed.is_(None))
        row = connection.execute(query).one_or_none()
        if row is not None:
            return row
        number = len(connection.execute(_pages(channel)).all()) + 1
        opened, secret = self._now(), self._entropy(SECRET_BYTES)
        values = {"channel": channel, "id": f"{opened[:10]}-{number}", "number": number, "opened": opened}
        values |= {"commitment": commitment(secret), "secret": secret.hex()}
        connection.execute(insert(schema.pages).values(values))
        return connection.execute(query).one()


def _recorded(connection: Connection, channel: str, event: str | None) -> Reply | None:
    if event is None:
        return None
    table = schema.entries
    query = select(table.c.reply).where(table.c.channel == channel, table.c.event == event)
    kept = connection.execute(query).scalar()
    return None if kept is None else reply_from_json(kept)


def _next_id(connection: Connection, channel: str) -> int:
    table = schema.entries
    highest = connection.execute(select(func.max(table.c.id)).where(table.c.channel == channel)).scalar()
    return (highest or 0) + 1


def _pages(channel: str) -> Select[Any]:
    table = schema.pages
    return select(table).where(table.c.channel == channel).order_by(table.c.number)


def _cuts_of(page: Row[Any]) -> Select[Any]:
    table = schema.cuts
    here = (table.c.channel == page.channel) & (table.c.page == page.id)
    return select(table).where(here).order_by(table.c.number)


def _cuts(connection: Connection, page: Row[Any]) -> tuple[str, ...]:
    return tuple(cut.words for cut in connection.execute(_cuts_of(page)).all())


def _entries_of(page: Row[Any]) -> Select[Any]:
    table = schema.entries
    here = (table.c.channel == page.channel) & (table.c.page == page.id)
    return select(table).where(here).order_by(table.c.id)


def _page(connection: Connection, row: Row[Any]) -> Page:
    table = schema.entries
    here = (table.c.channel == row.channel) & (table.c.page == row.id) & (table.c.sides != "[]")
    rolls = connection.execute(select(func.count()).select_from(table).where(here)).scalar_one()
    return Page(
        id=row.id,
        channel=row.channel,
        opened=datetime.fromisoformat(row.opened),
        closed=None if row.closed is None else datetime.fromisoformat(row.closed),
        commitment=row.commitment,
        cuts=_cuts(connection, row),
        rolls=rolls,
        secret=None if row.closed is None else row.secret,
    )


def _exported(entry: Entry) -> dict[str, Any]:
    return {
        "id": entry.id,
        "sides": list(entry.sides),
        "faces": list(entry.faces),
        "declared": entry.declared,
        "who": entry.who,
        "when": entry.when.isoformat(),
        "text": entry.text,
        "ruleset": entry.ruleset,
    }
