"""Death, full disks, locks and damage: nothing shown is lost, nothing is rolled twice, and help is said."""

from __future__ import annotations

import json
import os
import resource
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from recording import WHEN, Entropy, asked, roll, rolling

from bot.app import App
from bot.channels.paint import plain
from bot.content import load_rulesets
from bot.glossary import load_glossary
from bot.house import House
from bot.ledger import Draft, Ledger, LedgerError, Memory, Storage, memory, store
from bot.reply import Reply

HERE = Path(__file__).parent
KILLS = 200


def killing(record: Path, *way: str) -> list[list[Any]]:
    """Every answer that was shown: its event, number and faces."""
    command = [sys.executable, str(HERE / "killing.py"), str(record), *way]
    paths = os.pathsep.join([str(HERE), str(HERE.parent.parent)])
    done = subprocess.run(
        command, capture_output=True, text=True, timeout=300, check=True, env={**os.environ, "PYTHONPATH": paths}
    )
    return [json.loads(line) for line in done.stdout.splitlines()]


def assert_nothing_is_lost(record: Path, shown: list[list[Any]]) -> None:
    with Ledger(str(record), lambda: WHEN, os.urandom) as ledger:
        entries = {entry.event: entry for entry in ledger.entries("low-ferry")}
        for event, number, faces in shown:
            assert entries[event].id == number
            assert list(entries[event].faces) == faces
            again = ledger.record(asked(event=event), "dice", rolling(5))
            assert again.machine == {"kind": "dice", "id": number, "faces": faces}
        assert [entry.id for entry in entries.values()] == list(range(1, len(entries) + 1))
        assert [checked.faults for checked in ledger.check()] == [()]


def test_umpires_killed_at_random_lose_nothing_and_roll_nothing_twice(file: Path) -> None:
    shown = killing(file, "random", str(KILLS), "20261125")
    assert len(shown) > KILLS / 2
    events = {event for event, _, _ in shown}
    assert len(events) < len(shown), "some messages were delivered twice"
    assert len({(event, number, tuple(faces)) for event, number, faces in shown}) == len(events)
    assert_nothing_is_lost(file, shown)


def test_an_umpire_killed_at_every_step_of_a_roll_loses_nothing(file: Path) -> None:
    with Ledger(str(file), lambda: WHEN, os.urandom) as ledger:
        roll(ledger, event="before")
    *shown, (_, steps, _) = killing(file, "steps")
    assert steps > 6, "begun, read, written, linked, committed, and the moment before showing"
    assert_nothing_is_lost(file, shown)
    with Ledger(str(file), lambda: WHEN, os.urandom) as ledger:
        written = [step for step in range(steps) if ledger.recorded("low-ferry", f"s{step}.0")]
        assert written == [steps - 1], "only the umpire that died after its commit has left a roll"
        for step in range(steps):
            first = ledger.record(asked(event=f"s{step}.0"), "dice", rolling(5))
            assert ledger.record(asked(event=f"s{step}.0"), "dice", rolling(5)) == first
        assert len(ledger.entries("low-ferry")) == 1 + steps + len(shown)
        assert ledger.check()[0].faults == ()


# Full disks


def fill(ledger: Ledger) -> None:
    """No page can be added to the database from now on (on its one open connection)."""
    with ledger._store.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA max_page_count = 1")


def roll_until_full(ledger: Ledger, shown: list[Reply], first: int = 0) -> None:
    for i in range(first, 200):
        shown.append(roll(ledger, event=f"m{i}"))


def test_a_full_disk_is_said_and_the_roll_was_not_made(ledger: Ledger) -> None:
    shown = [roll(ledger, event=f"m{i}") for i in range(3)]
    fill(ledger)
    with pytest.raises(LedgerError, match=r"no room to write; free some space.*Nothing was lost"):
        roll_until_full(ledger, shown, first=3)
    assert [entry.reply for entry in ledger.entries("low-ferry")] == shown
    assert ledger.recorded("low-ferry", f"m{len(shown)}") is None


