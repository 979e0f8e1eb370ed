"""A record that another program keeps locked: questions are answered, rolls are complained of, nobody is misnamed."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from bot.ledger import memory, store
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.world import Person
from tests.discord.test_buttons import said


@contextmanager
def locked(file: Path) -> Iterator[None]:
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield


@pytest.fixture
async def hurried(unstarted: Playing, monkeypatch: pytest.MonkeyPatch) -> Playing:
    """A client that waits hardly at all for another program."""
    for module in (memory, store):
        monkeypatch.setattr(module, "BUSY_SECONDS", 0.05)
    await unstarted.start()
    return unstarted


async def test_whoever_speaks_first_while_the_record_is_locked_is_answered_and_keeps_the_name(
    hurried: Playing, loopback: Loopback, ada: Person
) -> None:
    other = Person("Ada")
    file = hurried.folder / "ledger.db"
    with locked(file):
        assert "Armour penetration" in (await said(loopback, ada, "what is AP")).content
        refused = await said(loopback, ada, "dice d6")
        assert "The record could not be used" in refused.content
        assert str(file) not in refused.content
        assert "message_reference" in refused.data
        command = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "dice", dice="d6"))
        assert command.private
        assert "The record could not be used" in command.content
    assert "#1 dice d6" in (await said(loopback, other, "dice d6")).content
    await said(loopback, ada, "dice d6")
    entries = hurried.app.house.ledger.entries(f"discord:{loopback.ferry.id}")
    assert [entry.who for entry in entries] == ["Ada 2", "Ada"]
