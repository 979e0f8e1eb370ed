"""Never missed, never doubled: whatever the network and the service do, a message gets its one roll and shows it."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

import pytest
from aiohttp import web

from bot.channels.discord_persist import TRIES
from bot.ledger import Entry
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.faults import Fault, after, limited, reset, status, times
from tests.discord.loopback.gateway import INVALID_SESSION, RECONNECT
from tests.discord.loopback.kept import Sent
from tests.discord.loopback.world import ATTACH, EMBED, HISTORY, SEND, Person
from tests.discord.test_slash import slow
from tests.references import discord_limits as limits

ROLL = "roll 10 shots, hit 4+, S5 AP-1 into T4, save 3+"
ATTACK = {"attack": "10 shots, hit 4+, S5 AP-1 into T4, save 3+"}


def rolls(playing: Playing, loopback: Loopback) -> list[Entry]:
    return playing.app.house.ledger.entries(f"discord:{loopback.ferry.id}")


async def rolled_once(playing: Playing, loopback: Loopback, ada: Person) -> Sent:
    """A mention gets its roll, shown once; nothing else comes with it."""
    await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    sent = await loopback.answer()
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    await loopback.answer(2)
    assert "#1 roll 10 attacks" in sent.content
    assert len(rolls(playing, loopback)) == 1
    assert len(loopback.rest.sent) == 2
    return sent


# the socket


async def cut(loopback: Loopback) -> None:
    loopback.gateway.drop()


async def asked_to_reconnect(loopback: Loopback) -> None:
    await loopback.gateway.ask(RECONNECT)


async def closed(loopback: Loopback) -> None:
    await loopback.gateway.close(4000)


async def may_resume(loopback: Loopback) -> None:
    await loopback.gateway.ask(INVALID_SESSION, True)


@pytest.mark.parametrize("trouble", [cut, asked_to_reconnect, closed, may_resume])
async def test_after_a_lost_connection_the_session_is_resumed_and_the_missed_is_answered(
    playing: Playing, loopback: Loopback, ada: Person, trouble: Callable[[Loopback], Awaitable[None]]
) -> None:
    await loopback.gateway.ask(11)  # an acknowledgement nobody waits for does no harm
    session = loopback.gateway.session_of(loopback.servers[0])
    await trouble(loopback)
    session.socket = None  # from here on nothing reaches the client before it resumes
    await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    sent = await loopback.answer()
    assert "#1 roll 10 attacks" in sent.content
    assert loopback.gateway.resumed == 1
    assert loopback.gateway.identified == 1


async def test_what_a_resume_replays_is_not_rolled_again(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    message = await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    await loopback.answer()
    loopback.gateway.drop()
    await loopback.until(lambda: loopback.gateway.resumed == 1)
    await loopback.deliver(message, loopback.ferry)
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    assert "charge 9" in (await loopback.answer(2)).content
    assert len(rolls(playing, loopback)) == 1


async def test_a_session_that_is_gone_is_begun_anew(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    await loopback.gateway.ask(INVALID_SESSION, False)
    await loopback.until(lambda: loopback.gateway.identified == 2)
    await rolled_once(playing, loopback, ada)


async def test_a_refused_resume_leads_to_a_new_session(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.gateway.accept_resume = False
    loopback.gateway.drop()
    await loopback.until(lambda: loopback.gateway.identified == 2)
    await rolled_once(playing, loopback, ada)


async def test_withheld_acknowledgements_make_it_connect_again(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.gateway.acknowledge = False
    await unstarted.start(heartbeat_timeout=0.3)
    await loopback.until(lambda: loopback.gateway.resumed + loopback.gateway.identified >= 2)
    loopback.gateway.acknowledge = True
    await rolled_once(unstarted, loopback, ada)


async def test_unanswered_heartbeats_make_it_connect_again_although_people_talk(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.gateway.interval_ms = 100
    await unstarted.start(heartbeat_timeout=60.0)
    loopback.gateway.acknowledge = False

    async def talk() -> None:
        while not loopback.gateway.resumed:
            await loopback.say(ada, loopback.ferry, "table talk")
            await asyncio.sleep(0.02)

    await asyncio.wait_for(talk(), 10)
    loopback.gateway.acknowledge = True
    assert loopback.gateway.identified == 1
    await rolled_once(unstarted, loopback, ada)


async def test_a_gateway_that_is_away_for_a_while_finds_the_session_again(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    port = loopback.port
    await loopback.stop()
    await loopback.until(lambda: len(playing.pauses) >= 3)
    await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    await loopback.start(port)
    assert "#1 roll 10 attacks" in (await loopback.answer()).content
    assert (loopback.gateway.identified, loopback.gateway.resumed) == (1, 1)


# the calls

FAULTS: dict[str, Fault] = {
    "a limit of this route": limited("user", via=True),
    "a limit of everything": limited("global", via=True, everywhere=True),
    "a limit shared with others": limited("shared", via=True),
    "a limit that names no proxy": limited("user", via=False),
    "a 500": status(500),
    "a 502": status(502),
    "a 503": status(503),
    "a reset": reset,
    "slowness": after(0.3),
}


@pytest.mark.parametrize("fault", FAULTS.values(), ids=FAULTS)
async def test_a_message_is_answered_once_in_spite_of(
    playing: Playing, loopback: Loopback, ada: Person, fault: Fault
) -> None:
    loopback.rest.faults.append(times(1, "/messages", fault))
    await rolled_once(playing, loopback, ada)


@pytest.mark.parametrize("fault", FAULTS.values(), ids=FAULTS)
async def test_a_command_is_answered_once_in_spite_of(
    playing: Playing, loopback: Loopback, ada: Person, fault: Fault
) -> None:
    loopback.rest.faults.append(times(1, "/callback", fault))
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "roll", **ATTACK))
    assert "#1 roll 10 attacks" in sent.content
    assert len(rolls(playing, loopback)) == 1
    assert len(loopback.rest.sent) == 1


async def test_a_message_whose_receipt_was_lost_is_not_posted_twice(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    async def done_but_unheard(request: web.Request) -> web.StreamResponse | None:
        await loopback.rest.create(request)
        return await reset(request)

    loopback.rest.faults.append(times(1, "/messages", done_but_unheard))
    await rolled_once(playing, loopback, ada)


async def test_a_command_whose_receipt_was_lost_is_not_answered_twice(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    async def done_but_unheard(request: web.Request) -> web.StreamResponse | None:
        await loopback.rest.callback(request)
        return await reset(request)

    loopback.rest.faults.append(times(1, "/callback", done_but_unheard))
    asked = await loopback.slash(ada, loopback.ferry, "roll", **ATTACK)
    await loopback.answer_to(asked)
    await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "charge", number=9))
    assert len(loopback.rest.sent) == 2
    assert len(rolls(playing, loopback)) == 1


async def test_a_roll_whose_interaction_has_died_is_shown_in_the_channel(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.rest.faults.append(times(9, "/callback", status(404)))
    await loopback.slash(ada, loopback.ferry, "roll", **ATTACK)
    sent = await loopback.answer()
    assert sent.interaction is None
    assert "#1 roll 10 attacks" in sent.content


async def test_a_private_answer_whose_interaction_has_died_is_shown_to_nobody_and_asked_for_again(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.rest.faults.append(times(9, "/callback", status(404)))
    await loopback.slash(ada, loopback.ferry, "odds", **ATTACK)
    said = (await loopback.answer()).content
    assert said.startswith("**Ada, as far as I can tell, my answer to your command or button did not get through.")


async def test_a_message_delivered_twice_is_answered_once(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    message = loopback.written(ada, loopback.ferry, loopback.mention(ROLL))
    for _ in range(3):
        await loopback.deliver(message, loopback.ferry)
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    await loopback.answer(2)
    assert len(loopback.rest.sent) == 2
    assert len(rolls(playing, loopback)) == 1


async def test_a_command_delivered_twice_rolls_once(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    asked = await loopback.slash(ada, loopback.ferry, "roll", **ATTACK)
    await loopback.redeliver(asked, ada, 2, loopback.command("roll", ATTACK))
    await loopback.answer_to(asked)
    await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "charge", number=9))
    assert len(loopback.rest.sent) == 2
    assert len(rolls(playing, loopback)) == 1


async def test_a_message_delivered_again_after_a_restart_shows_the_recorded_roll(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    await unstarted.start()
    message = await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    first = (await loopback.answer()).content
    await unstarted.stop()
    loopback.rest.sent.clear()  # the service has forgotten the nonce
    await unstarted.start()
    await loopback.deliver(message, loopback.ferry)
    assert (await loopback.answer()).content == first
    assert len(rolls(unstarted, loopback)) == 1


async def test_a_post_that_failed_for_good_is_made_when_the_message_comes_again(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.rest.faults.append(times(TRIES, "/messages", status(503)))
    message = await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    await loopback.until(lambda: len(playing.pauses) == TRIES - 1)
    await loopback.until(lambda: playing.umpire is not None and playing.umpire.busy == 0)
    assert playing.pauses[-1] > playing.pauses[0]
    await loopback.deliver(message, loopback.ferry)
    assert "#1 roll" in (await loopback.answer()).content
    assert len(rolls(playing, loopback)) == 1


# permissions


@pytest.mark.parametrize(
    "denied", [ATTACH, EMBED, HISTORY, ATTACH | EMBED | HISTORY], ids=["attach", "embed", "history", "all"]
)
async def test_it_answers_without_permission_to(
    unstarted: Playing, loopback: Loopback, ada: Person, denied: int
) -> None:
    strict = loopback.open(loopback.servers[0], "strict", denied)
    await unstarted.start()
    await loopback.say(ada, strict, loopback.mention("odds 10 shots, hit 4+, S4 into T4, save 3+"))
    sent = await loopback.answer()
    assert "chance of slain exactly" in sent.content
    assert ("message_reference" in sent.data) is not bool(denied & HISTORY)


async def test_a_channel_it_may_not_write_in_does_no_harm_and_is_told_of_once(
    unstarted: Playing, loopback: Loopback, ada: Person, caplog: pytest.LogCaptureFixture
) -> None:
    strict, gone = loopback.open(loopback.servers[0], "strict", SEND), loopback.open(loopback.servers[0], "gone")
    await unstarted.start()
    del loopback.channels[gone.id]
    for channel in (strict, gone) * 2:
        await loopback.say(ada, channel, loopback.mention("charge 9"))
    await rolled_once(unstarted, loopback, ada)
    umpire = unstarted.umpire
    await loopback.until(lambda: umpire is not None and umpire.busy == 0)
    told = [record.levelname for record in caplog.records if "may not write" in record.getMessage()]
    assert told == ["WARNING"] * 2
    assert sum(call == f"POST /api/v10/channels/{strict.id}/messages" for call in loopback.rest.calls) == 2
    assert "ERROR" not in {record.levelname for record in caplog.records}


# in time


@pytest.mark.parametrize("fault", [status(500), status(503), reset, after(1.5)], ids=["500", "503", "reset", "slow"])
async def test_two_failing_callbacks_still_leave_a_first_answer_in_time(
    playing: Playing, loopback: Loopback, ada: Person, fault: Fault
) -> None:
    loopback.rest.faults.append(times(2, "/callback", fault))
    asked = await loopback.slash(ada, loopback.ferry, "roll", **ATTACK)
    sent = await loopback.answer_to(asked)
    assert asked.answered is not None
    assert asked.answered - asked.started < limits.FIRST_ANSWER_SECONDS
    assert "#1 roll 10 attacks" in sent.content
    await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "charge", number=9))
    assert len(loopback.rest.sent) == 2
    assert len(rolls(playing, loopback)) == 1


@pytest.mark.parametrize(("command", "seconds", "thinks"), [("odds", 2.2, 0.4), ("roll", 2.3, 0)])
async def test_callbacks_that_are_taken_late_but_in_time_are_answered_where_they_were_asked_and_once(
    playing: Playing,
    loopback: Loopback,
    ada: Person,
    monkeypatch: pytest.MonkeyPatch,
    command: str,
    seconds: float,
    thinks: float,
) -> None:
    slow(playing, monkeypatch, thinks)
    loopback.rest.faults.append(times(9, "/callback", after(seconds)))
    asked = await loopback.slash(ada, loopback.ferry, command, **ATTACK)
    sent = await loopback.answer_to(asked)
    assert sent.private is (command == "odds")
    umpire = playing.umpire
    await loopback.until(lambda: umpire is not None and umpire.busy == 0)
    assert f"{command} 10 attacks" in sent.content
    assert loopback.rest.sent == [sent]
