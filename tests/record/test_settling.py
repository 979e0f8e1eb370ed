"""Rolls that wait for the disk together: each is kept at once, none is let go before `settle`."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from recording import WHEN, Entropy, roll

from bot.ledger import Ledger, LedgerError, Storage
from bot.ledger.store import CHECKPOINT

Waits = list[int]


@pytest.fixture
def waits(monkeypatch: pytest.MonkeyPatch) -> Waits:
    """Every wait for the disk that the program makes itself, by the size of the file."""
    found: Waits = []
    fsync: Callable[[int], None] = os.fsync

    def noted(file: int) -> None:
        found.append(os.fstat(file).st_size)
        fsync(file)

    monkeypatch.setattr(os, "fsync", noted)
    return found


def stored(file: Path) -> Storage:
    return Storage(str(file), lambda: WHEN, Entropy())


def test_entries_share_one_wait_for_the_disk(file: Path, waits: Waits) -> None:
    with stored(file) as storage:
        storage.settle()
        for _ in range(5):
            roll(storage.ledger)
        assert not waits
        storage.settle()
        storage.settle()
        assert waits == [Path(f"{file}-wal").stat().st_size]
        roll(storage.ledger)
        storage.settle()
        assert len(waits) == 2


def test_closing_settles(file: Path, waits: Waits) -> None:
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger, Ledger(str(file), lambda: WHEN, Entropy()):
        ledger.settle()
        roll(ledger)
        waits.clear()
        ledger.close()
        assert len(waits) == 1


def test_a_busy_record_takes_in_its_log_when_it_settles(file: Path) -> None:
    """And only then: an answer does not wait for it."""
    sizes: list[int] = []
    with stored(file) as storage:
        for _ in range(2 * CHECKPOINT):
            roll(storage.ledger)
            sizes.append(file.stat().st_size)
        assert sizes[0] == sizes[-1]
        storage.settle()
        assert file.stat().st_size > sizes[-1]


def test_what_was_committed_is_there_for_others_before_it_is_settled(file: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    copy.mkdir()
    with stored(file) as storage:
        for _ in range(3):
            roll(storage.ledger)
        for left in file.parent.glob(f"{file.name}*"):  # as a process that is killed leaves it
            if left.is_file():
                shutil.copy(left, copy)
    with Ledger(str(copy / file.name), lambda: WHEN, Entropy()) as ledger:
        assert [entry.id for entry in ledger.entries("low-ferry")] == [1, 2, 3]
        assert all(not page.faults for page in ledger.check())


def test_what_a_killed_process_left_is_settled_by_the_next(file: Path, waits: Waits) -> None:
    with stored(file) as before, stored(file) as after:
        roll(before.ledger)
        assert after.ledger.entries("low-ferry")
        after.settle()
        assert len(waits) == 1


def test_a_disk_that_fails_is_complained_of(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(file: int) -> None:
        raise OSError(28, "No space left on device")

    with stored(file) as storage:
        roll(storage.ledger)
        monkeypatch.setattr(os, "fsync", fails)
        with pytest.raises(LedgerError, match="no room to write"):
            storage.settle()
        monkeypatch.undo()
        storage.settle()


def test_a_record_that_was_taken_into_its_file_has_nothing_to_wait_for(file: Path, waits: Waits) -> None:
    with stored(file) as storage:
        roll(storage.ledger)
        storage.ledger._store.engine.dispose()
        storage.memory.close()  # the last to leave takes the log into the file
        assert not Path(f"{file}-wal").exists()
        storage.settle()
        assert not waits
