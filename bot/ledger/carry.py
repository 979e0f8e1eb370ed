"""What leaves the record and comes into it: a page that anyone can verify, a whole channel, a backup."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, Row, insert

from bot.ledger import schema
from bot.ledger.entry import LedgerError
from bot.ledger.queries import cut_words, cuts_of, pages_of, rows_of
from resolver import sealed

CHANNEL_FORMAT = "drumhead channel 1"


def page_to_verify(connection: Connection, page: Row[Any]) -> dict[str, Any]:
    """One page as anyone can verify it; no secret while it is open."""
    return {
        "format": sealed.FORMAT,
        "page": page.id,
        "commitment": page.commitment,
        "secret": None if page.closed is None or page.secret is None else page.secret.hex(),
        "cuts": list(cut_words(connection, page)),
        "rolls": [_roll(row) for row in rows_of(connection, page)],
    }


def _roll(row: Row[Any]) -> dict[str, Any]:
    return {
        "id": row.id,
        "sides": json.loads(row.sides),
        "faces": json.loads(row.faces),
        "declared": row.declared,
        "who": row.who,
        "when": row.at,
        "text": row.text,
        "ruleset": row.ruleset,
    }


def channel_out(connection: Connection, channel: str) -> dict[str, Any]:
    """Everything recorded in a channel, but for the secret of its open page."""
    pages = [_page_out(connection, page) for page in connection.execute(pages_of(channel)).all()]
    return {"format": CHANNEL_FORMAT, "channel": channel, "pages": pages}


def _page_out(connection: Connection, page: Row[Any]) -> dict[str, Any]:
    values = {key: value for key, value in page._mapping.items() if key != "channel"}
    values["secret"] = None if page.closed is None or page.secret is None else page.secret.hex()
    cuts = [{"who": cut.who, "words": cut.words, "event": cut.event} for cut in cuts_of(connection, page)]
    return {**values, "cuts": cuts, "entries": [_row_out(row) for row in rows_of(connection, page)]}


def _row_out(row: Row[Any]) -> dict[str, Any]:
    return {key: value for key, value in row._mapping.items() if key not in ("channel", "page")}


def channel_in(connection: Connection, channel: str, found: Mapping[str, Any], now: str) -> int:
    """Write an exported channel under a name that is still free; returns how many entries came in.

    A page that was open is closed now: its secret stayed where it came from.
    """
    if connection.execute(pages_of(channel)).first() is not None:
        raise LedgerError(f"The record has a channel {channel} already; import under another name.")
    for page in found["pages"]:
        on_page = {"channel": channel, "page": page["id"]}
        values = {key: page[key] for key in schema.names(schema.pages, "channel")}
        secret = None if page["secret"] is None else bytes.fromhex(page["secret"])
        values |= {"channel": channel, "closed": page["closed"] or now, "secret": secret}
        connection.execute(insert(schema.pages).values(values))
        for number, cut in enumerate(page["cuts"], 1):
            connection.execute(insert(schema.cuts).values({**cut, **on_page, "number": number}))
        for row in page["entries"]:
            connection.execute(insert(schema.entries).values({**row, **on_page}))
    return sum(len(page["entries"]) for page in found["pages"])
