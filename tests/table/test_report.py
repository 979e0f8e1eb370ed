"""The battle report: what the record says, as Markdown and as one page that fetches nothing."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest

from bot.app import App
from bot.misread import Misread
from bot.reply import Note
from bot.report import battle_report
from bot.verbs.table.report import html_report, markdown_report
from tests.conversation import say, umpire
from tests.table.play import WHERE, table

BROWSER = next(
    (found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), None
)
# faces such that the runners slay three of the crew with ten shots, a rare thing
LUCKY = "Reed Runners shoot the Ember Crew at 14 with dice 6666666666 6666666666 1111111666"


@pytest.fixture
def played(tmp_path: Path) -> Iterator[App]:
    with table(
        tmp_path,
        "own dice yes",
        "go to the movement phase",
        "Wardens advance with dice 3",
        "go to the shooting phase",
        LUCKY,
        "Wardens shoot the Kiln Guard at 14 anyway because the *horn* <b>blew</b>",
        "undo",
        "score Wardens 5",
        "end turn",
        "go to the shooting phase",
        "Ember Crew shoot the Reed Runners at 9",
        "score Kiln Guard 2",
        "end turn",
    ) as app:
        yield app


class Page(HTMLParser):
    """Gathers the tags, their attributes and the text of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data


def test_the_report_tells_round_by_round_what_happened(played: App) -> None:
    report = battle_report(played.house, WHERE, ())
    assert [(turn.round, turn.side) for turn in report.turns] == [
        (0, ""),
        (1, "Saltmarsh Wardens"),
        (1, "Kiln Guard"),
    ]
    assert any("Wardens advance: 6 + 3" in line for line in report.turns[1].lines)
    assert any("(undone by #9)" in line for line in report.turns[1].lines)
    assert report.scores == (("Saltmarsh Wardens", 5), ("Kiln Guard", 2))


def test_casualties_are_those_of_the_state(played: App) -> None:
    report = battle_report(played.house, WHERE, ())
    crew = next(row for row in report.losses if row.unit == "Ember Crew")
    runners = next(row for row in report.losses if row.unit == "Reed Runners")
    assert (crew.models, crew.left, crew.hurt) == (4, 1, 1)
    assert runners.slew == 3


def test_turning_points_are_the_rolls_furthest_from_expectation(played: App) -> None:
    report = battle_report(played.house, WHERE, ())
    assert report.turning_points[0].entry == 7
    assert report.turning_points[0].percentile > 0.99
    assert all(abs(point.percentile - 0.5) >= 0.25 for point in report.turning_points)
    assert 8 not in {point.entry for point in report.turning_points}  # undone


def test_each_sides_luck_is_told(played: App) -> None:
    text = markdown_report(played.house, WHERE)
    luck = text.split("## Luck")[1]
    assert "- Saltmarsh Wardens, 1 attack: better than" in luck
    assert "- Kiln Guard, 1 attack:" in luck


def test_a_loose_roll_bends_no_sides_luck_and_is_marked(played: App) -> None:
    before = battle_report(played.house, WHERE, ())
    luck = say(played, "luck").machine["lucks"]
    loose = "roll 3 attacks, hit 4+, S5, damage 3 into T4, save 3+ with dice 6 6 6 6 6 6 1 1 1"
    say(played, "sit with Wardens")
    number = say(played, loose).machine["id"]
    told = say(played, "luck")
    assert told.machine["lucks"] == luck
    notes = [block.text for block in told.blocks if isinstance(block, Note)]
    assert f"loose rolls are no side's, and left out: #{number}" in notes
    assert "with own dice: #7" in notes
    assert [row["attacks"] for row in say(played, "luck of Ada").machine["lucks"]] == [3]
    after = battle_report(played.house, WHERE, ())
    assert (after.turning_points, after.rolls) == (before.turning_points, before.rolls)
    line = next(line for turn in after.turns for line in turn.lines if line.startswith(f"#{number} "))
    assert line.endswith("(own dice, a loose roll, not counted below)")
    say(played, "close table")
    late = say(played, loose).machine["id"]
    over = battle_report(played.house, WHERE, ())
    assert not any(line.startswith(f"#{late} ") for turn in over.turns for line in turn.lines)
    assert over.rolls == before.rolls


