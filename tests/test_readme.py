"""The README tells the truth: its conversation is replayed, its commands are two single lines."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest

from bot.channels import console
from bot.channels.paint import PHONE, plain
from tests.conversation import say, umpire

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
TALKS = re.findall(r"^```text\n(> .*?)^```$", README, re.MULTILINE | re.DOTALL)


GAME = (ROOT / "tests" / "cases" / "game" / "low-ferry.txt").read_text(encoding="utf-8")


def replayed(talk: str, folder: Path) -> str:
    """The messages of a printed conversation, answered now."""
    out = []
    with umpire(folder) as app:
        for line in talk.splitlines():
            if line.startswith("> "):
                out.append(f"{line}\n{plain(say(app, line[2:]), PHONE)}\n")
    return "\n".join(out)


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, first, *_ = README.split("\n\n")
    assert title == "# Drumhead"
    assert first.startswith("Two friends play")


def test_the_first_two_blocks_are_one_command_each() -> None:
    blocks = re.findall(r"^```sh\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    assert [block.count("\n") for block in blocks[:2]] == [1, 1]
    assert blocks[0].strip().endswith("drumhead")
    assert blocks[1].strip().endswith("pytest -n 2")


@pytest.mark.parametrize("talk", TALKS, ids=lambda talk: talk.splitlines()[0])
def test_the_printed_conversation_is_a_real_one(talk: str, tmp_path: Path) -> None:
    assert replayed(talk, tmp_path) == talk


def test_there_is_a_printed_conversation() -> None:
    assert TALKS


def test_every_link_of_the_readme_leads_somewhere() -> None:
    for link in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / link).exists(), link


def test_the_longer_example_is_the_whole_demonstration_game() -> None:
    assert f"```text\n{GAME}```" in README


def test_the_game_plays_through_the_console_as_printed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    spoken = [line[2:] for line in GAME.splitlines() if line.startswith("> ")]
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(spoken) + "\n"))
    monkeypatch.setenv("COLUMNS", str(PHONE))
    with umpire(tmp_path) as app:
        console.run(app.answer, ["Ada", "Ben"], "low-ferry", tmp_path / "history")
    printed = capsys.readouterr().out.removeprefix(console.GREETING).strip()
    assert printed == GAME[GAME.index("> ") :].strip()
