"""Backups and channels that move: nothing is lost on the way, nothing comes in that was tampered with."""

from __future__ import annotations

import copy
import json
import stat
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from recording import WHEN, Entropy, asked, roll, saying

from bot import verify
from bot.ledger import Ledger, LedgerError, is_there, place

Found = dict[str, Any]


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Ledger]:
    with Ledger(str(tmp_path / "other.db"), lambda: WHEN, Entropy()) as other:
        yield other


@pytest.fixture
def found(ledger: Ledger) -> Found:
    """A channel of two pages as it is exported, after a way through JSON text."""
    ledger.cut(asked(), "the tide is out")
    roll(ledger, event="m1")
    ledger.record(asked(who="Bo"), "table", saying("a round begins"))
    ledger.reveal(asked())
    roll(ledger)
    exported: Found = json.loads(json.dumps(ledger.export_channel("low-ferry")))
    return exported


# Channels


def test_an_imported_channel_is_the_exported_one(ledger: Ledger, other: Ledger, found: Found) -> None:
    assert other.import_channel(found) == 3
    assert other.entries("low-ferry") == ledger.entries("low-ferry")
    assert other.export("low-ferry", "2026-11-25-1") == ledger.export("low-ferry", "2026-11-25-1")
    assert all(checked.faults == () for checked in other.check())
    verify.verify(other.export("low-ferry", "2026-11-25-1"))


def test_an_imported_channel_goes_on(other: Ledger, found: Found) -> None:
    other.import_channel(found)
    assert other.recorded("low-ferry", "m1") is not None
    assert roll(other).machine["id"] == 4
    assert other.page("low-ferry").id == "2026-11-25-3"
    assert all(checked.faults == () for checked in other.check())


def test_the_open_page_comes_without_its_secret_and_is_closed(other: Ledger, found: Found) -> None:
    assert [page["secret"] is None for page in found["pages"]] == [False, True]
    other.import_channel(found)
    page = other.pages("low-ferry")[1]
    assert page.closed is not None
    assert page.secret is None
    with pytest.raises(verify.Unreadable, match="not yet revealed"):
        verify.verify(other.export("low-ferry", page.id))


def test_a_channel_can_be_imported_under_another_name(ledger: Ledger, found: Found) -> None:
    with pytest.raises(LedgerError, match="has a channel low-ferry already"):
        ledger.import_channel(found)
    ledger.import_channel(found, "old-ferry")
    assert len(ledger.entries("old-ferry")) == 3
    assert all(checked.faults == () for checked in ledger.check())


def test_an_unknown_channel_cannot_be_exported(ledger: Ledger) -> None:
    with pytest.raises(LedgerError, match="Nothing is recorded in channel nowhere"):
        ledger.export_channel("nowhere")


BENT: dict[str, Callable[[Found], Any]] = {
    "a face": lambda f: f["pages"][0]["entries"][0].__setitem__("faces", "[6,6,6]"),
    "a word": lambda f: f["pages"][0]["entries"][0].__setitem__("text", "dice 3d6 please"),
    "a person": lambda f: f["pages"][0]["entries"][1].__setitem__("who", "Cy"),
    "a row left out": lambda f: f["pages"][0]["entries"].pop(0),
    "the last row left out": lambda f: f["pages"][1]["entries"].pop(),
    "a cut": lambda f: f["pages"][0]["cuts"][0].__setitem__("words", "the tide is in"),
    "the secret": lambda f: f["pages"][0].__setitem__("secret", "00" * 32),
    "a secret of nonsense": lambda f: f["pages"][0].__setitem__("secret", "tide"),
    "a page number of text": lambda f: f["pages"][0].__setitem__("first", "one"),
    "no format": lambda f: f.pop("format"),
    "no name": lambda f: f.__setitem__("channel", ""),
    "no pages": lambda f: f.pop("pages"),
    "a page that is no object": lambda f: f["pages"].append(7),
    "a key too many": lambda f: f["pages"][0].__setitem__("colour", "red"),
    "a key too few": lambda f: f["pages"][0]["entries"][0].pop("salts"),
    "an entry that is no object": lambda f: f["pages"][0]["entries"].append([]),
    "the same page twice": lambda f: f["pages"].append(copy.deepcopy(f["pages"][1])),
}


@pytest.mark.parametrize("name", BENT)
def test_a_bent_channel_is_refused_whole(other: Ledger, found: Found, name: str) -> None:
    BENT[name](found)
    with pytest.raises(LedgerError):
        other.import_channel(found)
    assert other.pages("low-ferry") == []
    assert other.entries("low-ferry") == []


@pytest.mark.parametrize("nonsense", [None, [], 7, "page", {}])
def test_nonsense_is_no_channel(other: Ledger, nonsense: Any) -> None:
    with pytest.raises(LedgerError, match="not an exported channel"):
        other.import_channel(nonsense)


# Backups


