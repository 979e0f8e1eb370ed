"""Statements that every message asks, built once: a file is asked in SQLite's own words, a server by the library."""

from __future__ import annotations

import sqlite3
from collections import namedtuple
from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

from sqlalchemy import Connection, Insert, Row, Select, Update
from sqlalchemy.dialects import sqlite
from sqlalchemy.types import TypeDecorator

_FILE = sqlite.dialect(paramstyle="named")

Values = Mapping[str, Any]


class Ready:
    """A statement whose values are named. The library's detours cost a file more than SQLite's answer."""

    def __init__(self, statement: Select[Any] | Insert | Update) -> None:
        self._statement = statement

    def rows(self, connection: Connection, values: Values) -> Sequence[Row[Any]]:
        """The rows that it finds."""
        file = file_behind(connection)
        if file is None:
            return connection.execute(self._statement, values).all()
        return [self._row(row) for row in file.execute(self._words, values)]

    def run(self, connection: Connection, values: Values) -> None:
        """Run what finds nothing."""
        file = file_behind(connection)
        if file is None:
            connection.execute(self._statement, values)
        else:
            file.execute(self._words, values)

    @cached_property
    def _words(self) -> str:
        return str(self._statement.compile(dialect=_FILE))

    @cached_property
    def _named(self) -> Any:
        return namedtuple("_named", map(str, self._statement.exported_columns.keys()))  # as the library's rows are read

    @cached_property
    def _kept_otherwise(self) -> list[tuple[str, TypeDecorator[Any]]]:
        """The columns whose values are another thing in the file."""
        columns = self._statement.exported_columns
        return [(column.name, column.type) for column in columns if isinstance(column.type, TypeDecorator)]

    def _row(self, values: Sequence[Any]) -> Any:
        row = self._named(*values)
        changed = {name: kind.process_result_value(getattr(row, name), _FILE) for name, kind in self._kept_otherwise}
        return row._replace(**changed) if changed else row


def file_behind(connection: Connection) -> sqlite3.Connection | None:
    """The file that a connection is to, if it is to one."""
    driver = connection.connection.driver_connection
    return driver if isinstance(driver, sqlite3.Connection) else None
