"""The machine channel: messages in, one JSON object a line out, in order."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TextIO

from bot.asked import Asked
from bot.misread import Misread
from bot.reply import Reply

Answer = Callable[[Asked], Reply]


def write(reply: Reply, out: TextIO) -> None:
    """One object on one line, flushed, so that what was seen was also written to the record."""
    out.write(json.dumps(reply.machine, ensure_ascii=False, allow_nan=False) + "\n")
    out.flush()


def stream(answer: Answer, who: str, where: str, messages: TextIO, out: TextIO) -> None:
    """Answer each line with one object, an empty line too, so that the two can be held side by side."""
    for line in messages:
        try:
            text = message_of(line)
        except Misread as misread:
            write(_misread(misread), out)
            continue
        write(answer(Asked(text=text, who=who, where=where)), out)


def message_of(line: str) -> str:
    """The message of one line of the stream."""
    line = line.rstrip("\r\n")
    if not line.lstrip().startswith('"'):
        return line
    try:
        text = json.loads(line)
    except json.JSONDecodeError as error:
        raise Misread(
            "a line that begins with a double quote is a JSON string, and this one is not",
            (error.pos, error.pos + 1),
            hint=json.dumps(line.strip('" ')),
        ) from None
    if not isinstance(text, str):
        raise Misread("a line that begins with a double quote is one JSON string")
    return text


def _misread(misread: Misread) -> Reply:
    data = {
        "message": misread.message,
        "at": list(misread.at) if misread.at else None,
        "missing": misread.missing,
        "hint": misread.hint,
    }
    return Reply("misread", misread.message, data=data)
