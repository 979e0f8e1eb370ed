"""The same record on a database server. Skipped unless DRUMHEAD_TEST_POSTGRES names one; `.ci/run` starts one.

For example postgresql://me@/postgres?host=/tmp; it needs the extra `postgres`, and leave to make schemas there.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from recording import WHEN, Entropy, asked, roll, rolling, saying
from sqlalchemy import URL, Engine, create_engine, make_url, text
from sqlalchemy.schema import CreateSchema, DropSchema

from bot import verify
from bot.app import App
from bot.content import load_rulesets
from bot.glossary import load_glossary
from bot.house import House
from bot.ledger import Draft, Ledger, LedgerError, Storage, place, store
from bot.reply import Reply
from tests.conversation import Clock, say, secret

SERVER = place.address(os.environ.get("DRUMHEAD_TEST_POSTGRES", "postgresql://"))
pytestmark = pytest.mark.skipif("DRUMHEAD_TEST_POSTGRES" not in os.environ, reason="no database server is named")


@pytest.fixture
def admin() -> Iterator[Engine]:
    engine = create_engine(SERVER, isolation_level="AUTOCOMMIT")
    yield engine
    engine.dispose()


@pytest.fixture
def url(admin: Engine) -> Iterator[str]:
    """A schema of its own, so that tests may run beside one another; its sessions are known by its name."""
    name = f"drumhead_{uuid4().hex}"
    with admin.connect() as connection:
        connection.execute(CreateSchema(name))
    apart = {"options": f"-csearch_path={name}", "application_name": name}
    yield shown(make_url(SERVER).update_query_dict(apart))
    with admin.connect() as connection:
        connection.execute(DropSchema(name, cascade=True))


@pytest.fixture
def server(url: str) -> Iterator[Ledger]:
    with Ledger(url, lambda: WHEN, Entropy()) as ledger:
        yield ledger


@pytest.fixture
def cut_off(admin: Engine, url: str) -> Callable[[], None]:
    """The server ends every connection to the record, as when it is started anew."""
    query = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = :name"

    def cut() -> None:
        with admin.connect() as connection:
            ended = connection.execute(text(query), {"name": make_url(url).query["application_name"]})
            assert ended.scalars().all()

    return cut


def shown(url: URL) -> str:
    return url.render_as_string(hide_password=False)


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


def test_two_programs_never_share_a_number(server: Ledger, url: str) -> None:
    with Ledger(url, lambda: WHEN, Entropy()) as other:
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


def test_two_programs_may_open_a_new_record_at_once(url: str) -> None:
    opened: list[int] = []

    def open_and_roll() -> None:
        with Ledger(url, lambda: WHEN, Entropy()) as ledger:
            roll(ledger)
            opened.append(len(ledger.entries("low-ferry")))

    threads = [threading.Thread(target=open_and_roll) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert max(opened) == len(opened) == 4


def test_a_server_that_was_started_anew_is_found_again(server: Ledger, cut_off: Callable[[], None]) -> None:
    roll(server)
    cut_off()
    assert server.memory.recall("low-ferry") == {}
    cut_off()
    roll(server)
    assert [entry.id for entry in server.entries("low-ferry")] == [1, 2]


def test_a_roll_that_the_server_cuts_off_never_was(server: Ledger, cut_off: Callable[[], None]) -> None:
    def cut_while_rolling(draft: Draft) -> Reply:
        cut_off()
        return rolling()(draft)

    with pytest.raises(LedgerError, match=r"stopped or started just now; wait a little"):
        server.record(asked(event="m1"), "dice", cut_while_rolling)
    assert server.recorded("low-ferry", "m1") is None
    assert roll(server, event="m1").machine["id"] == 1


def test_a_program_that_hangs_while_it_writes_is_complained_of(
    server: Ledger, url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store, "BUSY_SECONDS", 1)
    with Ledger(url, lambda: WHEN, Entropy()) as other:

        def wait(draft: Draft) -> Reply:
            with pytest.raises(LedgerError, match="another program is writing to it"):
                roll(other)
            return rolling()(draft)

        server.record(asked(), "dice", wait)
        roll(other)
    assert [entry.id for entry in server.entries("low-ferry")] == [1, 2]


def test_a_table_is_the_same_on_a_server_as_in_a_file(url: str, tmp_path: Path) -> None:
    said = (
        "open table Saltmarsh Wardens against Kiln Guard",
        "cut with the tide is out",
        "roll 10 shots, hit 4+, S5 AP-1 into T4, save 3+, W2, 5 models",
        "why",
        "next phase",
        "10 shots into T4, save 3+",
        "S5, hit 4+",
        "roll it",
        "undo",
        "log",
        "reveal",
        "forget me",
        "log",
    )
    told = []
    for where in (url, str(tmp_path / "ledger.db")):
        with Storage(where, Clock(), secret) as storage:
            app = App(House(load_rulesets(), load_glossary(), storage))
            told.append([say(app, text, event=f"m{number}").machine for number, text in enumerate(said)])
    assert told[0] == told[1]


@pytest.mark.parametrize(
    ("part", "told"),
    [
        ({"port": 1, "host": "localhost"}, "cannot be reached; check its address"),
        ({"database": "nowhere"}, "has no such database; create it there"),
        ({"username": "nobody-there"}, "does not let us in; check the name and the password"),
    ],
)
def test_a_wrong_address_is_told_without_the_password(part: dict[str, str], told: str) -> None:
    wrong = make_url(SERVER).set(password="tell-nobody", **part)  # type: ignore[arg-type]
    if "host" in part:
        wrong = wrong.set(query={})
    with pytest.raises(LedgerError, match=told) as complaint:
        Ledger(shown(wrong), lambda: WHEN, Entropy())
    assert "tell-nobody" not in str(complaint.value)
