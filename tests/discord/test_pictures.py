"""Pictures: odds and comparisons are drawn off the event loop, with the same in words, and never needed."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import pytest

from bot.asked import Asked
from bot.channels.discord_shown import MOST_WAITING, Studio
from bot.reply import Line, Picture, Reply
from bot.settings import Discord
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.world import ATTACH, HISTORY, Person
from tests.painting.test_pictures import axes_of

PNG = b"\x89PNG\r\n\x1a\n"  # the signature of the PNG specification, section 5.2
ODDS = "odds 10 shots, hit 4+, S4 into T4, save 3+"
COMPARE = "compare 9 attacks, hit 4+, wound 3+, no save or 8 attacks, hit 3+, wound 3+, no save"
PICTURE = Picture("chances", (("slain", (0.5, 0.5)),), "half and half")


@pytest.mark.parametrize("text", [ODDS, COMPARE])
async def test_odds_and_comparisons_come_with_a_picture_that_is_also_said_in_words(
    unstarted: Playing, loopback: Loopback, ada: Person, text: str
) -> None:
    await unstarted.start(Discord())
    await loopback.say(ada, loopback.ferry, loopback.mention(text))
    sent = await loopback.answer()
    [body] = sent.files.values()
    assert body.startswith(PNG)
    [attachment] = sent.data["attachments"]
    said = attachment["description"]
    assert ("9 attacks" if text == COMPARE else "10 attacks") in said
    assert all(words in said for words in ("on average", "at least 1: "))
    assert ("chance of slain exactly: 0: " in said) is (text == ODDS)  # the bars that the picture stands for
    assert not sent.data.get("embeds")


GROUPS = "8 models with 1 attack each, hit 4+, S4, damage 1, range 30, half range +1 attack plus d3 attacks, hit 4+"
FAR, NEAR = (f"{GROUPS}, S7, AP-2, damage 2, at {inches} into T5, save 2+, W3, 5 models" for inches in (22, 14))


@pytest.mark.parametrize(
    ("text", "one", "other"),
    [
        (
            "compare Wardens shoot Kiln Guard at 14 or Wardens shoot Kiln Guard at 10",
            "A: Wardens shoot Kiln Guard at 14",
            "B: Wardens shoot Kiln Guard at 10",
        ),
        (f"compare {FAR} or {NEAR}", "at 22", "at 14"),
    ],
    ids=["by name", "by numbers"],
)
async def test_titles_and_words_tell_what_is_compared_apart(
    unstarted: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch,
    text: str, one: str, other: str,
) -> None:  # fmt: skip
    await unstarted.start(Discord())
    await loopback.say(ada, loopback.ferry, loopback.mention("open table Saltmarsh Wardens against Kiln Guard"))
    await loopback.answer()
    await loopback.say(ada, loopback.ferry, loopback.mention(text))
    [attachment] = (await loopback.answer(2)).data["attachments"]
    words = attachment["description"]
    assert words.index("A: ") <= words.index(one) < words.index("B: ") <= words.index(other)
    reply = unstarted.app.answer(Asked(text=text, who="Ada", where=f"discord:{loopback.ferry.id}"))
    [picture] = [block for block in reply.blocks if isinstance(block, Picture)]
    above, below = (axes.get_title() for axes in axes_of(picture, monkeypatch))
    assert one in above.replace("\n", " ")
    assert other in below.replace("\n", " ")


async def test_a_command_gets_its_picture_too_and_deferred_if_drawing_takes_long(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    await unstarted.start(Discord())
    asked = await loopback.slash(ada, loopback.ferry, "odds", attack="10 shots, hit 4+, S4 into T4, save 3+")
    sent = await loopback.answer_to(asked)
    assert sent.private
    assert [body[:8] for body in sent.files.values()] == [PNG]


async def test_a_roll_has_no_picture(unstarted: Playing, loopback: Loopback, ada: Person) -> None:
    await unstarted.start(Discord())
    await loopback.say(ada, loopback.ferry, loopback.mention("roll 10 shots, hit 4+, S4 into T4, save 3+"))
    assert not (await loopback.answer()).files


async def test_where_files_are_not_allowed_the_words_and_bars_remain(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    strict = loopback.open(loopback.servers[0], "strict", ATTACH)
    await unstarted.start(Discord())
    await loopback.say(ada, strict, loopback.mention(ODDS))
    by_message = await loopback.answer()
    by_command = await loopback.answer_to(
        await loopback.slash(ada, strict, "odds", attack="10 shots, hit 4+, S4 into T4, save 3+")
    )
    for sent in (by_message, by_command):
        assert not sent.files
        assert "█" in sent.content


@pytest.mark.parametrize(
    ("denied", "replies", "files"), [(HISTORY, False, 1), (ATTACH, True, 0), (HISTORY | ATTACH, False, 0)]
)
async def test_of_what_is_refused_without_warning_only_that_is_left_out(
    unstarted: Playing, loopback: Loopback, ada: Person, denied: int, replies: bool, files: int
) -> None:
    await unstarted.start(Discord())
    loopback.ferry.denied = denied  # which no event told
    await loopback.say(ada, loopback.ferry, loopback.mention(ODDS))
    sent = await loopback.answer()
    assert ("message_reference" in sent.data) is replies
    assert len(sent.files) == files
    assert ("█" in sent.content) is not bool(files)


@pytest.fixture
def worker() -> Iterator[ThreadPoolExecutor]:
    with ThreadPoolExecutor(1) as pool:
        yield pool


async def test_drawing_happens_on_another_thread_and_once_for_the_same_picture(worker: ThreadPoolExecutor) -> None:
    threads: list[int] = []

    def draw(picture: Picture) -> bytes:
        threads.append(threading.get_ident())
        return b"drawn"

    studio = Studio(draw, worker)
    for _ in range(3):
        drawn = await studio.drawn(Reply("odds", "", (PICTURE,)))
        assert drawn is not None
        assert (drawn.body, drawn.alternative) == (b"drawn", "half and half")
    assert len(threads) == 1
    assert threads[0] != threading.get_ident()


async def test_a_busy_studio_leaves_the_answer_in_words(worker: ThreadPoolExecutor) -> None:
    go = threading.Event()

    def draw(picture: Picture) -> bytes:
        go.wait(5)
        return b"drawn"

    studio = Studio(draw, worker)
    replies = [Reply("odds", "", (Picture(str(number), (), ""),)) for number in range(MOST_WAITING + 1)]
    waiting = [asyncio.create_task(studio.drawn(reply)) for reply in replies]
    assert await waiting[-1] is None
    go.set()
    assert all(await asyncio.gather(*waiting[:-1]))


async def test_a_picture_that_cannot_be_drawn_is_left_out_and_logged(
    worker: ThreadPoolExecutor, caplog: pytest.LogCaptureFixture
) -> None:
    def draw(picture: Picture) -> bytes:
        raise ZeroDivisionError("a bug")

    assert await Studio(draw, worker).drawn(Reply("odds", "", (PICTURE,))) is None
    assert "ZeroDivisionError" in caplog.text


async def test_what_has_no_picture_draws_nothing(worker: ThreadPoolExecutor) -> None:
    def draw(picture: Picture) -> bytes:
        raise AssertionError("drawn all the same")

    assert await Studio(draw, worker).drawn(Reply("x", "", (Line("words"),))) is None
    assert await Studio(draw, worker, open=False).drawn(Reply("odds", "", (PICTURE,))) is None
