"""Removing persons from the record: their names and messages go, the dice and the chain stay.

The salts of what is removed go too, so that nobody can test a guess against the digests that stay. A name is
replaced only where a name or a sentence stands, so that nobody can spoil the table's state by a clever name.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from typing import Any

from sqlalchemy import Connection, Row, select, text, update

from bot.ledger import schema
from bot.ledger.kept import dumps
from bot.ledger.memory import FORGET

SOMEONE = "someone"
REMOVED = "(removed)"  # where a message stood as it was typed; its reading stays
_PERSONS = {"who", "by", "seats", "people", "agreed"}
_SENTENCES = {"text", "title", "said"}


def forget_person(connection: Connection, channel: str, who: str) -> int:
    """Remove a person from a channel; returns how many entries were theirs."""
    if not who:
        return 0
    table = schema.entries
    rows = connection.execute(select(table).where(table.c.channel == channel)).all()
    _rewrite(connection, rows, {who})
    cuts = schema.cuts
    here = (cuts.c.channel == channel) & (cuts.c.who == who)
    connection.execute(update(cuts).where(here).values(who=""))
    connection.execute(text(FORGET), {"channel": channel, "who": who})
    return sum(row.who == who for row in rows)


def forget_before(connection: Connection, at: str) -> int:
    """Remove the names and messages of all entries older than `at`; returns how many there were."""
    table = schema.entries
    rows = connection.execute(select(table).where(table.c.at < at, table.c.who != "")).all()
    _rewrite(connection, rows, {row.who for row in rows})
    return len(rows)


def _rewrite(connection: Connection, rows: Iterable[Row[Any]], names: set[str]) -> None:
    for row in rows:
        new = _without(row, names)
        if new:
            salts = {field: salt for field, salt in json.loads(row.salts).items() if field not in new}
            here = (schema.entries.c.channel == row.channel) & (schema.entries.c.id == row.id)
            connection.execute(update(schema.entries).where(here).values({**new, "salts": dumps(salts)}))


def _without(row: Row[Any], names: set[str]) -> dict[str, str]:
    """The fields of a row that change when these names are forgotten."""
    own, dice = row.who in names, row.sides != "[]"
    message = row.text if own and row.text not in row.read else ""
    sweep = _Sweep(names, sentences=own or not dice, message=message)
    new = {
        "who": "" if own else row.who,
        "text": "" if own else row.text if dice else sweep.sentence(row.text),
        "read": row.read if dice else sweep.sentence(row.read),
        "data": dumps(sweep.value(json.loads(row.data), "")),
        "reply": dumps(sweep.value(json.loads(row.reply), "")),
    }
    return {field: value for field, value in new.items() if value != row._mapping[field]}


class _Sweep:
    """Goes through JSON and puts SOMEONE where a name stood."""

    def __init__(self, names: set[str], sentences: bool, message: str) -> None:
        self._names = names
        self._word = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, names))})(?!\w)")
        self._sentences = sentences
        self._message = message

    def value(self, value: Any, key: str) -> Any:
        """The value of `key` without the names."""
        if isinstance(value, dict):
            return {name: self.value(item, name) for name, item in value.items()}
        if isinstance(value, list):
            return [self.value(item, key) for item in value]
        if not isinstance(value, str):
            return value
        if key in _PERSONS:
            return SOMEONE if value in self._names else value
        return self.sentence(value) if key in _SENTENCES and self._sentences else value

    def sentence(self, said: str) -> str:
        """The sentence without the names, and without the message itself."""
        if self._message:
            said = said.replace(self._message, REMOVED)
        return self._word.sub(SOMEONE, said)
