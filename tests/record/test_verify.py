"""The verifying program: apart from the stream it checks, strict about every change, plain in its words."""

from __future__ import annotations

import ast
import copy
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from recording import asked, dice, roll, saying

from bot import verify
from bot.ledger import Draft, Ledger
from bot.reply import Reply

PROGRAM = Path(verify.__file__)
Page = dict[str, Any]
Change = Callable[[Page], None]


@pytest.fixture
def page(ledger: Ledger) -> Page:
    """A revealed page with two cuts, several kinds of dice, an entry of words and one of declared dice."""
    ledger.cut(asked(who="Ann"), "the tide is out")
    ledger.cut(asked(who="Bo"), "ébène")
    roll(ledger, 40)
    roll(ledger, 7, 3)
    ledger.record(asked(), "table", saying("a round begins"))

    def own(draft: Draft) -> Reply:
        draft.declare([6, 2])
        draft.dice(dice(2))
        return Reply("dice", "own")

    ledger.record(asked(), "dice", own)
    roll(ledger, 12, 100)
    ledger.reveal(asked())
    return ledger.export("low-ferry")


def run(file: Path) -> subprocess.CompletedProcess[str]:
    """The program as a suspicious player runs it: one file, Python alone, far from this project."""
    command = [sys.executable, "-I", str(PROGRAM), str(file)]
    return subprocess.run(command, capture_output=True, text=True, cwd=file.parent, timeout=60, check=False)


def written(page: Any, tmp_path: Path) -> Path:
    file = tmp_path / "page.json"
    file.write_text(json.dumps(page), encoding="utf-8")
    return file


def test_a_page_as_it_was_sealed_is_verified(page: Page, tmp_path: Path) -> None:
    done = run(written(page, tmp_path))
    assert done.returncode == 0
    assert done.stderr == ""
    assert "Verified. Page '2026-11-25-1', #1 to #5: 59 dice, all as sealed." in done.stdout
    assert "Declared by players, so beyond any check: #4." in done.stdout
    assert page["commitment"] in done.stdout


def _face(page: Page) -> None:
    faces = page["rolls"][1]["faces"]
    faces[3] = faces[3] % 3 + 1


def _last_face(page: Page) -> None:
    faces = page["rolls"][4]["faces"]
    faces[-1] = faces[-1] % 100 + 1


def _order(page: Page) -> None:
    faces = page["rolls"][0]["faces"]
    other = next(i for i, face in enumerate(faces) if face != faces[0])
    faces[0], faces[other] = faces[other], faces[0]


def _rolls_swapped(page: Page) -> None:
    page["rolls"][0], page["rolls"][1] = page["rolls"][1], page["rolls"][0]


def _ids_swapped(page: Page) -> None:
    page["rolls"][0]["id"], page["rolls"][1]["id"] = 2, 1


def _all_ids_moved(page: Page) -> None:
    for item in page["rolls"]:
        item["id"] += 1


CHANGES: dict[str, tuple[Change, str]] = {
    "a face": (_face, r"Roll #2 differs: die 4 of 7, with 3 faces, shows \d, but the seal gives \d"),
    "the last face": (_last_face, r"Roll #5 differs: die 12 of 12"),
    "the order of faces": (_order, r"Roll #1 differs"),
    "an impossible face": (lambda p: p["rolls"][0]["faces"].__setitem__(0, 7), r"Roll #1 differs"),
    "a cut": (lambda p: p["cuts"].__setitem__(0, "the tide is in"), r"Roll #1 differs"),
    "the order of cuts": (lambda p: p["cuts"].reverse(), r"Roll #1 differs"),
    "a cut left out": (lambda p: p["cuts"].pop(), r"Roll #1 differs"),
    "a cut added": (lambda p: p["cuts"].append("x"), r"Roll #1 differs"),
    "an empty cut added": (lambda p: p["cuts"].append(""), r"cuts differ"),
    "an overlong cut": (lambda p: p["cuts"].append("x" * 101), r"cuts differ"),
    "the page id": (lambda p: p.__setitem__("page", "2026-11-25-2"), r"Roll #1 differs"),
    "the secret": (lambda p: p.__setitem__("secret", "00" * 32), r"not the one that was committed to"),
    "the commitment": (
        lambda p: p.__setitem__("commitment", "00" * 32),
        r"not the one that was committed to",
    ),
    "an id": (lambda p: p["rolls"][1].__setitem__("id", 7), r"Roll #7 stands where #2 should"),
    "all ids": (_all_ids_moved, r"Roll #2 differs"),
    "two ids": (_ids_swapped, r"Roll #2 differs"),
    "the order of rolls": (_rolls_swapped, r"Roll #1 stands where #3 should"),
    "a roll left out": (lambda p: p["rolls"].pop(1), r"Roll #3 stands where #2 should"),
    "a roll told twice": (lambda p: p["rolls"].insert(1, p["rolls"][0]), r"Roll #1 stands where #2 should"),
    "a die left out": (
        lambda p: p["rolls"][0]["faces"].pop(),
        r"Roll #1 differs: it has 40 dice and 39 faces",
    ),
    "a die with other sides": (lambda p: p["rolls"][1]["sides"].__setitem__(0, 100), r"Roll #2 differs"),
    "declared dice called sealed": (
        lambda p: p["rolls"][3].__setitem__("declared", False),
        r"Roll #4 differs",
    ),
    "an impossible declared face": (lambda p: p["rolls"][3]["faces"].__setitem__(0, 7), r"Roll #4 differs"),
}


