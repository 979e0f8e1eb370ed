"""An umpire with a record in a temporary file: one for questions that change nothing, one for each other test."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.app import App
from tests.conversation import umpire


@pytest.fixture(scope="session")
def adviser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[App]:
    with umpire(tmp_path_factory.mktemp("adviser")) as app:
        yield app


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    with umpire(tmp_path) as app:
        yield app
