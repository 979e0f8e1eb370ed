"""The commands of the record, as a host runs them: exit status and words."""

from __future__ import annotations

import io
import json
import os
import sqlite3
import subprocess
import sys
from contextlib import closing, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import pytest
from recording import WHEN

from bot.__main__ import main
from bot.ledger import Ledger

ROOT = Path(__file__).parent.parent.parent


@dataclass(frozen=True)
class Done:
    returncode: int
    stdout: str
    stderr: str


class Host:
    """Runs drumhead on one record, in this process."""

    def __init__(self, record: Path) -> None:
        self.record = record

    def run(self, *arguments: str, fine: bool = True, said: str = "") -> Done:
        out, err = io.StringIO(), io.StringIO()
        with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
            patch.setenv("DRUMHEAD_LEDGER", str(self.record))
            patch.setattr(sys, "stdin", io.StringIO(said))
            status = main(list(arguments))
        assert not fine or status == 0, err.getvalue()
        return Done(status, out.getvalue(), err.getvalue())


@pytest.fixture
def host(file: Path) -> Host:
    """A record on which somebody has cut, rolled and revealed."""
    host = Host(file)
    said = "cut the tide is out\ndice 20d6\ndice 5d3\nreveal\ndice 2d6\n"
    host.run("ask", "--json", "-", "--channel", "low-ferry", said=said)
    return host


def test_a_page_is_exported_and_verified(host: Host, tmp_path: Path) -> None:
    listed = host.run("export", "--channel", "low-ferry", "--page", "nowhere", fine=False)
    assert listed.returncode != 0
    closed, opened = listed.stderr.split("Its pages: ")[1].strip().rstrip(".").split(", ")
    page = tmp_path / "page.json"
    page.write_text(host.run("export", "--channel", "low-ferry", "--page", closed).stdout)
    assert "25 dice, all as sealed" in host.run("verify", str(page)).stdout
    bent = json.loads(page.read_text())
    bent["rolls"][1]["faces"][0] = bent["rolls"][1]["faces"][0] % 3 + 1
    page.write_text(json.dumps(bent))
    done = host.run("verify", str(page), fine=False)
    assert (done.returncode, "Roll #2 differs: die 1 of 5" in done.stdout) == (1, True)
    page.write_text(host.run("export", "--channel", "low-ferry", "--page", opened).stdout)
    done = host.run("verify", str(page), fine=False)
    assert (done.returncode, "not yet revealed" in done.stderr) == (2, True)


def test_a_check_finds_nothing_or_names_the_row(host: Host) -> None:
    assert host.run("check").stdout.endswith("The record is as it was written.\n")
    with closing(sqlite3.connect(host.record)) as database, database:
        database.execute("DELETE FROM entries WHERE id = 2")
    done = host.run("check", fine=False)
    assert done.returncode == 1
    assert "  #2 is missing.\n" in done.stdout
    assert "NOT as it was written: 1 fault." in done.stdout


def test_a_backup_is_a_record(host: Host, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    assert "keep it to yourself" in host.run("backup", str(copy)).stdout
    assert Host(copy).run("check").stdout == host.run("check").stdout
    done = host.run("backup", str(copy), fine=False)
    assert (done.returncode, "exists already" in done.stderr) == (1, True)


def test_a_channel_moves_to_another_record(host: Host, tmp_path: Path) -> None:
    channel = tmp_path / "channel.json"
    channel.write_text(host.run("export", "--channel", "low-ferry", "--all").stdout)
    other = Host(tmp_path / "other.db")
    assert other.run("import", str(channel)).stdout == "Imported 3 entries into channel low-ferry.\n"
    assert other.run("check").returncode == 0
    page = ["export", "--channel", "low-ferry"]
    assert other.run(*page).stdout == host.run(*page).stdout
    done = other.run("import", str(channel), fine=False)
    assert (done.returncode, "import under another name" in done.stderr) == (1, True)


@pytest.mark.parametrize("text", ["", "{", "[]", '{"format": "drumhead page 1"}'])
def test_a_file_that_is_no_channel_is_refused(host: Host, tmp_path: Path, text: str) -> None:
    channel = tmp_path / "channel.json"
    channel.write_text(text)
    done = host.run("import", str(channel), fine=False)
    assert done.returncode == 1
    assert "drumhead export --all" in done.stderr


@pytest.mark.parametrize("command", [["check"], ["export"], ["backup", "copy.db"]])
def test_a_record_that_is_not_there_is_not_made_up(tmp_path: Path, command: list[str]) -> None:
    done = Host(tmp_path / "nowhere.db").run(*command, fine=False)
    assert done.returncode == 1
    assert "no record" in done.stderr
    assert not (tmp_path / "nowhere.db").exists()


@pytest.mark.parametrize("answers", [1, 60])
def test_what_was_printed_before_a_kill_is_in_the_record(file: Path, answers: int) -> None:
    """Two hundred messages in a pipe, and the umpire killed in the middle of them."""
    umpire = subprocess.Popen(
        [sys.executable, "-m", "bot", "ask", "--json", "-", "--ledger", str(file), "--channel", "low-ferry"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert umpire.stdin is not None
    assert umpire.stdout is not None
    umpire.stdin.write("dice 3d6\n" * 200)
    umpire.stdin.flush()
    printed = [umpire.stdout.readline() for _ in range(answers)]
    umpire.kill()
    umpire.wait(timeout=60)
    printed += [line for line in umpire.stdout if line.endswith("\n")]
    umpire.stdin.close()
    umpire.stdout.close()
    with Ledger(str(file), lambda: WHEN, os.urandom) as ledger:
        entries = ledger.entries("low-ferry")
        rolls = [json.loads(line) for line in printed]
        assert len(entries) in (len(rolls), len(rolls) + 1)
        assert [(item["id"], item["faces"]) for item in rolls] == [
            (entry.id, list(entry.faces)) for entry in entries[: len(rolls)]
        ]
        assert ledger.check()[0].faults == ()
