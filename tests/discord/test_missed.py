"""What was said while the umpire was away is answered when it is back: at tables where there was play, and lately."""

from __future__ import annotations

import asyncio
from datetime import timedelta
from typing import Any

import pytest
from aiohttp import web

from bot.channels.discord_missed import PLAYED
from bot.settings import Discord
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.faults import Fault, after, limited, status, times
from tests.discord.loopback.world import HISTORY, MODERATING, VIEW, Channel, Person

ROLL = "roll 10 shots, hit 4+, S5 AP-1 into T4, save 3+"


def titles(loopback: Loopback, channel: Channel) -> list[str]:
    """The first lines of all that the umpire said there."""
    return [sent.content.splitlines()[0] for sent in loopback.rest.sent if sent.channel == channel.id]


def reads(loopback: Loopback) -> list[str]:
    """The channels that the umpire looked through, as it asked for them."""
    return [call for call in loopback.rest.calls if call.startswith("GET") and call.endswith("/messages")]


async def away(playing: Playing, loopback: Loopback, ada: Person, *channels: Channel) -> None:
    """There was play in the channels, and the umpire is gone."""
    await playing.start()
    for channel in channels:
        await loopback.say(ada, channel, loopback.mention(ROLL))
    await loopback.answer(len(channels))
    await playing.stop()


async def back(playing: Playing, loopback: Loopback, ada: Person, **replaced: Any) -> None:
    """The umpire is back, and has answered one more message in a place of its own."""
    since = len(loopback.rest.sent)
    await playing.start(**replaced)
    await loopback.say(ada, loopback.league, loopback.mention("charge 9"))
    await loopback.until(lambda: any(sent.channel == loopback.league.id for sent in loopback.rest.sent[since:]))


