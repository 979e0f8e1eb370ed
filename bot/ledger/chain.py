"""How the rows of a page hang together: each row's link is a hash over the row and the link before it.

Words that belong to a person are hashed through a salted digest of their own, so that they can be removed
later without breaking the chain: the digest stays, the words and the salt go. Pure: no database here.
"""

from __future__ import annotations

import hashlib
import hmac
import json
from collections.abc import Mapping, Sequence
from typing import Any

from bot.ledger.kept import dumps

FORMAT = "drumhead chain 1"
SALT_BYTES = 16
# What can be removed alone (each under its own salt), and what is hashed as it stands.
REMOVABLE = ("who", "text", "read", "data", "reply")
FIXED = ("id", "kind", "at", "ruleset", "sides", "faces", "declared", "event")

Values = Mapping[str, Any]


def start(page: Values) -> str:
    """The link before the first row of a page."""
    return _hash([FORMAT, page["id"], page["opened"], page["commitment"]])


def sealed(row: Values, salts: bytes) -> dict[str, Any]:
    """The row with its salts and digests; `salts` are SALT_BYTES for each removable field."""
    parts = [salts[i * SALT_BYTES : (i + 1) * SALT_BYTES].hex() for i in range(len(REMOVABLE))]
    by_field = dict(zip(REMOVABLE, parts, strict=True))
    digests = {field: digest(by_field[field], row[field]) for field in REMOVABLE}
    return {**row, "salts": dumps(by_field), "digests": dumps(digests)}


def digest(salt: str, value: str) -> str:
    """The salted digest of a removable field; `salt` in hex."""
    return hmac.digest(bytes.fromhex(salt), value.encode(), "sha256").hex()


def link(before: str, row: Values, cuts: Sequence[str]) -> str:
    """The link of a row: over the link before, its fixed fields and digests, and the cuts once dice fall."""
    fixed = [row[field] for field in FIXED]
    digests = json.loads(row["digests"])
    kept = [digests[field] for field in REMOVABLE]
    return _hash([before, fixed, kept, list(cuts) if row["sides"] != "[]" else None])


def changed_fields(row: Values) -> list[str]:
    """The removable fields that are not what was written, as far as their salts are still there."""
    salts, digests = json.loads(row["salts"]), json.loads(row["digests"])
    return [field for field, salt in salts.items() if digest(salt, row[field]) != digests[field]]


def _hash(value: Any) -> str:
    return hashlib.sha256(dumps(value).encode()).hexdigest()
