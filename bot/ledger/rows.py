"""Rows of the database to entries and back."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from sqlalchemy import Row

from bot.asked import Asked
from bot.ledger.draft import Draft
from bot.ledger.entry import Entry
from bot.ledger.kept import dumps, reply_from_json, reply_to_json
from bot.reply import Reply


def entry_row(draft: Draft, asked: Asked, kind: str, page: str, at: str, reply: Reply) -> dict[str, Any]:
    """The row of a finished draft."""
    return {
        "channel": asked.where,
        "id": draft.id,
        "page": page,
        "kind": kind,
        "who": asked.who,
        "at": at,
        "text": asked.text,
        "read": draft.read,
        "ruleset": draft.ruleset,
        "sides": dumps(draft.sides),
        "faces": dumps(draft.faces),
        "declared": draft.declared,
        "data": dumps(draft.data),
        "reply": reply_to_json(reply),
        "event": asked.event,
    }


def entry_of(row: Row[Any]) -> Entry:
    """The entry of a row."""
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
        reply=reply_from_json(row.reply),
        event=row.event,
    )
