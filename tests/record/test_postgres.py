"""The same record on a database server. Skipped unless DRUMHEAD_TEST_POSTGRES names an empty database.

For example postgresql+psycopg://me@/scratch?host=/tmp; it needs the extra `postgres`. Its tables are dropped.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from recording import WHEN, Entropy, asked, roll, saying

from bot import verify
from bot.ledger import Ledger, LedgerError, schema

URL = os.environ.get("DRUMHEAD_TEST_POSTGRES", "")
pytestmark = pytest.mark.skipif(not URL, reason="DRUMHEAD_TEST_POSTGRES names no database")


@pytest.fixture
def server() -> Iterator[Ledger]:
    with Ledger(URL, lambda: WHEN, Entropy()) as ledger:
        yield ledger
        schema.metadata.drop_all(ledger._store.engine)
        ledger._store.run("DROP TABLE memory", {})


def test_a_game_night_is_recorded_sealed_and_checked(server: Ledger) -> None:
    server.cut(asked(), "the tide is out")
    first = roll(server, event="m1")
    assert roll(server, event="m1") == first
    server.record(asked(who="Bo", text="no\0thing"), "table", saying("a round begins"))
    closed = server.reveal(asked(event="m2"))
    assert server.reveal(asked(event="m2")) == closed
    roll(server)
    assert [entry.id for entry in server.entries("low-ferry")] == [1, 2, 3]
    assert verify.verify(server.export("low-ferry", closed.id)).startswith("Verified.")
    assert [checked.faults for checked in server.check()] == [(), ()]


def test_a_person_is_forgotten_and_the_chain_holds(server: Ledger) -> None:
    roll(server)
    assert server.forget(asked()) == 1
    assert [checked.faults for checked in server.check()] == [()]


def test_a_channel_moves_from_a_file_to_the_server(server: Ledger, ledger: Ledger) -> None:
    roll(ledger)
    assert server.import_channel(ledger.export_channel("low-ferry")) == 1
    assert server.entries("low-ferry") == ledger.entries("low-ferry")


def test_two_programs_never_share_a_number(server: Ledger) -> None:
    with Ledger(URL, lambda: WHEN, Entropy()) as other:
        threads = [
            threading.Thread(target=lambda ledger=ledger: [roll(ledger) for _ in range(15)])  # type: ignore[misc]
            for ledger in (server, other)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert [entry.id for entry in server.entries("low-ferry")] == list(range(1, 31))
    assert [checked.faults for checked in server.check()] == [()]


def test_its_backup_is_left_to_the_server(server: Ledger, tmp_path: Path) -> None:
    with pytest.raises(LedgerError, match="server's own tools"):
        server.backup(tmp_path / "copy.db")


def test_a_database_that_is_not_there_is_said_without_the_password() -> None:
    wrong = URL.replace("://", "://nobody:tell-nobody@localhost:1/nowhere?x=", 1).split("?")[0]
    with pytest.raises(LedgerError, match="does not let us in") as complaint:
        Ledger(wrong, lambda: WHEN, Entropy())
    assert "tell-nobody" not in str(complaint.value)
