"""Ruleset files of one's own: what cannot be used is named and hurts no other; what can be is played."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields
from pathlib import Path
from shutil import copytree

import pytest

from bot.app import App
from bot.content import ROOM, ContentError, load_rulesets
from bot.glossary import entry_ids, load_glossary
from bot.house import House
from bot.ledger import Storage
from bot.questions.values import values_of
from bot.reply import Dice, Line, Note
from bot.table.permit import because
from resolver.ruleset import (
    ACTIONS,
    CONDITIONS,
    DifferenceChart,
    Feature,
    Movement,
    Permission,
    PhaseRule,
    RatioChart,
    Ruleset,
    TableChart,
)
from tests.conversation import Clock, say, secret

STANDARD = (ROOM / "config" / "rules" / "standard.yaml").read_text(encoding="utf-8")
RULESETS = load_rulesets()


def room_with(folder: Path, **files: bytes) -> Path:
    """A content room of the shipped one, with these ruleset files beside the shipped ones."""
    copytree(ROOM / "config" / "rules", folder / "config" / "rules")
    copytree(ROOM / "glossary" / "terms", folder / "glossary" / "terms")
    for name, content in files.items():
        (folder / "config" / "rules" / f"{name}.yaml").write_bytes(content)
    return folder


def mine(old: str = "rounds: 5", new: str = "rounds: 5") -> bytes:
    """The standard ruleset under a name of its own, its first `old` replaced."""
    return STANDARD.replace("id: standard", "id: mine").replace(old, new, 1).encode()


UNUSABLE = {
    "a second file of one id": (STANDARD.encode(), r"mine\.yaml:3: id: is standard, but the file is called mine"),
    "no text": (b"id: mine\ntitle: caf\xe9\n", r"mine\.yaml:2: file: is not UTF-8 text"),
    "no plain text": (b"id: mine\n\ntitle: \x01\n", r"mine\.yaml:3: file: control characters are not allowed"),
    "an unknown entry": (
        mine("entry: phase-order", "entry: nowhere"),
        r"mine\.yaml:52: permissions\[1\]\.entry: no entry of the glossary is called nowhere",
    ),
    "an unknown name": (
        mine("{engaged_within}", "{reach}"),
        r"mine\.yaml:71: permissions\[5\]\.because: the names that may stand in \{braces\} are ruleset, die,",
    ),
    "a brace alone": (mine("{engaged_within}", "{"), r"mine\.yaml:71: permissions\[5\]\.because: the names that"),
}


@pytest.mark.parametrize("why", UNUSABLE)
def test_a_file_that_cannot_be_used_is_complained_of_with_key_and_line_and_hurts_no_other(
    why: str, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    content, complaint = UNUSABLE[why]
    rulesets = load_rulesets(room_with(tmp_path, mine=content))
    with pytest.raises(ContentError, match=complaint) as caught:
        rulesets["mine"]
    assert str(tmp_path) not in str(caught.value)
    assert str(tmp_path) in caplog.text
    assert dict(rulesets) == dict(RULESETS)
    assert list(rulesets.unusable) == ["mine"]


def test_a_folder_that_is_called_like_a_ruleset_hurts_no_other(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    (room / "config" / "rules" / "mine.yaml").mkdir()
    rulesets = load_rulesets(room)
    assert rulesets.unusable["mine"].complaints == ("mine.yaml:1: file: cannot be read (Is a directory)",)
    assert dict(rulesets) == dict(RULESETS)


def test_every_name_that_texts_may_use_is_filled_at_the_table_too() -> None:
    names = values_of(RULESETS["standard"])
    said = Permission(
        actions=("shoot",),
        conditions=("engaged",),
        allowed="no",
        because=" ".join(f"{{{name}}}" for name in names),
        entry="engaged",
    )
    assert because(said, RULESETS["standard"]) == " ".join(names.values())


def test_the_names_of_entries_are_those_of_the_glossary() -> None:
    assert entry_ids() == set(load_glossary().entries)


BAD = mine("die: 6", "die: 4")


@contextmanager
def umpire_with(room: Path, folder: Path) -> Iterator[App]:
    """The app over the rulesets of a room."""
    with Storage(str(folder / "ledger.db"), Clock(), secret) as storage:
        yield App(House(load_rulesets(room), load_glossary(), storage))


def test_one_bad_file_leaves_every_other_ruleset_to_be_chosen(tmp_path: Path) -> None:
    with umpire_with(room_with(tmp_path, mine=BAD), tmp_path) as app:
        shelf = say(app, "rules")
        assert (shelf.data or {})["rulesets"] == list(RULESETS)
        (note,) = [block.text for block in shelf.blocks if isinstance(block, Note)]
        assert note.startswith("mine can't be used:\nmine.yaml:")
        assert "plays: Skirmish by difference" in say(app, "rules difference").title
        assert "with First game" in say(app, "open table Reds against Blues with first-game").title
        for text in ("rules mine", "open table Reds against Blues with mine"):
            told = say(app, text, where="elsewhere")
            assert told.kind == "trouble"
            assert "mine.yaml:" in (told.data or {})["message"]
            assert str(tmp_path) not in str(told)


def test_a_channel_whose_own_rules_went_bad_says_so_until_others_are_chosen(tmp_path: Path) -> None:
    room = room_with(tmp_path, mine=mine())
    with umpire_with(room, tmp_path) as app:
        say(app, "rules mine")
        assert (say(app, "charge 9").data or {})["ruleset"] == "mine"
    (room / "config" / "rules" / "mine.yaml").write_bytes(BAD)
    with umpire_with(room, tmp_path) as app:
        assert "mine.yaml:" in (say(app, "charge 9").data or {})["message"]
        assert say(app, "rules").title == "This channel plays mine."
        say(app, "rules standard")
        assert (say(app, "charge 9").data or {})["ruleset"] == "standard"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("ask", "--json", "--ruleset", "mine", "charge 9"), "drumhead: {}\n"),
        (("discord", "--check"), "WRONG  record: {}\n"),
    ],
)
def test_a_command_that_needs_a_bad_file_ends_with_its_complaint_alone(
    words: tuple[str, ...], told: str, tmp_path: Path
) -> None:
    room_with(tmp_path, mine=mine("rounds: 5", "rounds: five"))
    for name in ("bot", "resolver"):
        (tmp_path / name).symlink_to(ROOM / name)
    (tmp_path / "ours.yaml").write_text("ruleset: mine\n", encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "bot", *words, "--ledger", "ledger.db"],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env={**os.environ, "DISCORD_TOKEN": "a.b.c", "DRUMHEAD_SETTINGS": "ours.yaml"},
        timeout=60,
    )
    assert done.returncode == 1
    assert told.format("mine.yaml:41: rounds: is a whole number; got 'five'") in done.stdout + done.stderr
    assert "Traceback" not in done.stdout + done.stderr


def test_an_advance_ends_what_the_ruleset_says_it_ends(tmp_path: Path) -> None:
    with umpire_with(room_with(tmp_path), tmp_path) as app:
        say(app, "open table Saltmarsh Wardens against Kiln Guard with two-rolls")
        assert say(app, "Wardens advance anyway").title.endswith('up to 9"; no charge this turn')


def test_a_game_of_its_own_phases_and_few_permissions_is_still_asked_about(tmp_path: Path) -> None:
    own = mine("id: shooting\n    title: Shooting phase", "id: volley\n    title: Hour of arrows")
    own = own[: own.index(b"permissions:")]
    with umpire_with(room_with(tmp_path, mine=own), tmp_path) as app:
        say(app, "rules mine")
        assert "Shooting belongs to the hour of arrows" in str(say(app, "which phase do I shoot in?"))
        assert say(app, "what can I do after advancing?").kind != "trouble"


def test_a_fixed_charge_is_no_dice(tmp_path: Path) -> None:
    with umpire_with(room_with(tmp_path, mine=mine("charge: 2d6", "charge: 7")), tmp_path) as app:
        say(app, "rules mine")
        told = say(app, "roll charge from 9 re-roll")
        assert not any(isinstance(block, Dice) for block in told.blocks)
        said = "7 without dice, 8 needed: the charge fails, and the unit does not move"
        assert Line(said, strong=True) in told.blocks
        assert Note("there are no dice to throw again, so the re-roll has no effect") in told.blocks
        say(app, "open table Saltmarsh Wardens against Kiln Guard")
        charged = say(app, "Wardens charge the Kiln Guard from 8 anyway")
        assert "needs 7, 7 without dice; the charge reaches" in charged.title


def test_what_is_added_to_the_dice_of_a_charge_stands_beside_them(tmp_path: Path) -> None:
    with umpire_with(room_with(tmp_path), tmp_path) as app:
        say(app, "open table Saltmarsh Wardens against Kiln Guard with two-rolls")
        say(app, "own dice yes")
        told = say(app, "Wardens charge the Kiln Guard from 8 with dice 4 anyway")
        assert "rolled 4 +3 = 7" in told.title


def test_every_key_of_a_ruleset_is_explained_on_its_page() -> None:
    page = (ROOM / "docs" / "rulesets.md").read_text(encoding="utf-8")
    keys = {
        item.name
        for kind in (Ruleset, Movement, PhaseRule, Permission, RatioChart, DifferenceChart, TableChart)
        for item in fields(kind)
    }
    assert {key for key in keys if f"`{key}`" not in page} == set()
    assert {value for value in (*Feature, *ACTIONS, *CONDITIONS) if value not in page} == set()
    assert {name for name in values_of(RULESETS["standard"]) if f"{{{name}}}" not in page} == set()
