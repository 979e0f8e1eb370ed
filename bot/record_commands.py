"""What `drumhead export`, `check`, `backup` and `import` do with an open record; each returns a status."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, TextIO

from bot.ledger import Ledger, LedgerError, is_there
from bot.ledger.checking import Checked
from bot.wording import plural

FINE, FAULTS = 0, 1
MOST_BYTES = 200_000_000


def must_be_there(url: str) -> None:
    """Complain of a record that does not exist, where making a new one would help nobody."""
    if not is_there(url):
        raise LedgerError(f"There is no record at {url}. Name it with --ledger FILE, or DRUMHEAD_LEDGER.")


def export_page(ledger: Ledger, channel: str, page: str | None, out: TextIO) -> int:
    """One page as JSON, to be verified by anyone: the newest with anything on it if none is named."""
    return _write(ledger.export(channel, page), out)


def export_channel(ledger: Ledger, channel: str, out: TextIO) -> int:
    """A whole channel as JSON, to be imported into another record."""
    return _write(ledger.export_channel(channel), out)


def import_channel(ledger: Ledger, file: Path, channel: str | None, out: TextIO) -> int:
    """Take in an exported channel, under its own name or another."""
    found = _read(file)
    count = ledger.import_channel(found, channel)
    out.write(f"Imported {count} entries into channel {channel or found['channel']}.\n")
    return FINE


def check(ledger: Ledger, out: TextIO) -> int:
    """Whether every row is as it was written; each that is not is named."""
    found = ledger.check()
    for page in found:
        out.write(f"{page.channel}, page {page.page}: {_counted(page)}\n")
        out.writelines(f"  {fault}\n" for fault in page.faults)
    faults = sum(len(page.faults) for page in found)
    if faults:
        out.write(f"NOT as it was written: {plural(faults, 'fault')}. A backup has it as it was.\n")
        return FAULTS
    out.write("The record is as it was written.\n")
    return FINE


def backup(ledger: Ledger, file: Path, out: TextIO) -> int:
    """Copy the record to a new file while it is in use."""
    ledger.backup(file)
    out.write(f"The record is copied to {file}. It holds the secrets of open pages: keep it to yourself.\n")
    return FINE


def _counted(page: Checked) -> str:
    forgotten = f", names and messages removed from {page.forgotten}" if page.forgotten else ""
    return f"{page.entries} entries, {page.rolls} with dice{forgotten}"


def _write(found: dict[str, Any], out: TextIO) -> int:
    json.dump(found, out, ensure_ascii=False, indent=1)
    out.write("\n")
    return FINE


def _read(file: Path) -> Any:
    try:
        if file.stat().st_size > MOST_BYTES:
            raise LedgerError(f"{file} is larger than {MOST_BYTES} bytes; that is no exported channel.")
        return json.loads(file.read_bytes())
    except (OSError, ValueError, RecursionError) as error:
        raise LedgerError(f"{file} cannot be read: {error}. Name a file written by `drumhead export --all`.") from None