@pytest.mark.parametrize("name", CHANGES)
def test_a_page_with_one_change_is_not_verified(page: Page, name: str) -> None:
    change, said = CHANGES[name]
    change(page)
    with pytest.raises(verify.Differs, match=said):
        verify.verify(page)


def test_a_page_that_begins_later_says_where_it_begins(page: Page) -> None:
    """What is cut off at an end leaves no gap; so the program says where the page begins and ends."""
    page["rolls"].pop(0)
    assert "#2 to #5" in verify.verify(page)


def test_a_change_ends_the_program_with_status_1(page: Page, tmp_path: Path) -> None:
    _face(page)
    done = run(written(page, tmp_path))
    assert done.returncode == 1
    assert done.stdout.startswith("NOT verified. Roll #2 differs")


def test_dice_called_declared_are_named(page: Page) -> None:
    """Nobody can check declared dice, so calling sealed ones declared must at least be seen."""
    page["rolls"][0]["declared"] = True
    assert "beyond any check: #1, #4." in verify.verify(page)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=100)
@given(st.data())
def test_no_single_face_can_be_changed(page: Page, data: st.DataObject) -> None:
    changed = copy.deepcopy(page)
    item = changed["rolls"][data.draw(st.sampled_from([0, 1, 4]))]
    die = data.draw(st.integers(0, len(item["faces"]) - 1))
    face = data.draw(st.integers(1, item["sides"][die]).filter(lambda face: face != item["faces"][die]))
    item["faces"][die] = face
    with pytest.raises(verify.Differs, match=f"Roll #{item['id']} differs: die {die + 1} of"):
        verify.verify(changed)


def test_a_page_that_is_still_open_cannot_be_verified_yet(ledger: Ledger, tmp_path: Path) -> None:
    roll(ledger)
    done = run(written(ledger.export("low-ferry"), tmp_path))
    assert done.returncode == 2
    assert "not yet revealed" in done.stderr


UNREADABLE: dict[str, Change] = {
    "no format": lambda p: p.pop("format"),
    "another format": lambda p: p.__setitem__("format", "drumhead page 2"),
    "no page": lambda p: p.pop("page"),
    "a page of two lines": lambda p: p.__setitem__("page", "2026-11-25-1\nthe tide is out"),
    "a short commitment": lambda p: p.__setitem__("commitment", "00"),
    "no secret": lambda p: p.pop("secret"),
    "a secret that is no text": lambda p: p.__setitem__("secret", 7),
    "no cuts": lambda p: p.pop("cuts"),
    "rolls that are no list": lambda p: p.__setitem__("rolls", {}),
    "a roll that is no object": lambda p: p["rolls"].append(7),
    "a number that is true": lambda p: p["rolls"][0].__setitem__("id", True),
    "no word about declared": lambda p: p["rolls"][0].pop("declared"),
    "faces that are text": lambda p: p["rolls"][0].__setitem__("faces", "666"),
    "a die of one face": lambda p: p["rolls"][0]["sides"].__setitem__(0, 1),
    "a die of 257 faces": lambda p: p["rolls"][0]["sides"].__setitem__(0, 257),
}


@pytest.mark.parametrize("name", UNREADABLE)
def test_a_file_that_is_no_page_is_said_to_be_none(page: Page, name: str) -> None:
    UNREADABLE[name](page)
    with pytest.raises(verify.Unreadable):
        verify.verify(page)


@pytest.mark.parametrize("text", ["", "{", "[]", "null", "7", '"page"', "[" * 100_000, "\x00"])
def test_nonsense_ends_with_status_2(text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "page.json"
    file.write_text(text)
    assert verify.main([str(file)]) == 2
    out, err = capsys.readouterr()
    assert (out, bool(err)) == ("", True)


def test_a_missing_file_ends_with_status_2(tmp_path: Path) -> None:
    assert verify.main([str(tmp_path / "nowhere.json")]) == 2
    assert verify.main([]) == 2


def test_a_page_cannot_write_its_own_verdict(page: Page, tmp_path: Path) -> None:
    page["page"], page["cuts"] = "\x1b[2JVerified.", []
    done = run(written(page, tmp_path))
    assert done.returncode == 1
    assert "\x1b" not in done.stdout


def test_the_program_stands_alone() -> None:
    """Standard library only, nothing of this project, and short enough for five minutes."""
    source = PROGRAM.read_text(encoding="utf-8")
    imported = {
        (node.module or "") if isinstance(node, ast.ImportFrom) else alias.name
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in node.names
    }
    assert imported == {"hashlib", "hmac", "json", "sys", "pathlib", "typing"}
    assert len(source.splitlines()) < 200
