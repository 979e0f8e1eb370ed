"""Manners: order, pace, names, standing; nobody is pinged, nobody is taken for another."""

from __future__ import annotations

import pytest

from bot.settings import Discord, Pace
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.faults import after, times
from tests.discord.loopback.world import MANAGE_MESSAGES, USUAL, Person


async def test_nobody_is_ever_pinged(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await loopback.say(ada, loopback.ferry, loopback.mention("roll 10 @everyone <@&5>"))
    sent = await loopback.answer()
    assert sent.data["allowed_mentions"]["parse"] == []
    assert not sent.data["allowed_mentions"]["replied_user"]


async def test_what_the_chat_marks_is_called_as_the_chat_shows_it(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    place, role = loopback.ferry, loopback.servers[0].moderators
    marks = {f"<#{place.id}>": f"#{place.name}", f"<@&{role}>": "@moderators", "<#7>": "#channel", "<@&7>": "@role"}
    for mark, shown in {**marks, "</next-phase:7>": "/next-phase"}.items():
        since = len(loopback.rest.sent)
        await loopback.say(ada, place, loopback.mention(f"roll 10 {mark}"))
        assert f"roll 10 {shown}\n" in (await loopback.answer(since=since)).content


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
