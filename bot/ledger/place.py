"""Where a record is kept: its address, its file, and complaints about either in plain words."""

from __future__ import annotations

from pathlib import Path

from bot.ledger.entry import LedgerError

VERSION = 3
BUSY_SECONDS = 5
_FILE = "sqlite:///"


def address(url: str) -> str:
    """The database address of a file name or an address."""
    return url if "://" in url else f"{_FILE}{Path(url).expanduser()}"


def file_of(url: str) -> Path | None:
    """The file that the record is in; None for a database server, and for an address with settings of its own."""
    where = address(url)
    name = where.removeprefix(_FILE)
    return None if name == where or "?" in name or name in ("", ":memory:") else Path(name)


def is_there(url: str) -> bool:
    """Whether the record exists already; a database server is left to say so itself."""
    file = file_of(url)
    return file is None or file.exists()


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


def plainly(name: str, cause: str) -> str:
    """What a database's complaint means, and the way out."""
    lower = cause.lower()
    if "connection failed" in lower or "could not connect" in lower:
        way_out = "the database server does not let us in; check its address, name and password"
    elif "locked" in lower or "busy" in lower:
        way_out = "another program is writing to it; wait for that program or close it, then say it again"
    elif "full" in lower or "disk i/o" in lower:
        way_out = "there is no room to write; free some space there, then say it again. Nothing was lost"
    elif "unable to open" in lower:
        way_out = "it cannot be opened; check that the folder exists and may be written to"
    elif "malformed" in lower or "not a database" in lower:
        way_out = "the file is damaged or is not a record; put a backup in its place"
    elif "readonly" in lower:
        way_out = "it may only be read; give yourself the right to write to it, or name another file"
    else:
        way_out = "the database refused; `drumhead check` tells more"
    return f"The record {name}: {way_out} ({cause})."
