"""Reports and rosters: readable in the channel, handed over as a file where files are allowed."""

from __future__ import annotations

import pytest

from bot.channels.discord_documents import document_of
from bot.channels.discord_paint import paint
from bot.reply import Line, Note, Reply
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.world import ATTACH, Channel, Person

TABLE = "open table Saltmarsh Wardens against Kiln Guard"
REPORT = """\
# Battle report

Round 1.

## Losses

- #2 one

| Unit | Left |
|---|--:|
| Wardens | 9 |
| Crew |
"""


async def asked(loopback: Loopback, who: Person, channel: Channel, text: str) -> None:
    for message in (TABLE, text):
        since = len(loopback.rest.sent)
        await loopback.say(who, channel, loopback.mention(message))
        await loopback.answer(since=since)


@pytest.mark.parametrize(
    ("text", "name", "begins", "about"),
    [
        ("report", "report.md", b"# Battle report", "battle report"),
        ("export roster of Kiln Guard", "roster.yaml", b"side: Kiln Guard", "roster"),
    ],
)
async def test_a_document_comes_as_a_file_too_with_words_of_what_it_is(
    playing: Playing, loopback: Loopback, ada: Person, text: str, name: str, begins: bytes, about: str
) -> None:
    await asked(loopback, ada, loopback.ferry, text)
    sent = loopback.rest.sent[-1]
    assert list(sent.files) == [name]
    assert sent.files[name].startswith(begins)
    assert about in sent.data["attachments"][0]["description"]


async def test_where_files_are_not_allowed_the_text_is_there(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    strict = loopback.open(loopback.servers[0], "strict", ATTACH)
    await unstarted.start()
    await asked(loopback, ada, strict, "export roster of Kiln Guard")
    sent = loopback.rest.sent[-1]
    assert not sent.files
    assert "\n  move: 5\n" in sent.content


def test_a_report_is_shown_without_the_signs_of_its_file() -> None:
    [message] = paint(Reply("table", "report", (Line("as typed"), Note("a note")), {"markdown": REPORT}))
    assert message.splitlines() == [
        "**report**", "Round 1.", "**Losses**", "• #2 one", "• Wardens: left 9", "• Crew", "-# a note",
    ]  # fmt: skip


def test_what_a_report_escapes_for_its_file_is_shown_as_it_was_said() -> None:
    text = "- #9 Ada \\*the\\* First sits\n\n| Side \\| Unit | Left |\n|---|--:|\n| \\[Crew\\] | 9 |\n"
    [message] = paint(Reply("table", "report", (), {"markdown": text}))
    assert message.splitlines() == [
        "**report**", "• #9 Ada \\*the\\* First sits", "• [Crew]: left 9",
    ]  # fmt: skip


def test_a_roster_keeps_its_indentation() -> None:
    text = "side: A\nunits:\n- name: B\n  move: 5\n"
    [message] = paint(Reply("table", "roster", tuple(map(Line, text.splitlines())), {"roster": text}))
    assert message == f"**roster**\n```\n{text}```"


def test_other_answers_are_no_documents() -> None:
    assert document_of(Reply("odds", "t", data={"read": "odds"})) is None
    assert document_of(Reply("odds", "t")) is None
    found = document_of(Reply("table", "t", data={"markdown": "# x"}))
    assert found is not None
    assert (found.name, found.text) == ("report.md", "# x")
