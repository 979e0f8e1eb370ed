"""A record in a temporary file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from recording import WHEN, Entropy

from bot.ledger import Ledger, Storage


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "record.db"


@pytest.fixture
def storage(file: Path) -> Iterator[Storage]:
    with Storage(str(file), lambda: WHEN, Entropy()) as storage:
        yield storage


@pytest.fixture
def ledger(storage: Storage) -> Ledger:
    return storage.ledger
