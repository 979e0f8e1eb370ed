"""Replies to something the umpire said speak of just that, whatever was said since and by whomever."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.kept import Sent
from tests.discord.loopback.world import Person
from tests.discord.test_buttons import TABLE, said

TEN = "10 shots, hit 4+, S5 into T4, save 3+"
THREE = "3 shots, hit 2+, S9 into T4, save 3+"
FIVE = "5 models with 10 attacks, hit 4+, S4 into T4, save 3+"


async def replied(loopback: Loopback, who: Person, to: Sent, words: str) -> str:
    """What comes of a reply to one of the umpire's messages."""
    since = len(loopback.rest.sent)
    await loopback.say(who, loopback.ferry, loopback.mention(words), **loopback.reply_to(to))
    return (await loopback.answer(since=since)).content


async def test_a_reply_means_the_attack_that_it_replies_to(playing: Playing, loopback: Loopback, ada: Person) -> None:
    ten = {"odds": await said(loopback, ada, f"odds {TEN}"), "roll": await said(loopback, ada, f"roll {TEN}")}
    await said(loopback, ada, f"odds {THREE}")
    await said(loopback, ada, f"roll {THREE}")
    for verb, words, answer in (
        ("odds", "what about S9?", "odds 10 attacks, hit 4+, S9"),
        ("odds", "why", "hit 4+, wound 3+"),
        ("odds", "undo", "undo which entry?"),
        ("odds", "roll it", "#3 roll 10 attacks"),
        ("odds", "yes", "#4 roll 10 attacks"),
        ("roll", "Why?", "why: #1"),
        ("roll", "show", "#1 by Ada"),
        ("roll", "show it please", "#1 by Ada"),
        ("roll", "yes", "that is rolled already"),
        ("roll", "correct T5", "#5 mends #1"),
        ("roll", "roll it", "rolled already; roll it again?"),
        ("roll", "log 1", "#5 "),
    ):
        assert answer in await replied(loopback, Person("Bea"), ten[verb], words), words


async def test_a_reply_to_an_event_of_the_table_undoes_that(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await said(loopback, ada, TABLE)
    phase = await said(loopback, ada, "next phase")
    await said(loopback, ada, f"roll {TEN}")
    moved = await said(loopback, ada, "Wardens advance")
    assert "undone: #2" in await replied(loopback, ada, phase, "undo")
    assert "undone: #4" in await replied(loopback, ada, moved, "undo that")


async def test_a_reply_answers_the_question_that_it_replies_to_and_once(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    ten = await said(loopback, ada, "roll 10 shots, S5 into T4, save 3+")
    five = await said(loopback, ada, f"roll {FIVE}")
    assert "#1 roll 10 attacks, hit 4+, S5" in await replied(loopback, ada, ten, "4+")
    assert "#2 roll 5 models with 10 attacks each" in await replied(loopback, bea, five, "1")
    for question, words in ((five, "2"), (ten, "3+")):
        assert "settled already: #" in await replied(loopback, bea, question, words)


async def test_a_choice_may_be_named_by_a_word_of_it(playing: Playing, loopback: Loopback, ada: Person) -> None:
    five = await said(loopback, ada, f"roll {FIVE}")
    assert "#1 roll 5 models with 10 attacks each" in await replied(loopback, ada, five, "each")


async def test_a_reply_to_what_tells_of_no_attack_is_not_taken_for_the_last(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    page = await said(loopback, ada, "what is AP")
    await said(loopback, ada, f"roll {THREE}")
    await said(loopback, ada, TABLE)
    for more in (loopback.reply_to(page), loopback.reply_to(page) | {"referenced_message": None}):
        for words, answer in (
            ("why", "tells of no attack"),
            ("roll it", "nothing to roll yet"),
            ("undo", "undo which entry?"),
            (f"roll {TEN}", "roll 10 attacks"),
        ):
            since = len(loopback.rest.sent)
            await loopback.say(Person("Bea"), loopback.ferry, loopback.mention(words), **more)
            assert answer in (await loopback.answer(since=since)).content


async def test_a_reply_to_odds_by_name_rolls_and_explains_them(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    for words in (TABLE, "go to the shooting phase"):
        await said(loopback, ada, words)
    odds = await said(loopback, ada, "odds Reed Runners shoot Ember Crew at 9")
    await said(loopback, ada, f"odds {TEN}")
    assert "why: odds Reed Runners" in await replied(loopback, Person("Bea"), odds, "why")
    assert "#3 Reed Runners shoot Ember Crew" in await replied(loopback, Person("Bea"), odds, "roll it")


async def replied_to_a_person(loopback: Loopback, who: Person, to: Mapping[str, Any], words: str) -> str:
    """What comes of a message to the umpire that replies to a person's."""
    since = len(loopback.rest.sent)
    quoted = {"message_reference": {"message_id": to["id"], "channel_id": to["channel_id"]}}
    await loopback.say(who, loopback.ferry, loopback.mention(words), **quoted, referenced_message=to)
    return (await loopback.answer(since=since)).content


async def test_a_reply_to_a_person_speaks_of_the_umpires_answer_to_that(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    talk = await loopback.say(ada, loopback.ferry, "shall I?")
    rolls = await loopback.say(ada, loopback.ferry, loopback.mention(f"roll {TEN}"))
    await loopback.answer()
    await said(loopback, ada, TABLE)
    await said(loopback, ada, "next phase")
    await said(loopback, ada, f"roll {THREE}")
    for to, words, answer in (
        (talk, "undo", "undo which entry?"),
        (talk, "show", "show which entry?"),
        (talk, "why", "tells of no attack"),
        (talk, "roll it", "nothing to roll yet"),
        (talk, "yes", "nothing to roll yet"),
        (talk, "agreed", "agreed to which entry?"),
        (rolls, "why", "why: #1"),
        (rolls, "undo", "#1 is a roll outside the game"),
        (rolls, "roll it", "rolled already; roll it again?"),
        (rolls, "agreed", "#1 is not waiting"),
        (talk, "next phase", "#5 "),
    ):
        assert answer in await replied_to_a_person(loopback, ada, to, words), words


async def test_a_reply_to_ones_own_message_answers_what_was_asked_back(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    lacking = await loopback.say(ada, loopback.ferry, loopback.mention("roll 10 shots, S5 into T4, save 3+"))
    await loopback.answer()
    assert "#1 roll 10 attacks, hit 4+" in await replied_to_a_person(loopback, ada, lacking, "4+")


async def test_agreed_in_reply_to_a_person_answers_what_that_message_asked(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    await said(loopback, ada, TABLE)
    await said(loopback, ada, "sit with Saltmarsh Wardens")
    await said(loopback, bea, "sit with Kiln Guard")
    asks = []
    for words in ("Wardens lost 1 wound", "Reed Runners lost 1 wound"):
        since = len(loopback.rest.sent)
        asks.append(await loopback.say(bea, loopback.ferry, loopback.mention(words)))
        await loopback.answer(since=since)
    assert "Wardens lost 1 wound" in await replied_to_a_person(loopback, ada, asks[0], "fine by me")
    assert "settled already: #6" in await replied_to_a_person(loopback, ada, asks[0], "agreed")
    assert "not agreed: Reed Runners" in await replied_to_a_person(loopback, ada, asks[1], "not agreed")