def test_when_there_is_room_again_the_same_roll_is_made(ledger: Ledger) -> None:
    seen: list[list[int]] = []

    def watching(draft: Draft) -> Reply:
        reply = rolling(100)(draft)
        seen.append(reply.machine["faces"])
        return reply

    def watching_until_full() -> None:
        for _ in range(200):
            ledger.record(asked(), "dice", watching)

    roll(ledger)
    fill(ledger)
    with pytest.raises(LedgerError):
        watching_until_full()
    with ledger._store.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA max_page_count = 100000")
    ledger.record(asked(), "dice", watching)
    assert seen[-1] == seen[-2], "a roll that could not be written shows no other faces later"
    assert ledger.check()[0].faults == ()


LIMITED = """
import os, resource, sys
from recording import WHEN, asked, rolling
from bot.ledger import Ledger, LedgerError
with Ledger(sys.argv[1], lambda: WHEN, os.urandom) as ledger:
    size = os.path.getsize(sys.argv[1] + "-wal")
    resource.setrlimit(resource.RLIMIT_FSIZE, (size + 60_000, size + 60_000))
    shown = 0
    try:
        for i in range(1000):
            ledger.record(asked(event=f"m{i}"), "dice", rolling(5))
            shown += 1
    except LedgerError as error:
        print(shown, error)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size + 60_000, size + 60_000))
"""


def test_a_file_that_may_not_grow_is_said_and_nothing_shown_is_lost(file: Path) -> None:
    paths = os.pathsep.join([str(HERE), str(HERE.parent.parent)])
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, str(file)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env={**os.environ, "PYTHONPATH": paths},
    )
    shown, complaint = done.stdout.split(" ", 1)
    assert "no room to write" in complaint
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[0] == resource.RLIM_INFINITY
    with Ledger(str(file), lambda: WHEN, os.urandom) as ledger:
        assert len(ledger.entries("low-ferry")) == int(shown) > 0
        assert ledger.check()[0].faults == ()
        assert roll(ledger).machine["id"] == int(shown) + 1


# Locks


@pytest.fixture
def waiting(ledger: Ledger, file: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Storage]:
    """A record that another program is writing to, and an umpire that does not wait long."""
    roll(ledger, event="before")
    monkeypatch.setattr(store, "BUSY_SECONDS", 0.05)
    monkeypatch.setattr(memory, "BUSY_SECONDS", 0.05)
    with Storage(str(file), lambda: WHEN, Entropy()) as waiting, closing(sqlite3.connect(file)) as other:
        assert waiting.ledger.entry("low-ferry", 1)
        other.execute("BEGIN IMMEDIATE")
        yield waiting
        other.rollback()


@pytest.fixture
def locked(waiting: Storage) -> Ledger:
    return waiting.ledger


def test_a_locked_record_is_said_and_the_roll_was_not_made(locked: Ledger, file: Path) -> None:
    with pytest.raises(LedgerError, match=f"{file}.*another program is writing to it; wait"):
        roll(locked)
    assert len(locked.entries("low-ferry")) == 1


def test_a_locked_record_can_still_be_read(locked: Ledger) -> None:
    assert locked.recorded("low-ferry", "before") is not None
    assert locked.page("low-ferry").rolls == 1


def test_when_the_lock_is_gone_the_roll_is_made(ledger: Ledger, file: Path) -> None:
    with closing(sqlite3.connect(file)) as other:
        roll(ledger)
        other.execute("BEGIN IMMEDIATE")
        other.rollback()
    assert roll(ledger).machine["id"] == 2


# Damage


def test_a_file_that_is_no_database_is_said(file: Path) -> None:
    file.write_bytes(b"these are the notes of the last evening, not a record" * 100)
    with pytest.raises(LedgerError, match="damaged or is not a record; put a backup in its place"):
        Ledger(str(file), lambda: WHEN, Entropy())
    assert file.read_bytes().startswith(b"these are the notes")


