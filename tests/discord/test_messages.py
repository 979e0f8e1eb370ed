"""Messages: what is addressed to the umpire is answered once and compactly; table talk is left alone."""

from __future__ import annotations

import pytest

from bot.channels.discord_names import PEOPLE
from bot.settings import Discord
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.gateway import MESSAGE_CONTENT
from tests.discord.loopback.world import MANAGE_MESSAGES, USUAL, Channel, Person, Server, snowflake

ROLL = "roll 10 shots hitting on 4s, S5 AP-1, into T4 3+ save, 2 wounds each"
PRIVILEGED = (1 << 1) | (1 << 8) | MESSAGE_CONTENT  # members, presences, message content: page "Gateway"


async def silent(loopback: Loopback, who: Person, channel: Channel) -> bool:
    """Whether all before this stayed unanswered: a last message is answered, and only it."""
    since = len(loopback.rest.sent)
    await loopback.say(who, channel, loopback.mention("needs save 3+ AP-1"))
    sent = await loopback.answer(since=since)
    return "needs save" in sent.content and len(loopback.rest.sent) == since + 1


async def test_a_mention_is_answered_with_the_roll(playing: Playing, loopback: Loopback, ada: Person) -> None:
    message = await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    sent = await loopback.answer()
    assert sent.channel == loopback.ferry.id
    assert "#1 roll 10 attacks, hit 4+, S5, AP-1" in sent.content
    assert "hit 4+: " in sent.content
    assert "wound 3+: " in sent.content
    assert int(sent.data["message_reference"]["message_id"]) == int(message["id"])


async def test_no_privileged_intent_is_asked_for(playing: Playing, loopback: Loopback) -> None:
    assert all(not session.intents & PRIVILEGED for session in loopback.gateway.sessions.values())


