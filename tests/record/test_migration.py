"""Old records open: what they hold is kept and linked; newer ones are refused."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from recording import WHEN, Entropy, asked, roll

from bot import verify
from bot.ledger import Ledger, LedgerError, place

OLD = Path(__file__).parent / "version_1.sql"


@pytest.fixture
def old(file: Path) -> Path:
    with closing(sqlite3.connect(file)) as database:
        database.executescript(OLD.read_text(encoding="utf-8"))
    return file


def version(file: Path) -> str:
    with closing(sqlite3.connect(file)) as database:
        return str(database.execute("SELECT value FROM about WHERE key = 'version'").fetchone()[0])


def test_a_record_of_version_1_is_brought_forward(old: Path) -> None:
    with Ledger(str(old), lambda: WHEN, Entropy()) as ledger:
        entries = ledger.entries("low-ferry")
        assert [(entry.id, entry.who, entry.faces) for entry in entries] == [
            (1, "Ann", (3, 3, 1)),
            (2, "Bo", ()),
            (3, "Bo", (2, 3, 2, 2)),
            (4, "Ann", (7, 10)),
        ]
        assert ledger.memory.recall("low-ferry", "Ann") == {"last": "dice 2d20"}
        assert ledger.recorded("low-ferry", "m1") == entries[0].reply
        assert [checked.faults for checked in ledger.check()] == [(), (), ()]
    assert version(old) == str(place.VERSION)


def test_a_record_of_version_2_is_brought_forward(file: Path) -> None:
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        roll(ledger)
    with closing(sqlite3.connect(file)) as database, database:
        database.execute("DROP INDEX entries_by_kind")
        database.execute("UPDATE about SET value = '2' WHERE key = 'version'")
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        assert roll(ledger).machine["id"] == 2
    assert version(file) == str(place.VERSION)
    with closing(sqlite3.connect(file)) as database:
        asked_for = "SELECT kind FROM entries WHERE channel = 'low-ferry' AND kind = 'table' LIMIT 1"
        plan = " ".join(row[3] for row in database.execute(f"EXPLAIN QUERY PLAN {asked_for}"))
    assert "entries_by_kind" in plan


def test_an_old_page_still_verifies_and_goes_on(old: Path) -> None:
    with Ledger(str(old), lambda: WHEN, Entropy()) as ledger:
        assert "7 dice, all as sealed" in verify.verify(ledger.export("low-ferry", "2026-01-02-1"))
        assert roll(ledger).machine["id"] == 5
        assert roll(ledger, where="high-ferry").machine["id"] == 2
        assert ledger.reveal(asked()).id == "2026-01-02-2"
        assert ledger.page("low-ferry").id == "2026-11-25-3"
        assert all(checked.faults == () for checked in ledger.check())


def test_an_old_record_is_protected_from_now_on(old: Path) -> None:
    with Ledger(str(old), lambda: WHEN, Entropy()):
        pass
    with closing(sqlite3.connect(old)) as database, database:
        database.execute("UPDATE entries SET who = 'Cy' WHERE id = 3")
    with Ledger(str(old), lambda: WHEN, Entropy()) as ledger:
        assert ledger.faults("low-ferry", 3) == ["#3 was changed: its who is not what was written."]


def test_a_brought_forward_record_has_the_tables_of_a_new_one(old: Path, tmp_path: Path) -> None:
    def columns(file: Path) -> dict[str, set[tuple[str, str]]]:
        with closing(sqlite3.connect(file)) as database:
            names = [name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE sql IS NOT NULL")]
            return {
                name: {(row[1], row[2]) for row in database.execute(f"PRAGMA table_info({name})")} for name in names
            }

    for file in (old, tmp_path / "new.db"):
        with Ledger(str(file), lambda: WHEN, Entropy()):
            pass
    assert columns(old) == columns(tmp_path / "new.db")


def test_opening_again_changes_nothing(old: Path) -> None:
    with Ledger(str(old), lambda: WHEN, Entropy()) as ledger:
        first = ledger.export_channel("low-ferry")
    with Ledger(str(old), lambda: WHEN, Entropy()) as ledger:
        assert ledger.export_channel("low-ferry") == first


def test_a_migration_that_fails_leaves_the_old_record_as_it_was(old: Path) -> None:
    def no_entropy(count: int) -> bytes:
        raise LedgerError("the well is dry")

    with pytest.raises(LedgerError, match="the well is dry"):
        Ledger(str(old), lambda: WHEN, no_entropy)
    assert version(old) == "1"
    with Ledger(str(old), lambda: WHEN, Entropy()) as ledger:
        assert len(ledger.entries("low-ferry")) == 4


def test_a_newer_record_is_refused_and_left_alone(file: Path) -> None:
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        roll(ledger)
    with closing(sqlite3.connect(file)) as database, database:
        database.execute("UPDATE about SET value = '99'")
    with pytest.raises(LedgerError, match=r"newer Drumhead \(record version 99.*Update Drumhead"):
        Ledger(str(file), lambda: WHEN, Entropy())
    assert version(file) == "99"


@pytest.mark.parametrize("value", ["0", "two", "-1", ""])
def test_a_version_that_is_none_is_refused(file: Path, value: str) -> None:
    with Ledger(str(file), lambda: WHEN, Entropy()):
        pass
    with closing(sqlite3.connect(file)) as database, database:
        database.execute("UPDATE about SET value = ?", (value,))
    with pytest.raises(LedgerError, match="Put a backup in its place"):
        Ledger(str(file), lambda: WHEN, Entropy())
