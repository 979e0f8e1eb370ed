"""An exported channel is read before anything is written: its form, its numbers and its chain must hold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from bot.ledger import schema
from bot.ledger.carry import CHANNEL_FORMAT
from bot.ledger.checking import check_page
from bot.ledger.entry import LedgerError

_PAGE = {*schema.names(schema.pages, "channel"), "cuts", "entries"}
_ENTRY = {*schema.names(schema.entries, "channel", "page")}
_CUT = {"who", "words", "event"}


def checked_import(found: Any) -> Mapping[str, Any]:
    """The exported channel, or a complaint that names the first thing that is not as it was written."""
    if not isinstance(found, Mapping) or found.get("format") != CHANNEL_FORMAT:
        raise LedgerError("This is not an exported channel; `drumhead export --all` writes one.")
    if not isinstance(found.get("channel"), str) or not found["channel"]:
        raise LedgerError("The exported channel has no name.")
    for page in _objects(found.get("pages"), _PAGE, "page"):
        _check(found["channel"], page)
    return found


def _check(channel: str, page: Mapping[str, Any]) -> None:
    cuts = [cut["words"] for cut in _objects(page["cuts"], _CUT, "cut")]
    rows = _objects(page["entries"], _ENTRY, "entry")
    try:
        faults = check_page(channel, page, cuts, rows).faults
    except (ValueError, TypeError, KeyError, AttributeError):
        faults = ("it cannot be read.",)
    if faults:
        wrong = f"The exported page {page['id']} is not as it was written: {faults[0]}"
        raise LedgerError(f"{wrong} Export it again.")


def _objects(found: Any, keys: set[str], name: str) -> Sequence[Mapping[str, Any]]:
    if not isinstance(found, list):
        raise LedgerError(f"The exported channel has no list of {name} objects. Export it again.")
    for item in found:
        if not isinstance(item, Mapping) or set(item) != keys:
            raise LedgerError(f"Each {name} of an exported channel has the keys {', '.join(sorted(keys))}.")
    return found
