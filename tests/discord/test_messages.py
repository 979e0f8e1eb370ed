"""Messages: what is addressed to the umpire is answered once and compactly; table talk is left alone."""

from __future__ import annotations

import pytest

from bot.settings import Discord, Pace
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.faults import after, times
from tests.discord.loopback.gateway import MESSAGE_CONTENT
from tests.discord.loopback.world import MANAGE_MESSAGES, USUAL, Channel, Person, snowflake

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


async def test_nobody_is_ever_pinged(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await loopback.say(ada, loopback.ferry, loopback.mention("roll 10 @everyone <@&5>"))
    sent = await loopback.answer()
    assert sent.data["allowed_mentions"]["parse"] == []
    assert not sent.data["allowed_mentions"]["replied_user"]


async def test_no_privileged_intent_is_asked_for(playing: Playing, loopback: Loopback) -> None:
    assert all(not session.intents & PRIVILEGED for session in loopback.gateway.sessions.values())


async def test_the_old_form_of_a_mention_anywhere_in_the_message_counts(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    await loopback.say(ada, loopback.ferry, f"charge 9 <@!{loopback.me.id}>", mentions=(loopback.me,))
    assert "needs 9 or more" in (await loopback.answer()).content


async def test_a_bare_mention_gets_help(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await loopback.say(ada, loopback.ferry, loopback.mention(""))
    assert "roll" in (await loopback.answer()).content


async def test_a_direct_message_needs_no_mention(playing: Playing, loopback: Loopback, ada: Person) -> None:
    direct = loopback.direct()
    await loopback.say(ada, direct, "charge 9")
    sent = await loopback.answer()
    assert sent.channel == direct.id
    assert "28%" in sent.content


async def test_a_reply_to_the_umpire_is_addressed_to_it(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
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
    assert await silent(loopback, ada, loopback.ferry)


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
        "lol",
        "👍",
    ):
        await loopback.say(ada, loopback.ferry, talk)
    assert await silent(loopback, ada, loopback.ferry)


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


async def test_how_it_listens_can_be_said_as_a_message_too(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
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


async def test_only_a_moderator_may_change_how_it_listens(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
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
    await loopback.say(
        ada, loopback.ferry, loopback.mention("open table Saltmarsh Wardens against Kiln Guard")
    )
    await loopback.answer()
    attachment = {
        "id": snowflake(), "filename": "bearers.yaml", "size": len(body), "proxy_url": "", "content_type": "text/yaml",
        "url": f"{loopback.url}/attachments/bearers.yaml",
    }  # fmt: skip
    await loopback.say(ada, loopback.ferry, loopback.mention("roster"), attachments=[attachment])
    assert "Lamp Bearers" in (await loopback.answer(2)).content


async def test_people_of_one_name_are_told_apart_and_seats_stay_theirs(
    playing: Playing, loopback: Loopback
) -> None:
    one, two = Person("Ada"), Person("ADA")
    for who, text in (
        (one, "open table Saltmarsh Wardens against Kiln Guard"),
        (one, "sit with Saltmarsh Wardens"),
    ):
        await loopback.say(who, loopback.ferry, loopback.mention(text))
    await loopback.say(two, loopback.ferry, loopback.mention("sit with Kiln Guard"))
    sent = await loopback.answer(3)
    assert "ADA 2 sits with the Kiln Guard" in sent.content


async def test_another_person_is_spoken_of_by_name(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    await loopback.say(
        ada, loopback.ferry, loopback.mention("open table Saltmarsh Wardens against Kiln Guard")
    )
    await loopback.say(
        ada, loopback.ferry, loopback.mention(f"seat <@{bea.id}> with Kiln Guard"), mentions=(bea,)
    )
    assert "Bea sits with the Kiln Guard" in (await loopback.answer(2)).content


@pytest.mark.parametrize("name", ["**Ada**", "`Ada`", "_A_d_a_", "@everyone", "<@1>"])
async def test_a_name_is_shown_without_its_marks_taking_effect(
    playing: Playing, loopback: Loopback, name: str
) -> None:
    who = Person(name)
    await loopback.say(who, loopback.ferry, loopback.mention("dice 2d6"))
    await loopback.say(who, loopback.ferry, loopback.mention("show #1"))
    sent = await loopback.answer(2)
    assert "#1 by " in sent.content
    assert f"by {name}" not in sent.content


async def test_too_much_at_once_gets_one_kind_word_and_then_silence(
    unstarted: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    await unstarted.start(Discord(pictures=False, person=Pace(3, 0.01)), clock=lambda: 0.0)
    for _ in range(8):
        await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    await loopback.say(bea, loopback.ferry, loopback.mention("charge 7"))
    await loopback.answer(5)
    said = [sent.content for sent in loopback.rest.sent]
    assert len(said) == 5
    assert sum("charge 9" in content for content in said) == 3
    assert sum("charge 7" in content for content in said) == 1
    assert sum("One moment, please" in content for content in said) == 1


async def test_a_channel_has_a_pace_of_its_own(unstarted: Playing, loopback: Loopback) -> None:
    await unstarted.start(Discord(pictures=False, channel=Pace(2, 0.01)), clock=lambda: 0.0)
    for number in range(4):
        await loopback.say(Person(f"Player {number}"), loopback.ferry, loopback.mention("charge 9"))
    await loopback.say(Person("Zoe"), loopback.league, loopback.mention("charge 7"))
    await loopback.answer(4)
    said = [sent.content for sent in loopback.rest.sent]
    assert sum("charge 9" in content for content in said) == 2
    assert sum("charge 7" in content for content in said) == 1
    assert sum("One moment, please" in content for content in said) == 1


async def test_answers_come_in_the_order_of_the_messages(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    loopback.rest.faults.append(times(1, "/messages", after(0.3)))
    for number, who in enumerate((ada, bea, ada, bea), 4):
        await loopback.say(who, loopback.ferry, loopback.mention(f"charge {number}"))
    await loopback.answer(4)
    asked = [sent.content.splitlines()[0] for sent in loopback.rest.sent]
    assert asked == [f"**charge {number}**" for number in range(4, 8)]


async def test_one_slow_channel_does_not_hold_up_another(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    loopback.rest.faults.append(times(1, f"/channels/{loopback.ferry.id}/messages", after(0.5)))
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    await loopback.say(bea, loopback.league, loopback.mention("charge 7"))
    assert (await loopback.answer()).channel == loopback.league.id
    assert (await loopback.answer(2)).channel == loopback.ferry.id


async def test_a_long_answer_comes_in_parts_in_order(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    await unstarted.start(Discord(pictures=False, person=Pace(100, 1.0)))
    for number in range(40):
        await loopback.say(ada, loopback.ferry, loopback.mention(f"dice {number + 1}d6"))
    await loopback.answer(40)
    await loopback.say(ada, loopback.ferry, loopback.mention("log 100"))
    await loopback.until(lambda: any("#40" in sent.content for sent in loopback.rest.sent[40:]))
    parts = [sent.content for sent in loopback.rest.sent[40:]]
    assert "#1 Ada" in parts[0]
    assert sum(part.count(" Ada: ") for part in parts) == 40


async def test_only_the_opener_or_a_moderator_closes_the_table(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    moderator = Person("Max", permissions=USUAL | MANAGE_MESSAGES)
    await loopback.say(ada, loopback.ferry, loopback.mention("open table Saltmarsh Wardens against Kiln Guard"))
    await loopback.say(ada, loopback.ferry, loopback.mention("sit with Saltmarsh Wardens"))
    await loopback.say(bea, loopback.ferry, loopback.mention("sit with Kiln Guard"))
    await loopback.answer(3)
    await loopback.say(bea, loopback.ferry, loopback.mention("close table"))
    assert "closed" not in (await loopback.answer(4)).content
    await loopback.say(moderator, loopback.ferry, loopback.mention("close table"))
    assert "closed" in (await loopback.answer(5)).content


async def test_what_the_service_itself_says_is_no_message(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    pinned, joined = 6, 7  # page "Message", section "Message Types"
    for kind in (pinned, joined):
        await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"), type=kind)
    assert await silent(loopback, ada, loopback.ferry)
