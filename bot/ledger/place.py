"""Where a record is kept: its address, its file, and complaints about either in plain words."""

from __future__ import annotations

import os
import re
from pathlib import Path

from bot.ledger.entry import LedgerError

VERSION = 3
BUSY_SECONDS = 5
_FILE = "sqlite:///"
_SERVER = "postgresql+psycopg://"
_SERVERS = ("postgresql://", "postgres://")  # how a server's address is often written

# What a database's complaint means, and the way out; the first pattern that fits counts.
_WAYS_OUT = (
    (
        "password authentication|no password|pg_hba|role .* does not exist",
        "the database server does not let us in; check the name and the password in its address",
    ),
    (
        "database .* does not exist",
        "the server has no such database; create it there, or correct its name in the address",
    ),
    (
        "permission denied",
        "the database server lets us in but not do that; give its user the right to make tables and write to them",
    ),
    (
        "starting up|shutting down|terminating connection|closed the connection|connection is lost",
        "the database server was stopped or started just now; wait a little, then say it again",
    ),
    (
        "too many (clients|connections)|remaining connection slots",
        "the database server takes no more connections; wait a little, then say it again",
    ),
    (
        "connection failed|connection is bad|could not connect|failed to resolve|timeout expired",
        "the database server cannot be reached; check its address, and whether it runs",
    ),
    (
        "locked|busy|lock timeout",
        "another program is writing to it; wait for that program or close it, then say it again",
    ),
    (
        "is full|disk i/o|no space left",
        "there is no room to write; free some space there, then say it again. Nothing was lost",
    ),
    ("unable to open", "it cannot be opened; check that the folder exists and may be written to"),
    ("malformed|not a database", "the file is damaged or is not a record; put a backup in its place"),
    ("readonly|read-only", "it may only be read; give yourself the right to write to it, or name another place"),
)


def address(url: str) -> str:
    """The database address of a file name or an address."""
    if "://" not in url:
        return f"{_FILE}{Path(url).expanduser()}"
    written = next((start for start in _SERVERS if url.startswith(start)), None)
    return url if written is None else _SERVER + url.removeprefix(written)


def file_of(url: str) -> Path | None:
    """The file that the record is in; None for a database server, and for an address with settings of its own."""
    where = address(url)
    name = where.removeprefix(_FILE)
    return None if name == where or "?" in name or name in ("", ":memory:") else Path(name)


def is_there(url: str) -> bool:
    """Whether the record exists already; a database server is left to say so itself."""
    file = file_of(url)
    return file is None or file.exists()


def check_room(file: Path) -> None:
    """Complain of the folder if no new record could be made there; nothing is made."""
    folder = next(folder for folder in file.absolute().parents if folder.exists())
    if not folder.is_dir():
        raise LedgerError(f"The record {file} cannot be made ({folder} is no folder); name another file.")
    if not os.access(folder, os.W_OK | os.X_OK):
        raise LedgerError(f"The record {file} cannot be made ({folder} may not be written to); name another file.")


def make_file(file: Path) -> None:
    """A new record is a file that only its owner reads, since it holds secrets."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.touch(mode=0o600)
    except OSError as error:
        raise LedgerError(f"The record {file} cannot be opened ({error.strerror}); name another file.") from None


def checked_version(found: str | None, name: str) -> int:
    """The version that a record says it has, if this program can read it."""
    version = int(found) if found is not None and found.isdecimal() else 0
    if version > VERSION:
        raise LedgerError(
            f"{name} was written by a newer Drumhead (record version {version}, this one knows "
            f"{VERSION}). Update Drumhead, or name another file."
        )
    if version < 1:
        raise LedgerError(f"{name} says no version that Drumhead knows. Put a backup in its place.")
    return version


def plainly(name: str, cause: str) -> LedgerError:
    """What a database's complaint means, and the way out."""
    said = " ".join(cause.split())
    fitting = (way_out for pattern, way_out in _WAYS_OUT if re.search(pattern, said, re.IGNORECASE))
    way_out = next(fitting, "the database refused; `drumhead check` tells more")
    return LedgerError(f"The record {name}: {way_out} ({said}).", f"The record: {way_out}.")
