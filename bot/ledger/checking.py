"""Is the record as it was written? Every row that is missing, put in or changed is named."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Connection, Row, select

from bot.ledger import chain, schema
from bot.ledger.queries import channels, cut_words, pages_of, rows_of
from resolver.refused import Refused
from resolver.sealed import Stream, commitment, page_key

Values = Mapping[str, Any]


@dataclass(frozen=True)
class Checked:
    """What the check of one page found; `faults` are whole sentences, none if all is well."""

    channel: str
    page: str
    entries: int
    rolls: int
    forgotten: int
    faults: tuple[str, ...]


def check_record(connection: Connection) -> list[Checked]:
    """Every page of every channel."""
    found = [checked for channel in channels(connection) for checked in _check_channel(connection, channel)]
    return found + _strays(connection)


def _check_channel(connection: Connection, channel: str) -> Iterator[Checked]:
    due = 1
    for page in connection.execute(pages_of(channel)).all():
        checked = check_row_page(connection, page)
        if page.first != due:
            checked = replace(checked, faults=(*checked.faults, _gap(page.first, due)))
        due = page.last + 1
        yield checked


def _gap(first: int, due: int) -> str:
    if due == 1:
        return f"The channel begins at #{first}: what stood before it is missing."
    return f"The page begins at #{first}, but the page before it ends at #{due - 1}."


def check_row_page(connection: Connection, page: Row[Any]) -> Checked:
    """The page of a row of the database."""
    rows = [row._asdict() for row in rows_of(connection, page)]
    return check_page(page.channel, page._asdict(), cut_words(connection, page), rows)


def _strays(connection: Connection) -> list[Checked]:
    """Entries that stand on no page."""
    entry, page = schema.entries.c, schema.pages.c
    on_page = select(page.id).where((page.channel == entry.channel) & (page.id == entry.page)).exists()
    rows = connection.execute(select(entry.channel, entry.page, entry.id).where(~on_page)).all()
    fault = "#{} stands on a page that is missing."
    return [Checked(row.channel, row.page, 1, 0, 0, (fault.format(row.id),)) for row in rows]


def check_page(channel: str, page: Values, cuts: Sequence[str], rows: Sequence[Values]) -> Checked:
    """One page: its numbers, its chain, its words and its faces."""
    faults = [*_seal_faults(page), *_number_faults(page, rows), *_row_faults(page, cuts, rows)]
    return Checked(
        channel=channel,
        page=page["id"],
        entries=len(rows),
        rolls=sum(row["sides"] != "[]" for row in rows),
        forgotten=sum(not row["who"] for row in rows),
        faults=tuple(faults),
    )


def _seal_faults(page: Values) -> Iterator[str]:
    if page["secret"] is not None and commitment(_secret(page)) != page["commitment"]:
        yield "The secret of the page is not the one that was committed to."


def _number_faults(page: Values, rows: Sequence[Values]) -> Iterator[str]:
    there = {row["id"] for row in rows}
    expected = set(range(page["first"], page["last"] + 1))
    yield from (f"#{id} is missing." for id in sorted(expected - there))
    yield from (f"#{id} was put in: it does not belong to this page." for id in sorted(there - expected))


def _row_faults(page: Values, cuts: Sequence[str], rows: Sequence[Values]) -> Iterator[str]:
    key = None if page["secret"] is None else page_key(_secret(page), page["id"], cuts)
    before, expected = chain.start(page), page["first"]
    for row in rows:
        try:
            if row["id"] == expected and chain.link(before, row, cuts) != row["link"]:
                yield f"#{row['id']} was changed or put in: it does not follow from what stands before it."
            for field in chain.changed_fields(row):
                yield f"#{row['id']} was changed: its {field} is not what was written."
            if key is not None and not row["declared"]:
                yield from _face_faults(key, row)
        except (ValueError, KeyError, TypeError, AttributeError):
            yield f"#{row['id']} cannot be read."
        before, expected = row["link"], row["id"] + 1
    if before != page["head"] and expected == page["last"] + 1:
        yield f"The end of the page does not match its last row, #{page['last']}."


def _face_faults(key: bytes, row: Values) -> Iterator[str]:
    stream = Stream(key, row["id"])
    sides, faces = json.loads(row["sides"]), json.loads(row["faces"])
    if len(sides) != len(faces):
        yield f"#{row['id']} has {len(sides)} dice but {len(faces)} faces."
        return
    try:
        sealed = [stream.face(side) for side in sides]
    except Refused as refused:
        yield f"#{row['id']}: {refused.message}."
        return
    for number, (face, due) in enumerate(zip(faces, sealed, strict=True), 1):
        if face != due:
            yield f"#{row['id']}: die {number} shows {face}, but the sealed dice give {due}."
            return


def _secret(page: Values) -> bytes:
    """The secret, in bytes as it is kept or in hex as it is exported."""
    secret: bytes | str = page["secret"]
    return secret if isinstance(secret, bytes) else bytes.fromhex(secret)
