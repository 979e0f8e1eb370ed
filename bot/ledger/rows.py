"""Rows of the database to entries and back."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from sqlalchemy import Row

from bot.asked import Asked
from bot.ledger.draft import Draft
from bot.ledger.entry import Entry, LedgerError, Page, whole
from bot.ledger.kept import dumps, reply_from_json, reply_to_json
from bot.reply import Reply


def entry_row(draft: Draft, asked: Asked, kind: str, at: str, reply: Reply) -> dict[str, Any]:
    """The row of a finished draft."""
    return {
        "id": draft.id,
        "kind": kind,
        "who": asked.who,
        "at": at,
        "text": asked.text.replace("\0", "\N{REPLACEMENT CHARACTER}"),
        "read": draft.read,
        "ruleset": draft.ruleset,
        "sides": dumps(draft.sides),
        "faces": dumps(draft.faces),
        "declared": draft.declared,
        "data": dumps(draft.data),
        "reply": reply_to_json(reply),
        "event": asked.event,
    }


def reply_of(kept: str) -> Reply:
    """The recorded answer to a message that is delivered again."""
    try:
        return reply_from_json(kept)
    except (ValueError, TypeError, KeyError, AttributeError):
        raise LedgerError(
            "This message was answered before, but the recorded answer is damaged. `drumhead check` names "
            "what was changed; a backup has it as it was."
        ) from None


def entry_of(row: Row[Any]) -> Entry:
    """The entry of a row."""
    with whole(row.id):
        return _entry_of(row)


def _entry_of(row: Row[Any]) -> Entry:
    return Entry(
        id=row.id,
        page=row.page,
        channel=row.channel,
        kind=row.kind,
        who=row.who,
        when=datetime.fromisoformat(row.at),
        text=row.text,
        read=row.read,
        ruleset=row.ruleset,
        sides=tuple(json.loads(row.sides)),
        faces=tuple(json.loads(row.faces)),
        declared=row.declared,
        data=json.loads(row.data),
        kept=row.reply,
        event=row.event,
    )


def page_of(row: Row[Any], cuts: tuple[str, ...], rolls: int) -> Page:
    """The page of a row; its secret only when it is closed."""
    return Page(
        id=row.id,
        channel=row.channel,
        number=row.number,
        opened=datetime.fromisoformat(row.opened),
        closed=None if row.closed is None else datetime.fromisoformat(row.closed),
        commitment=row.commitment,
        cuts=cuts,
        first=row.first,
        rolls=rolls,
        secret=None if row.closed is None or row.secret is None else row.secret.hex(),
    )