def test_a_backup_is_the_whole_record(ledger: Ledger, tmp_path: Path) -> None:
    roll(ledger)
    commitment = ledger.page("low-ferry").commitment
    ledger.memory.remember("low-ferry", "Ann", {"last": "dice"})
    ledger.backup(tmp_path / "copy.db")
    with Ledger(str(tmp_path / "copy.db"), lambda: WHEN, Entropy()) as copied:
        assert copied.entries("low-ferry") == ledger.entries("low-ferry")
        assert copied.memory.recall("low-ferry", "Ann") == {"last": "dice"}
        assert copied.page("low-ferry").commitment == commitment
        assert copied.check()[0].faults == ()


def test_a_backup_goes_on_with_the_same_dice(ledger: Ledger, tmp_path: Path) -> None:
    """The secret travels with the backup: the next roll there is the next roll here."""
    roll(ledger)
    ledger.backup(tmp_path / "copy.db")
    with Ledger(str(tmp_path / "copy.db"), lambda: WHEN, Entropy()) as copied:
        assert roll(copied, 20).machine == roll(ledger, 20).machine


def test_a_backup_can_be_made_in_the_middle_of_a_roll(ledger: Ledger, tmp_path: Path) -> None:
    roll(ledger)

    def copying(draft: Any) -> Any:
        ledger.backup(tmp_path / "copy.db")
        return saying("copied")(draft)

    ledger.record(asked(), "table", copying)
    with Ledger(str(tmp_path / "copy.db"), lambda: WHEN, Entropy()) as copied:
        assert len(copied.entries("low-ferry")) == 1


def test_a_backup_never_replaces_a_file(ledger: Ledger, tmp_path: Path) -> None:
    target = tmp_path / "copy.db"
    target.write_text("precious")
    with pytest.raises(LedgerError, match="exists already; name a new file"):
        ledger.backup(target)
    assert target.read_text() == "precious"


def test_a_backup_that_cannot_be_written_leaves_nothing(ledger: Ledger, tmp_path: Path) -> None:
    roll(ledger)
    with pytest.raises(LedgerError, match="could not be written"):
        ledger.backup(tmp_path / "no folder" / "copy.db")
    assert not list(tmp_path.glob("copy*"))


def test_the_record_and_its_backup_are_read_by_their_owner_alone(ledger: Ledger, file: Path, tmp_path: Path) -> None:
    roll(ledger)
    ledger.backup(tmp_path / "copy.db")
    for path in (file, tmp_path / "copy.db"):
        assert stat.S_IMODE(path.stat().st_mode) & 0o077 == 0


# Finding the record


def test_whether_a_record_is_there_is_known_without_making_one(tmp_path: Path) -> None:
    file = tmp_path / "folder" / "record.db"
    assert not is_there(str(file))
    assert not is_there(f"sqlite:///{file}")
    with Ledger(str(file), lambda: WHEN, Entropy()):
        pass
    assert is_there(str(file))
    assert is_there(f"sqlite:///{file}")
    assert is_there("postgresql://host/drumhead")


@pytest.mark.parametrize("written", ["postgres", "postgresql", "postgresql+psycopg"])
def test_a_server_is_reached_by_the_library_that_is_shipped_for_it(written: str) -> None:
    assert place.address(f"{written}://me@host/base") == "postgresql+psycopg://me@host/base"


@pytest.mark.parametrize(
    ("cause", "told"),
    [
        # What PostgreSQL 15 and psycopg 3 said when asked, shortened.
        ('connection failed: FATAL: password authentication failed for user "ann"', "does not let us in"),
        ('connection failed: FATAL: no pg_hba.conf entry for host "::1", user "ann"', "does not let us in"),
        ('connection failed: FATAL: role "ann" does not exist', "does not let us in"),
        ('connection failed: FATAL: database "night" does not exist', "no such database"),
        ("connection failed: Connection refused\n\tIs the server running?", "cannot be reached"),
        ("failed to resolve host 'nowhere.invalid': [Errno -2]", "cannot be reached"),
        ("terminating connection due to administrator command", "stopped or started"),
        ("FATAL: the database system is starting up", "stopped or started"),
        ("FATAL: sorry, too many clients already", "takes no more connections"),
        ("permission denied for table about", "give its user the right"),
        ("canceling statement due to lock timeout", "another program is writing"),
        ("could not extend file: No space left on device", "no room to write"),
        ("cannot execute INSERT in a read-only transaction", "only be read"),
        ("something new", "the database refused"),
    ],
)
def test_what_a_server_complains_of_is_said_plainly_on_one_line(cause: str, told: str) -> None:
    complaint = place.plainly("night at home", cause)
    assert told in str(complaint)
    assert " ".join(cause.split()) in str(complaint)
    assert told in complaint.shown
    assert not any(secret in complaint.shown for secret in ("night at home", '"ann"', "nowhere.invalid"))


def test_a_record_in_a_folder_that_cannot_be_is_complained_of(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(LedgerError, match="name another file"):
        Ledger(str(tmp_path / "file" / "record.db"), lambda: WHEN, Entropy())


@pytest.mark.parametrize("url", ["nonsense://", "://", "postgresql://:bad:port/", "oracle://host/base"])
def test_an_address_that_is_none_is_complained_of(url: str) -> None:
    with pytest.raises(LedgerError):
        Ledger(url, lambda: WHEN, Entropy())