def test_a_roll_mended_twice_counts_once_and_not_at_all_when_it_is_undone(played: App) -> None:
    say(played, "correct #7 T4")
    last = say(played, "correct #7 T5").machine["id"]
    assert [number for number, _, _ in battle_report(played.house, WHERE, ()).rolls] == [13, last]
    assert [row["attacks"] for row in say(played, "luck").machine["lucks"]] == [1, 1]
    say(played, "undo #7")
    assert [number for number, _, _ in battle_report(played.house, WHERE, ()).rolls] == [13]


def test_markdown_holds_nothing_of_the_players_that_could_be_a_sign(played: App) -> None:
    text = markdown_report(played.house, WHERE)
    assert "<b>" not in text.replace("\\<b\\>", "")
    assert "*horn*" not in text.replace("\\*horn\\*", "")
    assert text.count("\n# ") == 0
    assert text.startswith("# Battle report: Saltmarsh Wardens against Kiln Guard\n")


def test_the_verb_answers_with_the_same_markdown(played: App) -> None:
    reply = say(played, "report")
    assert reply.kind == "table"
    assert reply.machine["markdown"] == markdown_report(played.house, WHERE)


def test_the_page_is_self_contained(played: App) -> None:
    page = Page(html_report(played.house, WHERE))
    images = [attrs for tag, attrs in page.tags if tag == "img"]
    assert len(images) == 2
    assert all((attrs["src"] or "").startswith("data:image/png;base64,") for attrs in images)
    assert all(len(attrs["alt"] or "") > 20 for attrs in images)
    assert not [tag for tag, _ in page.tags if tag in ("script", "link", "iframe", "b")]
    assert "http" not in re.sub(r"base64,[\w+/=]+", "", html_report(played.house, WHERE))


def test_the_page_says_what_the_markdown_says(played: App) -> None:
    page = Page(html_report(played.house, WHERE)).text
    for line in battle_report(played.house, WHERE, ()).turns[1].lines:
        assert line.partition(" ")[2] in page


def test_without_a_table_there_is_no_report(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        assert "no table was ever opened here" in say(app, "report").title
        with pytest.raises(Misread):
            html_report(app.house, WHERE)


def test_a_table_on_which_nothing_happened_has_a_report(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        assert "No roll was far from what was to be expected." in markdown_report(app.house, WHERE)
        assert "no attack is on record" in html_report(app.house, WHERE)


@pytest.mark.skipif(BROWSER is None, reason="no chromium is installed here; .ci/run installs it")
def test_a_real_browser_shows_the_page_without_fetching_anything(played: App, tmp_path: Path) -> None:
    path = tmp_path / "report.html"
    path.write_text(html_report(played.house, WHERE), encoding="utf-8")
    assert BROWSER is not None
    probe = tmp_path / "probe.html"
    check = (
        "<script>addEventListener('load',()=>{const f=document.getElementById('f').contentDocument;"
        "const r=[...f.images].map(i=>[i.complete,i.naturalWidth]);"
        "document.title=JSON.stringify({images:r,wide:f.documentElement.scrollWidth<=f.defaultView.innerWidth,"
        "heading:f.querySelector('h1').textContent,rows:f.querySelectorAll('tbody tr').length,"
        "fetched:f.defaultView.performance.getEntriesByType('resource').filter(e=>!e.name.startsWith('data:')).length});"
        "document.body.textContent=document.title})</script>"
    )
    probe.write_text(
        f'<meta charset="utf-8"><body><iframe id="f" src="report.html" width="360" height="800"></iframe>{check}'
    )
    command = [BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--allow-file-access-from-files", "--dump-dom"]
    command += [f"--user-data-dir={tmp_path / 'profile'}", "--virtual-time-budget=5000", probe.as_uri()]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    found = re.search(r"<title>(\{.*?\})</title>", done.stdout)
    assert found is not None, done.stdout[-500:] + done.stderr[-500:]
    seen = json.loads(found[1].replace("&amp;", "&"))
    assert seen["heading"] == "Battle report: Saltmarsh Wardens against Kiln Guard"
    assert [complete and width > 300 for complete, width in seen["images"]] == [True, True]
    assert seen["rows"] == 4
    assert seen["fetched"] == 0
    assert seen["wide"], "the page is wider than a phone"
