"""The glossary as it lies on the shelf: every file, every entry, and a test for each."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bot.content import ROOM, load
from bot.terms import TermFile

PATHS = sorted((ROOM / "glossary" / "terms").glob("*.yaml"))
FILES = {path.stem: load(path, TermFile) for path in PATHS}
ENTRIES = {entry.id: entry for file in FILES.values() for entry in file.entries}


def every_entry(test: Callable[..., None]) -> Callable[..., None]:
    """The test, once for each entry."""
    return pytest.mark.parametrize("entry", ENTRIES.values(), ids=ENTRIES)(test)
