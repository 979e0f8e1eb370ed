"""An answer of several messages to a command: whatever the network does, no part comes twice and none is missing.

A message behind the first answer has no nonce, so the service would take it twice.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

import aiohttp
import pytest
from aiohttp import web

from bot.asked import Asked
from bot.channels.discord_paint import MOST_CHARACTERS
from bot.channels.discord_shown import LOST, REST, Shown
from bot.reply import Line, Reply
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.faults import Fault, limited, reset, status, times
from tests.discord.loopback.kept import Sent
from tests.discord.loopback.world import ATTACH, Person
from tests.discord.test_buttons import said
from tests.discord.test_slash import slow

GROUPS = " plus ".join(f"{20 + n} attacks, hit 3+, S{n + 3}, AP-{n % 3}" for n in range(12))
ROLL = {"attack": f"{GROUPS} into T4, save 3+"}
LAST = "31 attacks, hit 3+, S14, AP-2"  # the last of its groups
LOG = {"count": 100}
BROKEN_MESSAGES = "/webhooks/"  # of the calls that create something, only the messages behind the first answer


async def entries(playing: Playing, loopback: Loopback) -> None:
    """So many things in the record that all of them are more than a message."""
    for _ in range(90):
        dice = Asked(text="dice 3d6+2", who="Ada", where=f"discord:{loopback.ferry.id}")
        await asyncio.to_thread(playing.app.answer, dice)


def taken(loopback: Loopback) -> Fault:
    """The service does what it is asked, and the connection is reset before it says so."""

    async def unheard(request: web.Request) -> web.StreamResponse | None:
        await loopback.rest.follow_up(request)
        return await reset(request)

    return unheard


async def parts(loopback: Loopback, playing: Playing, ada: Person, name: str, options: dict[str, Any]) -> list[Sent]:
    """The messages that answer a command."""
    asked = await loopback.slash(ada, loopback.ferry, name, **options)
    await loopback.answer_to(asked)
    umpire = playing.umpire
    await loopback.until(lambda: umpire is not None and umpire.busy == 0)
    return [sent for sent in loopback.rest.sent if sent.interaction == asked.id]


@pytest.mark.parametrize(("name", "options"), [("roll", ROLL), ("log", LOG)])
@pytest.mark.parametrize("fault", [None, status(503), limited("user", via=False)], ids=["nothing", "503", "429"])
async def test_each_part_comes_once_though_one_is_refused_at_first(
    playing: Playing, loopback: Loopback, ada: Person, name: str, options: dict[str, Any], fault: Fault | None
) -> None:
    await entries(playing, loopback)
    if fault is not None:
        loopback.rest.faults.append(times(1, BROKEN_MESSAGES, fault))
    found = await parts(loopback, playing, ada, name, options)
    assert len({sent.content for sent in found}) == len(found) > 1
    assert not any(sent.edits for sent in found)


@pytest.mark.parametrize("unheard", ["taken", "not taken"])
@pytest.mark.parametrize(("name", "options", "last"), [("roll", ROLL, LAST), ("log", LOG, "#90 Ada")])
async def test_a_part_that_may_have_been_taken_is_not_sent_again_and_the_whole_is_there_as_a_file(
    playing: Playing, loopback: Loopback, ada: Person, unheard: str, name: str, options: dict[str, Any], last: str
) -> None:
    await entries(playing, loopback)
    fault = taken(loopback) if unheard == "taken" else reset
    loopback.rest.faults.append(times(1, BROKEN_MESSAGES, fault))
    first, *rest = await parts(loopback, playing, ada, name, options)
    assert len(rest) == (unheard == "taken")
    assert all(sent.content != first.content for sent in rest)
    assert first.content.endswith(REST)
    whole = " ".join(first.files["answer.txt"].decode().split())
    assert last in whole
    assert first.data["attachments"][0]["description"] == "The whole answer"


@pytest.mark.parametrize("number", [54, 104, 10054], ids=["macOS", "Linux", "Windows"])
async def test_nor_is_it_sent_again_by_the_library(
    playing: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    request = aiohttp.ClientSession.request

    @asynccontextmanager
    async def unheard(session: aiohttp.ClientSession, method: str, url: str, **options: Any) -> AsyncIterator[Any]:
        async with request(session, method, url, **options) as response:
            if method == "POST" and BROKEN_MESSAGES in url:
                raise aiohttp.ClientOSError(number, "Connection reset by peer")
            yield response

    monkeypatch.setattr(aiohttp.ClientSession, "request", unheard)
    await entries(playing, loopback)
    first, second = await parts(loopback, playing, ada, "log", LOG)
    assert first.content.endswith(REST)
    assert second.content != first.content
    assert "#90 Ada" in first.files["answer.txt"].decode()


async def test_where_no_file_may_be_it_is_said_that_something_may_be_lost(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.ferry.denied = ATTACH
    await unstarted.start()
    await entries(unstarted, loopback)
    loopback.rest.faults.append(times(1, BROKEN_MESSAGES, reset))
    [first] = await parts(loopback, unstarted, ada, "log", LOG)
    assert first.content.endswith(LOST)
    assert not first.files


@pytest.mark.parametrize(("unheard", "answers"), [("taken", 1), ("not taken", 0)])
async def test_an_answer_beside_a_deferral_is_not_sent_again_either_and_its_asker_is_told(
    playing: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch, unheard: str, answers: int
) -> None:
    await said(loopback, ada, "open table Saltmarsh Wardens against Kiln Guard")
    slow(playing, monkeypatch, 0.5)
    loopback.rest.faults.append(times(1, BROKEN_MESSAGES, taken(loopback) if unheard == "taken" else reset))
    await loopback.slash(ada, loopback.ferry, "roll", attack="10 shots")  # it will be asked back, in private
    await loopback.until(lambda: any("did not get through" in sent.content for sent in loopback.rest.sent))
    assert [sent.private for sent in loopback.rest.sent[1:]] == [True] * answers + [False]


async def test_an_answer_whose_deferral_is_gone_already_comes_all_the_same(
    playing: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def gone_unheard(request: web.Request) -> web.StreamResponse | None:
        await loopback.rest.delete_original(request)
        return await reset(request)

    slow(playing, monkeypatch, 0.5)
    loopback.rest.faults.append(times(1, "/messages/@original", gone_unheard, "DELETE"))
    [sent] = await parts(loopback, playing, ada, "roll", {"attack": "10 shots"})
    assert sent.private
    assert loopback.rest.sent == [sent]


def test_in_one_message_there_is_room_for_the_word_about_the_file() -> None:
    long = Reply("log", "t", tuple(Line(f"{n} " + "x" * 48) for n in range(200)))
    shown = Shown(long)
    assert len(shown.said) > 1
    for one in (shown.in_one(), shown.without_files().in_one()):
        assert len(one.said) == 1
        assert len(one.said[0]) <= MOST_CHARACTERS
    short = Shown(Reply("log", "t"))
    assert short.in_one().said == short.said
    assert not short.in_one().has_files