async def test_the_old_form_of_a_mention_anywhere_in_the_message_counts(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    await loopback.say(ada, loopback.ferry, f"charge 9 <@!{loopback.me.id}>", mentions=(loopback.me,))
    assert "needs 9 or more" in (await loopback.answer()).content


async def test_a_mention_of_the_role_that_it_came_with_is_a_mention(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    server = loopback.servers[0]
    await loopback.say(ada, loopback.ferry, f"<@&{server.moderators}> charge 9", mention_roles=[server.moderators])
    await loopback.say(ada, loopback.ferry, f"<@&{server.bots}> charge 9", mention_roles=[server.bots])
    assert (await loopback.answer()).content.startswith("**charge 9**")
    await loopback.say(ada, loopback.ferry, "", mention_roles=[server.bots])  # where its words are kept back
    assert "cannot read what does not mention me myself" in (await loopback.answer(2)).content
    assert len(loopback.rest.sent) == 2


async def test_a_bare_mention_gets_help(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await loopback.say(ada, loopback.ferry, loopback.mention(""))
    assert "roll" in (await loopback.answer()).content


async def test_a_picture_without_words_is_told_that_it_cannot_be_seen(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    picture = {"id": snowflake(), "filename": "table.png", "size": 9, "url": "", "proxy_url": ""}
    for channel, text in ((loopback.ferry, loopback.mention("")), (loopback.direct(), "")):
        since = len(loopback.rest.sent)
        await loopback.say(ada, channel, text, attachments=[picture])
        assert "cannot see pictures" in (await loopback.answer(since=since)).content


async def test_a_direct_message_needs_no_mention(playing: Playing, loopback: Loopback, ada: Person) -> None:
    direct = loopback.direct()
    await loopback.say(ada, direct, "charge 9")
    sent = await loopback.answer()
    assert sent.channel == direct.id
    assert "28%" in sent.content


async def test_in_a_server_that_has_not_been_described_table_talk_stays_unanswered(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    unknown = Server("Not yet described", 4).channel("early")
    loopback.channels[unknown.id] = unknown
    await loopback.say(ada, unknown, "charge 9")
    await loopback.say(ada, unknown, loopback.mention("listen on"))
    assert "Only somebody who moderates" in (await loopback.answer()).content
    await loopback.say(ada, unknown, loopback.mention("needs S5 against T4"))
    assert "needs" in (await loopback.answer(2)).content
    assert len(loopback.rest.sent) == 2


async def test_a_reply_to_the_umpire_is_addressed_to_it(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await loopback.say(ada, loopback.ferry, loopback.mention("roll 10 shots hitting on 4s, into T4 3+ save"))
    asked = await loopback.answer()
    assert "strength" in asked.content
    await loopback.say(ada, loopback.ferry, "S5", **loopback.reply_to(asked))
    assert "#1 roll 10 attacks, hit 4+, S5" in (await loopback.answer(2)).content


async def test_a_reply_whose_words_it_may_not_read_is_told_so(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    asked = await loopback.answer()
    await loopback.say(ada, loopback.ferry, "", **loopback.reply_to(asked))
    assert "cannot read" in (await loopback.answer(2)).content


async def test_table_talk_other_bots_and_replies_to_people_stay_unanswered(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    talk = await loopback.say(bea, loopback.ferry, ROLL)
    quoted = {
        "message_reference": {"message_id": talk["id"], "channel_id": loopback.ferry.id},
        "referenced_message": talk,
    }
    await loopback.say(ada, loopback.ferry, "roll 3 dice", **quoted)
    robot = Person("Robot", bot=True)
    await loopback.say(robot, loopback.ferry, loopback.mention("charge 9"))
    await loopback.say(ada, loopback.ferry, "@everyone charge 9", mention_everyone=True)
    await loopback.say(ada, loopback.ferry, f"<@{bea.id}> charge 9", mentions=(bea,))
    assert await silent(loopback, ada, loopback.ferry)
    people = playing.app.house.memory.recall(f"discord:{loopback.ferry.id}", PEOPLE)
    assert people == {ada.id: "Ada"}  # who is only spoken of in table talk is not written down


async def test_a_message_edited_afterwards_is_never_rolled_again(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    message = await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    await loopback.answer()
    edited = message | {
        "content": loopback.mention("roll 20 shots, hit 2+, wound 2+, no save"),
        "edited_timestamp": "2026-03-14T19:05:00+00:00",
    }
    await loopback.gateway.dispatch("MESSAGE_UPDATE", edited, loopback.ferry.server)
    assert await silent(loopback, ada, loopback.ferry)


async def test_a_channel_that_opts_in_is_heard_and_its_table_talk_is_not(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    await unstarted.start(Discord(pictures=False, plain_messages=True))
    moderator = Person("Max", permissions=USUAL | MANAGE_MESSAGES)
    asked = await loopback.slash(moderator, loopback.ferry, "listen", on=True)
    assert (await loopback.answer_to(asked)).private
    await loopback.say(ada, loopback.ferry, "charge 9")
    assert "28%" in (await loopback.answer(2)).content
    for talk in (
        "I would charge 9 times",
        "roll up your sleeves",
        "10 shots, hit 4+, S4 into T4, save 3+",
        "roll 10 shots",
        "what is for dinner?",
        "can I get a beer",
        "lol",
        "👍",
    ):
        await loopback.say(ada, loopback.ferry, talk)
    assert await silent(loopback, ada, loopback.ferry)
    since = len(loopback.rest.sent)
    for question in ("what is AP", loopback.mention("can I get a beer")):
        await loopback.say(ada, loopback.ferry, question)
    assert "Armour penetration" in (await loopback.answer(since=since)).content
    assert "covers this" in (await loopback.answer(2, since=since)).content


async def test_a_unit_acts_by_name_in_a_channel_that_opted_in(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    await unstarted.start(Discord(pictures=False, plain_messages=True))
    moderator = Person("Max", permissions=USUAL | MANAGE_MESSAGES)
    await loopback.answer_to(await loopback.slash(moderator, loopback.ferry, "listen", on=True))
    await loopback.say(ada, loopback.ferry, "open table Saltmarsh Wardens against Kiln Guard")
    await loopback.answer(2)
    await loopback.say(ada, loopback.ferry, "the Wardens shoot the Kiln Guard at 14 anyway")
    assert "#2 Wardens shoot Kiln Guard at 14" in (await loopback.answer(3)).content


async def test_opting_in_is_for_one_channel_and_lasts_over_a_restart(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    other = loopback.open(loopback.servers[0], "other")
    thread = loopback.thread("game night")
    await unstarted.start(Discord(pictures=False, plain_messages=True))
    moderator = Person("Max", permissions=USUAL | MANAGE_MESSAGES)
    await loopback.answer_to(await loopback.slash(moderator, thread, "listen", on=True))
    await unstarted.stop()
    await unstarted.start(Discord(pictures=False, plain_messages=True))
    await loopback.say(ada, other, "charge 9")
    await loopback.say(ada, loopback.ferry, "charge 9")
    await loopback.say(ada, thread, "charge 9")
    assert (await loopback.answer(2)).channel == thread.id
    await loopback.answer_to(await loopback.slash(moderator, thread, "listen", on=False))
    await loopback.say(ada, thread, "charge 9")
    assert await silent(loopback, ada, thread)


async def test_how_it_listens_can_be_said_as_a_message_too(unstarted: Playing, loopback: Loopback, ada: Person) -> None:
    await unstarted.start(Discord(pictures=False, plain_messages=True))
    moderator = Person("Max", permissions=USUAL | MANAGE_MESSAGES)
    await loopback.say(ada, loopback.ferry, loopback.mention("listen here"))
    assert "moderates" in (await loopback.answer()).content
    await loopback.say(moderator, loopback.ferry, loopback.mention("listen on"))
    assert "From now on" in (await loopback.answer(2)).content
    await loopback.say(ada, loopback.ferry, "charge 9")
    assert "28%" in (await loopback.answer(3)).content
    await loopback.say(moderator, loopback.ferry, loopback.mention("stop listening"))
    await loopback.answer(4)
    await loopback.say(ada, loopback.ferry, "charge 9")
    assert await silent(loopback, ada, loopback.ferry)


async def test_between_two_everything_is_heard_anyway(playing: Playing, loopback: Loopback, ada: Person) -> None:
    direct = loopback.direct()
    await loopback.say(ada, direct, "listen on")
    assert "I answer everything you say" in (await loopback.answer()).content
    command = await loopback.slash(ada, direct, "listen", on=False)
    assert "I answer everything you say" in (await loopback.answer_to(command)).content


async def test_that_it_cannot_read_plain_messages_is_said_first(playing: Playing, loopback: Loopback) -> None:
    moderator = Person("Max", permissions=USUAL | MANAGE_MESSAGES)
    await loopback.say(moderator, loopback.ferry, loopback.mention("listen on"))
    assert (await loopback.answer()).content.startswith("**I cannot read plain messages yet: my host has not let me")


async def test_somebody_mentioned_within_a_message_is_called_by_name(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    stranger = f"<@{Person('Eve').id}>"
    await loopback.say(ada, loopback.ferry, loopback.mention(f"roll 3d6 {stranger}"))
    content = (await loopback.answer()).content
    assert "@somebody" in content
    assert "<@" not in content
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "dice", dice=f"3d6 <@{ada.id}>"))
    assert "3d6 Ada" in sent.content


async def test_only_a_moderator_may_change_how_it_listens(playing: Playing, loopback: Loopback, ada: Person) -> None:
    asked = await loopback.slash(ada, loopback.ferry, "listen", on=True)
    assert "moderates" in (await loopback.answer_to(asked)).content
    await loopback.say(ada, loopback.ferry, "charge 9")
    assert await silent(loopback, ada, loopback.ferry)


async def test_a_roster_comes_as_a_file(playing: Playing, loopback: Loopback, ada: Person) -> None:
    body = (
        b"side: Kiln Guard\nunits:\n- name: Lamp Bearers\n  move: 5\n  toughness: 4\n  groups:\n"
        b"  - {name: bearers, models: 3, save: 4, wounds: 1, weapons: []}\n"
    )
    loopback.rest.files["bearers.yaml"] = body
    await loopback.say(ada, loopback.ferry, loopback.mention("open table Saltmarsh Wardens against Kiln Guard"))
    await loopback.answer()
    attachment = {
        "id": snowflake(), "filename": "bearers.yaml", "size": len(body), "proxy_url": "", "content_type": "text/yaml",
        "url": f"{loopback.url}/attachments/bearers.yaml",
    }  # fmt: skip
    await loopback.say(ada, loopback.ferry, loopback.mention("roster"), attachments=[attachment])
    assert "Lamp Bearers" in (await loopback.answer(2)).content


async def test_a_roster_file_that_is_no_roster_is_complained_of_by_its_name(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.rest.files["mine.yaml"] = b"name: X\nfoo: 1\n"
    await loopback.say(ada, loopback.ferry, loopback.mention("open table"))
    await loopback.answer()
    attachment = {
        "id": snowflake(), "filename": "mine.yaml", "size": 15, "proxy_url": "", "content_type": "text/yaml",
        "url": f"{loopback.url}/attachments/mine.yaml",
    }  # fmt: skip
    await loopback.say(ada, loopback.ferry, loopback.mention(""), attachments=[attachment])
    said = (await loopback.answer(2)).content
    assert "mine.yaml:1: units: is missing" in said
    assert "mine.yaml:2: foo: is not known; known are side, units, about" in said


@pytest.mark.parametrize(
    ("size", "words"), [(100, "could not be fetched, so nothing was loaded"), (20_001, "has at most 20,000")]
)
async def test_a_roster_file_that_cannot_be_taken_in_is_told_of(
    playing: Playing, loopback: Loopback, ada: Person, size: int, words: str
) -> None:
    attachment = {
        "id": snowflake(), "filename": "gone.yaml", "size": size, "proxy_url": "", "content_type": "text/yaml",
        "url": f"{loopback.url}/attachments/gone.yaml",
    }  # fmt: skip
    await loopback.say(ada, loopback.ferry, loopback.mention(""), attachments=[attachment])
    assert words in (await loopback.answer()).content


async def test_what_the_service_itself_says_is_no_message(playing: Playing, loopback: Loopback, ada: Person) -> None:
    pinned, joined = 6, 7  # page "Message", section "Message Types"
    for kind in (pinned, joined):
        await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"), type=kind)
    assert await silent(loopback, ada, loopback.ferry)
