"""The glossary as it lies on the shelf: every file, every entry, and a test for each."""

from __future__ import annotations

from collections.abc import Callable

from bot.content import ROOM, load
from bot.terms import Entry, TermFile

PATHS = sorted((ROOM / "glossary" / "terms").glob("*.yaml"))
FILES = {path.stem: load(path, TermFile) for path in PATHS}
ENTRIES = {entry.id: entry for file in FILES.values() for entry in file.entries}


def every_entry(test: Callable[[Entry], None]) -> Callable[[], None]:
    """One test that asks the same of each entry, and names the one that fails."""

    def asked_of_each() -> None:
        for id, entry in ENTRIES.items():
            try:
                test(entry)
            except AssertionError as wrong:
                raise AssertionError(f"{id}: {wrong}") from wrong

    asked_of_each.__name__, asked_of_each.__doc__ = test.__name__, test.__doc__
    return asked_of_each
