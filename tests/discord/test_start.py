"""Starting and staying: it waits for a service that is down, ends where waiting cannot help, and tells its health."""

from __future__ import annotations

import json
import logging
from io import StringIO

import pytest

from bot.channels.discord_logs import HIDDEN, JsonLines
from bot.channels.discord_run import REFUSALS, health
from bot.channels.discord_settings import SettingsError
from bot.settings import Discord
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.faults import limited, status, times
from tests.discord.loopback.world import Person


@pytest.mark.parametrize("path", ["/users/@me", "/gateway/bot", "/commands", "/oauth2"])
@pytest.mark.parametrize("code", [503])
async def test_a_start_while_the_service_answers_503_waits_longer_and_longer(
    unstarted: Playing, loopback: Loopback, path: str, code: int
) -> None:
    method = "PUT" if path == "/commands" else "GET"
    loopback.rest.faults.append(times(4, path, status(code), method))
    await unstarted.start()
    assert len(unstarted.pauses) == 4
    assert unstarted.pauses == sorted(unstarted.pauses)
    assert unstarted.pauses[-1] > 3 * unstarted.pauses[0]


async def test_a_start_while_the_service_is_down_waits_for_it(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    port = loopback.port
    await loopback.stop()
    unstarted.begin()
    await loopback.until(lambda: len(unstarted.pauses) >= 3)
    await loopback.start(port)
    await loopback.until(lambda: unstarted.umpire is not None and len(unstarted.umpire.guilds) == 2)
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    assert "28%" in (await loopback.answer()).content


async def test_a_start_that_is_asked_to_wait_waits_as_long_as_asked(
    unstarted: Playing, loopback: Loopback
) -> None:
    loopback.rest.faults.append(times(1, "/users/@me", limited("global", via=False, seconds=7.5), "GET"))
    await unstarted.start()
    assert unstarted.pauses == [7.5]


async def test_a_start_waits_until_sessions_may_be_begun_again(
    unstarted: Playing, loopback: Loopback
) -> None:
    loopback.rest.starts_left = 0
    await unstarted.start()
    assert unstarted.pauses == [14_400.0]  # what the service says in milliseconds


@pytest.mark.parametrize(
    ("token", "said", "shown"),
    [
        ("x", "an exception in x", f"an exception in {HIDDEN}"),
        ("a-token.of-26.letters-long", "?a-token.of-26.letters-long1", f"?{HIDDEN}1"),
        ('short"one', 'it is short"one', f"it is {HIDDEN}"),
    ],
)
def test_a_token_is_hidden_and_a_short_one_leaves_other_words_alone(token: str, said: str, shown: str) -> None:
    record = logging.LogRecord("bot", logging.INFO, "", 0, said, (), None)
    assert json.loads(JsonLines((token,)).format(record))["message"] == shown


async def test_commands_that_are_refused_do_not_keep_it_away(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.rest.faults.append(times(1, "/commands", status(400), "PUT"))
    await unstarted.start()
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    assert "28%" in (await loopback.answer()).content


async def test_an_intent_it_was_not_given_ends_it_with_a_way_out(
    unstarted: Playing, loopback: Loopback
) -> None:
    loopback.gateway.content_allowed = False
    unstarted.begin(Discord(pictures=False, plain_messages=True))
    assert unstarted.ended is not None
    with pytest.raises(SettingsError, match="message content intent"):
        await unstarted.ended
    await unstarted.leave()


async def test_a_token_that_is_not_accepted_ends_it_with_a_way_out(
    unstarted: Playing, loopback: Loopback
) -> None:
    unstarted.begin(token="wrong.one.here")
    assert unstarted.ended is not None
    with pytest.raises(SettingsError, match="does not accept this token") as complaint:
        await unstarted.ended
    assert "wrong.one.here" not in str(complaint.value)
    await unstarted.leave()


async def test_a_bot_that_has_outgrown_its_shards_is_told_so_in_plain_words(
    playing: Playing, loopback: Loopback
) -> None:
    for session in loopback.gateway.sessions.values():
        assert session.socket is not None
        await session.socket.close(code=4011)
    assert playing.ended is not None
    with pytest.raises(SettingsError, match="too many servers for so few shards; put a larger number"):
        await playing.ended
    await playing.leave()


def test_every_close_code_that_no_waiting_mends_has_its_words() -> None:
    # Discord developer documentation, "Gateway Close Event Codes": those that say reconnect: false.
    assert set(REFUSALS) == {4004, 4010, 4011, 4012, 4013, 4014}


@pytest.mark.parametrize(
    "said",
    [
        "POST https://x/api/v10/interactions/115/aW50ZXJ-_.abc/callback?with_response=true has returned 204",
        "PATCH https://x/api/v10/webhooks/110/aW50ZXJ-_.abc/messages/@original",
        "WebSocket Event: {'d': {'id': '115', 'token': 'aW50ZXJ-_.abc', 'type': 2}}",
        'received {"token":"aW50ZXJ-_.abc","version":1}',
    ],
)
def test_the_token_of_an_interaction_is_hidden_too(said: str) -> None:
    record = logging.LogRecord("discord", logging.DEBUG, "", 0, said, (), None)
    shown = json.loads(JsonLines(()).format(record))["message"]
    assert shown == said.replace("aW50ZXJ-_.abc", HIDDEN)


async def test_told_to_stop_while_it_waits_it_stops(unstarted: Playing, loopback: Loopback) -> None:
    await loopback.stop()
    unstarted.begin()
    await loopback.until(lambda: unstarted.pauses)
    await unstarted.stop()
    await loopback.start()


async def test_a_beginning_that_cannot_be_read_costs_a_new_start_and_no_more(
    playing: Playing, loopback: Loopback, ada: Person, caplog: pytest.LogCaptureFixture
) -> None:
    await loopback.gateway.dispatch("READY", {"session_id": "1", "resume_gateway_url": ""}, loopback.servers[0])
    await loopback.until(lambda: loopback.gateway.identified == 2)
    await loopback.until(lambda: playing.umpire is not None and len(playing.umpire.guilds) == 2)
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    assert "28%" in (await loopback.answer()).content
    assert "unexpected error" in caplog.text


async def test_two_shards_serve_each_its_own_server(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.rest.shards = 2
    await unstarted.start()
    assert {session.shard for session in loopback.gateway.sessions.values()} == {(0, 2), (1, 2)}
    for channel in (loopback.ferry, loopback.league):
        await loopback.say(ada, channel, loopback.mention("dice 2d6"))
    await loopback.answer(2)
    assert {sent.channel for sent in loopback.rest.sent} == {loopback.ferry.id, loopback.league.id}
    assert all("#1 dice 2d6" in sent.content for sent in loopback.rest.sent)


async def test_one_shard_lost_leaves_the_other_playing(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.rest.shards = 2
    await unstarted.start()
    lost = loopback.gateway.session_of(loopback.servers[1])
    assert lost.socket is not None
    await lost.socket.close(code=4000)
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    await loopback.answer()
    await loopback.say(ada, loopback.league, loopback.mention("charge 7"))
    assert "charge 7" in (await loopback.answer(2)).content


async def test_settings_say_how_many_shards(unstarted: Playing, loopback: Loopback) -> None:
    await unstarted.start(Discord(pictures=False, shards=1))
    assert {session.shard for session in loopback.gateway.sessions.values()} == {(0, 1)}


async def test_the_health_line_says_how_it_is(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    await loopback.answer()
    umpire = playing.umpire
    assert umpire is not None
    await loopback.until(lambda: umpire.is_ready() and umpire.answered == 1)
    said = health(umpire)
    assert (said["ready"], said["servers"], said["answered"], said["answering"]) == (True, 2, 1, 0)
    port = loopback.port
    await loopback.stop()
    await loopback.until(lambda: not health(umpire)["ready"])
    await loopback.start(port)
    await loopback.until(lambda: health(umpire)["ready"])


def test_a_log_line_is_one_json_object_and_hides_the_token() -> None:
    out = StringIO()
    handler = logging.StreamHandler(out)
    handler.setFormatter(JsonLines(("sec.ret.token",)))
    log = logging.Logger("bot.test")
    log.addHandler(handler)
    try:
        raise ValueError("it was sec.ret.token\nin two lines")
    except ValueError:
        log.exception("with %s", "sec.ret.token", extra={"fields": {"shards": 2}})
    [line] = out.getvalue().splitlines()
    said = json.loads(line)
    assert said["message"] == f"with {HIDDEN}"
    assert said["shards"] == 2
    assert "ValueError" in said["trace"]
    assert "sec.ret.token" not in line
