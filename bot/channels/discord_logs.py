"""The log as JSON lines, one object for each record; no token is ever in it, wherever one might turn up."""

from __future__ import annotations

import json
import logging
import re
from datetime import UTC, datetime
from typing import TextIO

HIDDEN = "[token]"
# An interaction's own token: in the address of its answer, and as a value of what arrived.
_IN_ADDRESS = re.compile(r"(?<=/)((?:interactions|webhooks)/\d+)/[\w.~%=-]+")
_AS_VALUE = re.compile(r"""(token(?:\\?["'])?\s*[:=]\s*(?:\\?["']))[^"'\\\s]+""")
SHORT = 16  # characters; so short a secret may be a part of any word, and is hidden where it stands alone


class JsonLines(logging.Formatter):
    """`secrets` are replaced in every line."""

    def __init__(self, secrets: tuple[str, ...]) -> None:
        super().__init__()
        self._secrets = [_wherever_it_stands(json.dumps(secret)[1:-1]) for secret in secrets if secret]

    def format(self, record: logging.LogRecord) -> str:
        """One line of JSON."""
        said: dict[str, object] = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "from": record.name,
            "message": record.getMessage(),
        }
        fields = getattr(record, "fields", None)
        if isinstance(fields, dict):
            said |= fields
        if record.exc_info:
            said["trace"] = self.formatException(record.exc_info)
        line = json.dumps(said, ensure_ascii=False, default=str)
        for secret in self._secrets:
            line = secret.sub(HIDDEN, line)
        return _AS_VALUE.sub(rf"\1{HIDDEN}", _IN_ADDRESS.sub(rf"\1/{HIDDEN}", line))


def _wherever_it_stands(secret: str) -> re.Pattern[str]:
    found = re.escape(secret)
    return re.compile(rf"(?<!\w){found}(?!\w)" if len(secret) < SHORT else found)


def log_to(stream: TextIO, level: str, secrets: tuple[str, ...]) -> logging.Handler:
    """Send everything that is logged to the stream, and nowhere else: other places would not hide the secrets."""
    handler = logging.StreamHandler(stream)
    handler.setFormatter(JsonLines(secrets))
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel(level.upper())
    return handler