def test_a_damaged_file_is_found_by_the_check(file: Path) -> None:
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        for _ in range(60):
            roll(ledger)
    whole = bytearray(file.read_bytes())
    middle = len(whole) // 2 // 4096 * 4096
    whole[middle : middle + 4096] = os.urandom(4096)
    file.write_bytes(whole)
    with Ledger(str(file), lambda: WHEN, Entropy()) as ledger, pytest.raises(LedgerError, match=r"[Bb]ackup|damaged"):
        ledger.check()


def test_a_database_of_another_program_is_left_alone(file: Path) -> None:
    with closing(sqlite3.connect(file)) as other, other:
        other.execute("CREATE TABLE about (key TEXT, value TEXT)")
        other.execute("CREATE TABLE pages (title TEXT)")
    with pytest.raises(LedgerError, match="says no version that Drumhead knows"):
        Ledger(str(file), lambda: WHEN, Entropy())
    with closing(sqlite3.connect(file)) as other:
        assert len(other.execute("SELECT name FROM sqlite_master").fetchall()) == 2


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write everywhere")
def test_a_record_that_may_only_be_read_is_said(file: Path) -> None:
    with Ledger(str(file), lambda: WHEN, Entropy()):
        pass
    file.chmod(0o400)
    with pytest.raises(LedgerError, match="may only be read"), Ledger(str(file), lambda: WHEN, Entropy()) as ledger:
        roll(ledger)


# The umpire above the record


@pytest.fixture
def forgetful(storage: Storage, monkeypatch: pytest.MonkeyPatch) -> App:
    """An umpire that cannot remember conversations: the disk is full, say."""

    def full(memory: Memory, channel: str, who: str, kept: dict[str, Any]) -> None:
        raise LedgerError("there is no room to write")

    monkeypatch.setattr(Memory, "remember", full)
    return App(House(load_rulesets(), load_glossary(), storage))


def test_an_answer_is_given_even_if_the_conversation_cannot_be_kept(forgetful: App) -> None:
    reply = forgetful.answer(asked("roll 10 attacks, hit 4+, S5 into T4, W2"))
    assert (reply.kind, reply.machine["missing"]) == ("misread", "save")
    assert forgetful.answer(asked("dice 3d6")).machine["id"] == 1


def test_what_could_not_be_kept_whole_is_not_kept_at_all(forgetful: App) -> None:
    """A roll and what is remembered of it are one transaction: said to have failed, it has not happened."""
    reply = forgetful.answer(asked("roll 10 attacks, hit 4+, S5 into T4, no save"))
    assert reply.kind == "trouble"
    assert "no room to write" in plain(reply)
    assert forgetful.house.ledger.entries("low-ferry") == []


def test_a_damaged_record_is_said_to_the_player(storage: Storage, file: Path) -> None:
    """Not as a mistake of the program, and never with the advice to roll again."""
    umpire = App(House(load_rulesets(), load_glossary(), storage))
    umpire.answer(asked("dice 3d6", event="m1"))
    with closing(sqlite3.connect(file)) as database, database:
        database.execute("UPDATE entries SET reply = '{'")
    reply = umpire.answer(asked("dice 3d6", event="m1"))
    assert (reply.kind, "`drumhead check`" in plain(reply, 200)) == ("trouble", True)
    assert str(file) not in plain(reply, 200)
    with closing(sqlite3.connect(file)) as database:
        assert database.execute("SELECT count(*) FROM entries").fetchone() == (1,)


def test_a_locked_record_is_said_to_the_player(waiting: Storage) -> None:
    umpire = App(House(load_rulesets(), load_glossary(), waiting))
    assert "another program is writing to it" in plain(umpire.answer(asked("dice 3d6")), 200)
    assert umpire.answer(asked("show #1")).kind == "show"


def test_a_memory_that_cannot_be_kept_is_said(waiting: Storage) -> None:
    with pytest.raises(LedgerError, match="another program is writing to it"):
        waiting.memory.remember("low-ferry", "Ann", {"last": "dice"})
    assert waiting.memory.recall("low-ferry", "Ann") == {}
