"""The record of every channel: append, read, and the pages that seal its dice."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, insert, select, update

from bot.asked import Asked
from bot.closing import Closing
from bot.ledger import chain, schema
from bot.ledger.carry import channel_in, channel_out, page_to_verify
from bot.ledger.checking import Checked, check_record, check_row_page
from bot.ledger.draft import Draft
from bot.ledger.entry import Entry, LedgerError, Page
from bot.ledger.forgetting import forget_before, forget_person
from bot.ledger.importing import checked_import
from bot.ledger.memory import Memory
from bot.ledger.queries import (
    cut_words,
    cuts_of,
    entries_since,
    open_page,
    pages_of,
    played_since,
    rolls_on,
    run_on,
    write_on,
)
from bot.ledger.rows import entry_of, entry_row, page_of, reply_of
from bot.ledger.store import Store
from bot.reply import Reply
from resolver.refused import Refused
from resolver.sealed import SECRET_BYTES, Stream, checked_cut, commitment, page_key

Make = Callable[[Draft], Reply]


class Ledger(Closing):
    """The record at `url`; its arguments are those of `Storage`. What a verb remembers is kept with its entry."""

    def __init__(
        self,
        url: str,
        clock: Callable[[], datetime],
        entropy: Callable[[int], bytes],
        keep_days: int | None = None,
        memory: Memory | None = None,
    ) -> None:
        self._clock = clock
        self._entropy = entropy
        self._keep_days = keep_days
        self._store = Store(url, entropy)
        self.memory = memory or Memory(self._store.run)
        if keep_days is not None:
            with self._writing() as connection:
                self._forget_old(connection)

    @property
    def name(self) -> str:
        """The record's whereabouts, without a password."""
        return self._store.name

    def close(self) -> None:
        """Settle, and let go of the database."""
        self._store.close()

    def settle(self) -> None:
        """Wait until all that was recorded is on the disk, as whoever shows it must; many entries share one wait."""
        self._store.settle()

    def record(self, asked: Asked, kind: str, make: Make) -> Reply:
        """Make and keep one entry, in one transaction; an event recorded before gets its recorded reply."""
        with self._writing(asked.where) as connection:
            before = self.recorded(asked.where, asked.event)
            if before is not None:
                return before
            page = open_page(connection, asked.where)
            if page is not None:
                return self._record(connection, page, asked, kind, make)
        self._ensure_page(asked.where)
        return self.record(asked, kind, make)

    def _record(self, connection: Connection, page: Row[Any], asked: Asked, kind: str, make: Make) -> Reply:
        """Let the verb draw and fill in, then write the row."""
        cuts = cut_words(connection, page)
        id = page.last + 1
        draft = Draft(id, Stream(page_key(page.secret, page.id, cuts), id))
        reply = make(draft)
        self._append(connection, page, cuts, entry_row(draft, asked, kind, self._now(), reply))
        return reply

    def _append(self, connection: Connection, page: Row[Any], cuts: tuple[str, ...], row: dict[str, Any]) -> None:
        """Write the row, linked to the one before it, and tell the page."""
        row = chain.sealed(row, self._entropy(chain.SALT_BYTES * len(chain.REMOVABLE)))
        write_on(connection, page, row | {"link": chain.link(page.head, row, cuts)})

    def recorded(self, channel: str, event: str | None) -> Reply | None:
        """The reply that the channel's event got when it was recorded, if it was."""
        kept = None if event is None else self.memory.replied(channel, event)
        return None if kept is None else reply_of(kept)

    def entry(self, channel: str, id: int) -> Entry | None:
        """The entry with that number, if there is one."""
        table = schema.entries
        with self._store.reading() as connection:
            query = select(table).where(table.c.channel == channel, table.c.id == id)
            row = connection.execute(query).one_or_none()
        return None if row is None else entry_of(row)

    def entries(self, channel: str, *, since: int = 0, last: int | None = None) -> list[Entry]:
        """The entries numbered `since` or more, in order; only the `last` of them, if given."""
        with self._store.reading() as connection:
            rows = entries_since(connection, channel, since, last)
        return [entry_of(row) for row in reversed(rows)]

    def page(self, channel: str) -> Page:
        """The page that rolls are written on now; opens one if there is none."""
        self._ensure_page(channel)
        with self._store.reading() as connection:
            page = open_page(connection, channel)
            assert page is not None, "pages are closed only by opening the next"
            return _page(connection, page)

    def pages(self, channel: str) -> list[Page]:
        """All pages of the channel, the oldest first."""
        with self._store.reading() as connection:
            return [_page(connection, row) for row in connection.execute(pages_of(channel)).all()]

    def cut(self, asked: Asked, words: str) -> Page:
        """Add a player's words to the page, before its first roll, once for each player."""
        words = checked_cut(words)
        with self._writing(asked.where) as connection:
            page = self._open_page(connection, asked.where)
            made = cuts_of(connection, page)
            if asked.event is None or all(cut.event != asked.event for cut in made):
                _may_cut(rolls_on(connection, page), any(cut.who == asked.who for cut in made))
                values = {"channel": page.channel, "page": page.id, "number": len(made) + 1}
                values |= {"who": asked.who, "words": words, "event": asked.event}
                connection.execute(insert(schema.cuts).values(values))
            return _page(connection, page)

    def reveal(self, asked: Asked) -> Page:
        """Close the page and open the next; returns the closed one with its secret."""
        with self._writing(asked.where) as connection:
            again = pages_of(asked.where).where(schema.pages.c.closed_by_event == asked.event)
            before = None if asked.event is None else connection.execute(again).one_or_none()
            if before is not None:
                return _page(connection, before)
            page = self._open_page(connection, asked.where)
            closing = {"closed": self._now(), "closed_by_event": asked.event}
            connection.execute(update(schema.pages).where(_is(page)).values(closing))
            self._open_page(connection, asked.where)
            return _page(connection, connection.execute(select(schema.pages).where(_is(page))).one())

    def export(self, channel: str, page: str | None = None) -> dict[str, Any]:
        """One page as anyone can verify it; the newest with anything on it if none is named."""
        with self._store.reading() as connection:
            rows = connection.execute(pages_of(channel)).all()
            named = [row for row in rows if page in (None, row.id)]
            if not named:
                known = ", ".join(row.id for row in rows) or "none, nothing was recorded there"
                raise LedgerError(f"Channel {channel} has no page {page or 'yet'}. Its pages: {known}.")
            used = [row for row in named if row.last >= row.first or cuts_of(connection, row)]
            return page_to_verify(connection, (used or named)[-1])

    def export_channel(self, channel: str) -> dict[str, Any]:
        """Everything recorded in a channel, to be imported elsewhere; no secret of an open page."""
        with self._store.reading() as connection:
            found = channel_out(connection, channel)
        if not found["pages"]:
            raise LedgerError(f"Nothing is recorded in channel {channel}.")
        return found

    def import_channel(self, found: Mapping[str, Any], channel: str | None = None) -> int:
        """Take in an exported channel, if it is whole and the name is free; returns how many entries."""
        checked = checked_import(found)
        channel = channel or checked["channel"]
        with self._writing(channel) as connection:
            return channel_in(connection, channel, checked, self._now())

    def played(self, ago: timedelta) -> list[str]:
        """The channels in which something was recorded no longer ago than that."""
        with self._store.reading() as connection:
            return played_since(connection, self._before(ago))

    def check(self) -> list[Checked]:
        """What is missing, put in or changed, page by page; damage of the file itself raises LedgerError."""
        with self._store.reading() as connection:
            self._store.check_file(connection)
            return check_record(connection)

    def faults(self, channel: str, id: int) -> list[str]:
        """What is wrong with one entry; none if it is as it was written."""
        here = (schema.entries.c.channel == channel) & (schema.entries.c.id == id)
        with self._store.reading() as connection:
            page = connection.execute(select(schema.entries.c.page).where(here)).scalar()
            row = connection.execute(select(schema.pages).where(_named(channel, str(page)))).one_or_none()
            if row is None:
                return [f"#{id} stands on no page."]
            found = check_row_page(connection, row).faults
        return [fault for fault in found if fault.startswith((f"#{id} ", f"#{id}:"))]

    def backup(self, file: Path) -> None:
        """Copy the record to a new file while it is in use."""
        self._store.backup(file)

    def forget(self, asked: Asked) -> int:
        """Remove a person's name and messages from a channel; returns how many entries were theirs."""
        with self._writing(asked.where) as connection:
            return forget_person(connection, asked.where, asked.who)

    @contextmanager
    def _writing(self, channel: str = "") -> Iterator[Connection]:
        """A transaction of the record, which the memory joins."""
        with self._store.writing(channel) as connection, self.memory.within(partial(run_on, connection)):
            yield connection

    def _now(self) -> str:
        return self._before(timedelta())

    def _before(self, ago: timedelta) -> str:
        return (self._clock().astimezone(UTC) - ago).isoformat(timespec="seconds")

    def _forget_old(self, connection: Connection) -> None:
        if self._keep_days is not None:
            forget_before(connection, self._before(timedelta(days=self._keep_days)))

    def _ensure_page(self, channel: str) -> None:
        """A page is opened for good: a roll that fails must not take its page, and so its dice, along."""
        with self._store.reading() as connection:
            if open_page(connection, channel) is not None:
                return
        with self._writing(channel) as connection:
            self._open_page(connection, channel)

    def _open_page(self, connection: Connection, channel: str) -> Row[Any]:
        """The row of the open page, made if there is none."""
        page = open_page(connection, channel)
        if page is not None:
            return page
        self._forget_old(connection)
        before = connection.execute(pages_of(channel)).all()
        number, last = (before[-1].number + 1, before[-1].last) if before else (1, 0)
        opened, secret = self._now(), self._entropy(SECRET_BYTES)
        values = {"channel": channel, "id": f"{opened[:10]}-{number}", "number": number, "opened": opened}
        values |= {"commitment": commitment(secret), "secret": secret, "first": last + 1, "last": last}
        values["head"] = chain.start(values)
        connection.execute(insert(schema.pages).values(values))
        return connection.execute(select(schema.pages).where(_named(channel, str(values["id"])))).one()


def _is(page: Row[Any]) -> Any:
    return _named(page.channel, page.id)


def _named(channel: str, id: str) -> Any:
    return (schema.pages.c.channel == channel) & (schema.pages.c.id == id)


def _may_cut(rolls: int, cut_before: bool) -> None:
    if cut_before:
        raise Refused("cut", "you have cut this page already; you can cut again on the next one")
    if rolls:
        raise Refused("cut", "this page has been rolled on; `reveal` opens the next page: cut that one")


def _page(connection: Connection, row: Row[Any]) -> Page:
    return page_of(row, cut_words(connection, row), rolls_on(connection, row))
