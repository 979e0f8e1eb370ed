"""A record in a temporary file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from recording import WHEN, Entropy

from bot.ledger import Ledger


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "record.db"


@pytest.fixture
def ledger(file: Path) -> Iterator[Ledger]:
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        yield ledger
