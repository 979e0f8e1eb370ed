"""Memory beside the record: there before the ledger is, in one transaction with it, and nothing loaded for it."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest
from recording import WHEN, Entropy, asked, roll, saying

from bot.ledger import Draft, Ledger, LedgerError, Storage
from bot.reply import Reply

ASKING = (
    ("what is AP", 0),
    ("what now", 0),
    ("may I shoot after advancing", 0),
    ("charge 9", 0),
    ("odds 10 attacks, hit 4+, S5 into T4, save 3+, W2", 0),
    ("charge from 9 after advancing", 2),
    ("10 attacks, hit 4+, S5", 2),
)


def stored(file: Path | str) -> Storage:
    return Storage(str(file), lambda: WHEN, Entropy())


def test_something_is_remembered_before_there_is_a_record(file: Path) -> None:
    with stored(file) as storage:
        assert not storage.memory.holds("low-ferry", "dice")
        storage.memory.remember("low-ferry", "Ann", {"last": "dice"})
    assert file.stat().st_mode & 0o777 == 0o600
    with stored(file) as storage:
        roll(storage.ledger)
        assert storage.memory.recall("low-ferry", "Ann") == {"last": "dice"}
        assert storage.memory.holds("low-ferry", "dice")
        assert not storage.memory.holds("low-ferry", "table")
        assert not storage.memory.holds("high-ferry", "dice")


@pytest.mark.parametrize(("message", "status"), ASKING)
def test_asking_loads_no_database_library(message: str, status: int, tmp_path: Path) -> None:
    asking = (
        "import sys; from bot.__main__ import main; "
        f"status = main(['ask', '--ledger', {str(tmp_path / 'record.db')!r}, {message!r}]); "
        "print('loaded', [name for name in ('sqlalchemy', 'discord', 'matplotlib') if name in sys.modules], status)"
    )
    ended = subprocess.run([sys.executable, "-c", asking], capture_output=True, text=True, check=True)
    assert ended.stdout.splitlines()[-1] == f"loaded [] {status}"


@pytest.mark.parametrize("url", ["{}", "sqlite:///{}", "sqlite:///{}?timeout=3"])
def test_every_address_of_a_file_has_one_memory(url: str, file: Path) -> None:
    with stored(url.format(file)) as storage:
        storage.memory.remember("low-ferry", "", {"ruleset": "two-rolls"})
        roll(storage.ledger)
        assert storage.memory.holds("low-ferry", "dice")
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        assert ledger.memory.recall("low-ferry") == {"ruleset": "two-rolls"}


def test_what_a_roll_remembers_is_seen_by_nobody_before_it_is_rolled(storage: Storage, file: Path) -> None:
    seen: list[object] = []

    def look() -> None:
        seen.append(storage.memory.recall("low-ferry", "Ann"))

    def make(draft: Draft) -> Reply:
        storage.memory.remember("low-ferry", "Ann", {"last": "dice"})
        other = threading.Thread(target=look)
        other.start()
        other.join()
        return saying("rolled")(draft)

    storage.ledger.record(asked(), "dice", make)
    look()
    assert seen == [{}, {"last": "dice"}]


@pytest.mark.parametrize(("version", "said"), [("99", "newer Drumhead"), ("none", "says no version")])
def test_a_record_that_cannot_be_read_is_refused_untouched(version: str, said: str, file: Path) -> None:
    with stored(file) as storage:
        roll(storage.ledger)
    with closing(sqlite3.connect(file)) as database, database:
        database.execute("UPDATE about SET value = ? WHERE key = 'version'", [version])
    before = file.read_bytes()
    with pytest.raises(LedgerError, match=said):
        stored(file)
    assert file.read_bytes() == before


def test_a_file_that_is_no_database_is_refused(file: Path) -> None:
    file.write_text("a letter from the ferry, much longer than the head of a database " * 20)
    with pytest.raises(LedgerError, match=r"is damaged or is not a record; put a backup in its place"):
        stored(file)


def test_a_folder_is_no_record(tmp_path: Path) -> None:
    with pytest.raises(LedgerError, match="cannot be opened"):
        stored(tmp_path)