async def test_what_was_said_meanwhile_is_answered_in_its_order(
    unstarted: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    await away(unstarted, loopback, ada, loopback.ferry)
    loopback.written(ada, loopback.ferry, loopback.mention("roll 2d6"))
    loopback.written(bea, loopback.ferry, "shall we have tea?")
    loopback.written(bea, loopback.ferry, loopback.mention("what is AP"))
    await unstarted.start()
    await loopback.answer(3)
    assert titles(loopback, loopback.ferry)[1:] == ["**#2 dice 2d6**", "**Armour penetration (AP)**"]


@pytest.mark.parametrize("points", [True, False])
async def test_what_was_answered_is_let_be_and_what_stands_between_is_not(
    unstarted: Playing, loopback: Loopback, ada: Person, points: bool
) -> None:
    """Told by what the umpire's answers point at; where the service does not tell that, by its last word."""
    loopback.rest.points = points
    await away(unstarted, loopback, ada, loopback.ferry)
    missed = loopback.written(ada, loopback.ferry, loopback.mention("roll 2d6"))
    await unstarted.start(played=lambda ago: [])
    await loopback.say(ada, loopback.ferry, loopback.mention("what is AP"))
    await loopback.answer(2)
    await unstarted.stop()
    loopback.written(ada, loopback.ferry, loopback.mention("charge 9"))
    await unstarted.start()
    await loopback.answer(4 if points else 3)
    await asyncio.sleep(0.2)
    assert [title.strip("*") for title in titles(loopback, loopback.ferry)[2:]] == (
        ["#2 dice 2d6", "charge 9"] if points else ["charge 9"]
    )
    assert missed["id"] in str([sent.data for sent in loopback.rest.sent]) or not points


async def test_what_is_said_now_waits_for_what_was_said_before(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    await away(unstarted, loopback, ada, loopback.ferry)
    loopback.written(ada, loopback.ferry, loopback.mention("roll 2d6"))
    loopback.rest.faults.append(times(1, "/messages", after(0.5), "GET"))
    loopback.rest.calls.clear()
    await unstarted.start()
    await loopback.until(lambda: reads(loopback))
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    await loopback.answer(3)
    assert titles(loopback, loopback.ferry)[1:] == ["**#2 dice 2d6**", "**charge 9**"]


async def test_who_may_close_the_table_may_do_so_while_the_umpire_is_away(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    head = Person("Cara", permissions=MODERATING)
    await unstarted.start()
    await loopback.say(ada, loopback.ferry, loopback.mention("open table Saltmarsh Wardens against Kiln Guard"))
    await loopback.answer()
    await unstarted.stop()
    loopback.written(head, loopback.ferry, loopback.mention("close table"))
    await unstarted.start()
    assert "table closed" in (await loopback.answer(2)).content


@pytest.mark.parametrize("fault", [status(503), limited("shared", via=False), status(500)])
async def test_one_failure_does_not_give_a_channel_up(
    unstarted: Playing, loopback: Loopback, ada: Person, fault: Fault
) -> None:
    await away(unstarted, loopback, ada, loopback.ferry)
    loopback.written(ada, loopback.ferry, loopback.mention("roll 2d6"))
    loopback.rest.faults.append(times(1, "/messages", fault, "GET"))
    await unstarted.start()
    assert (await loopback.answer(2)).content.startswith("**#2 dice 2d6**")


async def test_a_page_in_place_of_messages_is_logged_and_passed_over(
    unstarted: Playing, loopback: Loopback, ada: Person, caplog: pytest.LogCaptureFixture
) -> None:
    async def page(request: web.Request) -> web.StreamResponse:
        return web.Response(text="<html>soon back</html>", content_type="text/html")

    await away(unstarted, loopback, ada, loopback.ferry)
    loopback.rest.faults.append(times(9, "/messages", page, "GET"))
    await back(unstarted, loopback, ada)
    await loopback.until(lambda: "could not be read" in caplog.text)
    assert "unexpected error" not in caplog.text


async def test_a_roll_that_was_made_and_not_shown_is_shown_once(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    await away(unstarted, loopback, ada, loopback.ferry)
    await unstarted.start()
    loopback.rest.faults.append(times(99, "/messages", status(403)))
    loopback.rest.calls.clear()
    message = await loopback.say(ada, loopback.ferry, loopback.mention("roll 2d6"))
    await loopback.until(lambda: any(call.startswith("POST") for call in loopback.rest.calls))
    await unstarted.stop()
    loopback.rest.faults.clear()
    await unstarted.start()
    await loopback.answer(2)
    await loopback.deliver(message, loopback.ferry)
    await loopback.say(ada, loopback.ferry, loopback.mention("roll 2d6"))
    await loopback.answer(3)
    assert [title[:5] for title in titles(loopback, loopback.ferry)] == ["**#1 ", "**#2 ", "**#3 "]


async def test_direct_messages_and_threads_are_looked_through_too(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    direct, thread = loopback.direct(), loopback.thread("table two")
    await away(unstarted, loopback, ada, direct, thread)
    loopback.written(ada, direct, "roll 2d6")
    loopback.written(ada, thread, loopback.mention("roll 2d6"))
    loopback.written(ada, thread, "roll 3d6")  # nobody is asked to listen there
    await back(unstarted, loopback, ada)
    await loopback.until(lambda: len(titles(loopback, direct)) == len(titles(loopback, thread)) == 2)


async def test_a_session_that_could_not_be_resumed_misses_nothing_either(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    await loopback.answer()
    loopback.written(ada, loopback.ferry, loopback.mention("roll 2d6"))
    await loopback.gateway.ask(9, False)
    await loopback.answer(2)
    assert titles(loopback, loopback.ferry)[1] == "**#2 dice 2d6**"


async def test_what_was_answered_or_said_long_ago_is_let_be(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    await away(unstarted, loopback, ada, loopback.ferry)
    await back(unstarted, loopback, ada)
    await unstarted.stop()
    loopback.written(ada, loopback.ferry, loopback.mention("roll 2d6"))
    later = unstarted._replacing()["now"]() + timedelta(minutes=11)
    loopback.rest.calls.clear()
    await back(unstarted, loopback, ada, now=lambda: later)
    await loopback.until(lambda: any(loopback.ferry.id in call for call in reads(loopback)))
    await asyncio.sleep(0.2)
    assert len(titles(loopback, loopback.ferry)) == 1


async def test_only_where_there_was_play_lately_is_anything_looked_through(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    await away(unstarted, loopback, ada, loopback.ferry)
    asked: list[timedelta] = []

    def played(ago: timedelta) -> list[str]:
        asked.append(ago)
        return ["low-ferry", "discord:of 12", "discord:99"]  # a console's, one without a name, one that is gone

    loopback.written(ada, loopback.ferry, loopback.mention("roll 2d6"))
    await back(unstarted, loopback, ada, played=played)
    await loopback.until(lambda: "GET /api/v10/channels/99" in loopback.rest.calls)
    assert set(asked) == {PLAYED}
    assert len(titles(loopback, loopback.ferry)) == 1


async def test_what_may_not_be_read_or_cannot_be_keeps_nobody_waiting(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    hidden, past = (loopback.open(loopback.servers[0], name) for name in ("hidden", "past"))
    await away(unstarted, loopback, ada, hidden, past, loopback.ferry)
    hidden.denied, past.denied = VIEW, HISTORY
    for channel in (hidden, past, loopback.ferry):
        loopback.written(ada, channel, loopback.mention("roll 2d6"))
    loopback.rest.faults.append(times(9, f"{loopback.ferry.id}/messages", status(400), "GET"))
    loopback.rest.calls.clear()
    await back(unstarted, loopback, ada)
    await loopback.until(lambda: len(reads(loopback)) >= 3)
    await asyncio.sleep(0.2)
    assert [len(titles(loopback, channel)) for channel in (hidden, past, loopback.ferry)] == [1, 1, 1]


async def test_each_shard_looks_through_its_own_channels(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.rest.shards = 2
    await away(unstarted, loopback, ada, loopback.ferry, loopback.league)
    for channel in (loopback.ferry, loopback.league):
        loopback.written(ada, channel, loopback.mention("roll 2d6"))
    await unstarted.start()
    await loopback.answer(4)
    last = reads(loopback)[-2:]
    assert len(last) == len(set(last)) == 2


async def test_in_a_listening_channel_plain_messages_are_heard_too(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    plain = Discord(pictures=False, plain_messages=True)
    head = Person("Cara", permissions=MODERATING)
    await unstarted.start(plain)
    await loopback.say(head, loopback.ferry, loopback.mention("listen on"))
    await loopback.say(ada, loopback.ferry, ROLL)
    await loopback.answer(2)
    await unstarted.stop()
    loopback.written(ada, loopback.ferry, "roll 2d6")
    loopback.written(ada, loopback.ferry, "that was close")
    loopback.rest.reads_all = True
    await back(unstarted, loopback, ada, settings=plain)
    await loopback.until(lambda: len(titles(loopback, loopback.ferry)) == 3)
