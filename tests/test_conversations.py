"""Golden conversations: each file in tests/cases/conversations is replayed and must come out as written.

A line that begins with "> " is a message ("> Ben: ..." when somebody else speaks); what follows is the reply as a
phone shows it. After a deliberate change of wording, run with REWRITE_CASES=1, then read the difference line by line.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from bot.channels.paint import PHONE, plain
from tests.conversation import say, umpire

CASES = sorted((Path(__file__).parent / "cases" / "conversations").glob("*.txt"))
SPEAKER = re.compile(r"(?:(Ada|Ben|Cleo): )?(.*)")


def replayed(text: str, folder: Path) -> str:
    """The same file with every reply as it comes out now."""
    out: list[str] = []
    with umpire(folder) as app:
        for line in text.splitlines():
            if line.startswith("#") and not any(row.startswith("> ") for row in out):
                out.append(line)
            elif line.startswith("> "):
                match = SPEAKER.fullmatch(line[2:])
                assert match is not None
                reply = say(app, match[2], who=match[1] or "Ada")
                out += ["", line, plain(reply, PHONE)]
    return "\n".join(out) + "\n"


@pytest.mark.parametrize("case", CASES, ids=lambda path: path.stem)
def test_the_conversation_comes_out_as_written(case: Path, tmp_path: Path) -> None:
    text = case.read_text(encoding="utf-8")
    now = replayed(text, tmp_path)
    if os.environ.get("REWRITE_CASES"):
        case.write_text(now, encoding="utf-8")
    assert now == text


@pytest.mark.parametrize("case", CASES, ids=lambda path: path.stem)
def test_every_row_fits_a_phone(case: Path) -> None:
    rows = [row for row in case.read_text(encoding="utf-8").splitlines() if not row.startswith(("> ", "#"))]
    assert all(len(row) <= PHONE for row in rows)
