"""A restart in the middle of a game, also by `kill -9`, loses nothing; two processes at one table keep order."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

from tests.conversation import umpire
from tests.table.play import folded_anew, play, state, table, unit

ROOT = Path(__file__).parent.parent.parent


def ask(ledger: Path, *messages: str, who: str = "Ada") -> list[dict[str, Any]]:
    """The machine channel in a process of its own."""
    lines = "".join(json.dumps(message) + "\n" if "\n" in message else message + "\n" for message in messages)
    command = [sys.executable, "-m", "bot", "ask", "--json", "-", "--ledger", str(ledger), "--who", who]
    done = subprocess.run(command, input=lines, capture_output=True, text=True, cwd=ROOT, timeout=120, check=True)
    return [json.loads(line) for line in done.stdout.splitlines()]


def test_the_game_goes_on_in_another_process(tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.db"
    ask(
        ledger,
        "open table Wardens against Kiln Guard",
        "Wardens go first",
        "go to the movement phase",
        "Wardens advance",
    )
    asked, warned, where = ask(ledger, "can the Wardens shoot?", "Wardens shoot the Kiln Guard at 14", "where are we")
    assert asked["answer"] == "no"
    assert "they advanced this turn (#4)" in asked["because"]
    assert warned["kind"] == "choice"
    assert where["state"]["phase"] == "movement"


def test_the_answer_to_a_question_is_understood_after_a_restart(tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.db"
    ask(
        ledger,
        "open table Wardens against Kiln Guard",
        "Wardens go first",
        "go to the shooting phase",
        "Wardens shoot Kiln Guard",
    )
    (rolled,) = ask(ledger, "at 14")
    assert rolled["kind"] == "attack"


def test_kill_in_the_middle_of_a_game_loses_nothing_that_was_shown(tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.db"
    ask(ledger, "open table Wardens against Kiln Guard", "Wardens go first", "go to the shooting phase")
    command = [sys.executable, "-m", "bot", "ask", "--json", "-", "--ledger", str(ledger)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        shown = []
        for _ in range(3):
            process.stdin.write("Wardens shoot the Kiln Guard at 14 anyway\n")
            process.stdin.flush()
            shown.append(json.loads(process.stdout.readline()))
        process.stdin.write("Wardens shoot the Kiln Guard at 14 anyway\n" * 5)
        process.stdin.flush()
        os.kill(process.pid, signal.SIGKILL)
    (where,) = ask(ledger, "where are we")
    (record,) = ask(ledger, "export Kiln Guard")
    numbers = [attack["id"] for attack in shown]
    assert numbers == [4, 5, 6]
    for attack in shown:
        (entry,) = ask(ledger, f"show #{attack['id']}")
        assert sorted(entry["faces"]) == sorted(face for group in attack["faces"] for face in thrown(group))
    left = [found["state"]["sides"][1]["units"][0]["models_left"] for found in (shown[-1], where)]
    assert left[1] <= left[0]
    assert record["state"] == where["state"]


def thrown(group: dict[str, list[list[int]]]) -> list[int]:
    return [face for dice in group.values() for die in dice for face in die]


def test_every_restart_gives_the_same_state(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", "go to the shooting phase", "Wardens lost 3 models", "undo") as app:
        before = state(app)
    with umpire(tmp_path) as app:
        assert state(app) == before
        kept, anew = folded_anew(app)
        assert kept == anew


def test_a_message_delivered_twice_happens_once(tmp_path: Path) -> None:
    from tests.conversation import say

    with table(tmp_path, "go to the shooting phase") as app:
        first = say(app, "Wardens shoot the Kiln Guard at 14", event="m1")
        again = say(app, "Wardens shoot the Kiln Guard at 14", event="m1")
        assert again.machine == first.machine
        assert unit(app, "Wardens")["did"] == ["shot"]


def test_two_people_at_one_table_are_ordered_and_see_each_other(tmp_path: Path) -> None:
    with umpire(tmp_path) as one, umpire(tmp_path) as other:
        play(one, "open table Saltmarsh Wardens against Kiln Guard", "Wardens go first")
        play(other, "next phase", "Wardens advance", who="Ben")
        play(one, "next phase")
        assert state(other) == state(one)
        assert state(one)["phase"] == "shooting"
