"""The demonstration game of five rounds: it plays as printed, after any restart, and from the record alone."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest

from bot.channels.paint import PHONE
from tests.conversation import say, umpire
from tests.table.play import folded_anew
from tests.test_conversations import SPEAKER, replayed

CASE = Path(__file__).parent.parent / "cases" / "game" / "low-ferry.txt"


def messages() -> list[tuple[str, str]]:
    rows = [line[2:] for line in CASE.read_text(encoding="utf-8").splitlines() if line.startswith("> ")]
    found = [SPEAKER.fullmatch(row) for row in rows]
    return [(match[1] or "Ada", match[2]) for match in found if match]


def timeless(machine: dict[str, Any]) -> dict[str, Any]:
    """The answer without the time of day, which a restart of the test's clock changes."""
    return {key: value for key, value in machine.items() if key != "when"}


def last_state(folder: Path) -> dict[str, Any]:
    with umpire(folder) as app:
        found: dict[str, Any] = say(app, "report").machine["state"]
    return found


def test_the_game_plays_as_printed(tmp_path: Path) -> None:
    text = CASE.read_text(encoding="utf-8")
    now = replayed(text, tmp_path)
    if os.environ.get("REWRITE_CASES"):
        CASE.write_text(now, encoding="utf-8")
    assert now == text


def test_every_row_fits_a_phone() -> None:
    rows = [row for row in CASE.read_text(encoding="utf-8").splitlines() if not row.startswith(("> ", "#"))]
    assert all(len(row) <= PHONE for row in rows)


def test_a_restart_after_every_message_loses_nothing(tmp_path: Path) -> None:
    straight, halting = tmp_path / "straight", tmp_path / "halting"
    for folder in (straight, halting):
        folder.mkdir()
    with umpire(straight) as app:
        replies = [timeless(say(app, text, who).machine) for who, text in messages()]
        kept, anew = folded_anew(app)
        assert kept == anew
    again = []
    for who, text in messages():
        with umpire(halting) as app:
            again.append(timeless(say(app, text, who).machine))
    assert again == replies
    assert last_state(halting) == last_state(straight)


def test_the_game_goes_through_five_rounds_and_ends(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        states = [
            reply.machine["state"] for who, text in messages() if "state" in (reply := say(app, text, who)).machine
        ]
    assert {state["round"] for state in states if state} == {1, 2, 3, 4, 5}
    assert states[-1]["over"]
    assert not states[-1]["open"]


@pytest.mark.parametrize(
    "kind", ["correct", "undo", "agreed|not agreed", "anyway", "step by step", "report", "rest", "show"]
)
def test_the_game_shows_what_the_table_can_do(kind: str) -> None:
    assert any(re.match(kind, text) or kind in text for _, text in messages())
