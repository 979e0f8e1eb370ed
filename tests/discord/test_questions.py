"""Questions asked back: an answer belongs to the question it was given to, and one question is answered once."""

from __future__ import annotations

import asyncio

import pytest

from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.kept import Sent
from tests.discord.loopback.rest import FORM
from tests.discord.loopback.world import Person
from tests.discord.test_buttons import ODDS, TABLE, said

TEN = "roll 10 shots, S5 into T4, save 3+"
THIRTY = "roll 30 shots, S9 AP-4 into T4, save 3+"
UNCLEAR = "roll 5 models with 10 attacks, hit 4+, S4 into T4, save 3+"
LESSON = "step by step 4 shots, hit 4+, S4 into T4, save 3+"


async def answered(loopback: Loopback, who: Person, asked: Sent, words: str, label: str = "answer") -> Sent:
    """What comes of a form's answer to a question."""
    form = await loopback.press(who, asked, label)
    await loopback.until(lambda: form.kind == FORM)
    return await loopback.answer_to(await loopback.fill_in(who, form, words))


def recorded(playing: Playing, loopback: Loopback) -> int:
    return len(playing.app.house.ledger.entries(f"discord:{loopback.ferry.id}"))


async def test_a_number_beyond_the_choices_is_told_how_many_there_are(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    await said(loopback, ada, TABLE)
    for asked, told in (("Reed Runners charge Ember Crew from 9", "there is one choice"), (UNCLEAR, "are 2 choices")):
        assert "1. " in (await said(loopback, ada, asked)).content
        assert told in (await said(loopback, ada, "16")).content


async def test_an_answer_completes_the_message_whose_question_it_was_given_to(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    ten = await said(loopback, ada, TEN)
    thirty = await said(loopback, ada, THIRTY)
    assert "#1 roll 10 attacks, hit 4+, S5" in (await answered(loopback, ada, ten, "4+")).content
    other = await answered(loopback, bea, thirty, "3+")
    assert "#2 roll 30 attacks, hit 3+, S9" in other.content
    assert "by Bea" in other.content


async def test_after_a_wrong_answer_the_question_is_open_until_a_right_one(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    ten = await said(loopback, ada, TEN)
    await said(loopback, ada, "charge 9")
    wrong = await answered(loopback, ada, ten, "banana")
    assert wrong.private
    assert "banana" in wrong.content
    rolled = await answered(loopback, ada, wrong, "4+")
    assert not rolled.private
    assert "#1 roll 10 attacks, hit 4+, S5" in rolled.content
    for late in (await answered(loopback, bea, ten, "3+"), await answered(loopback, ada, ten, "4+")):
        assert late.private
        assert "settled already: #1" in late.content
    assert recorded(playing, loopback) == 1


async def test_after_a_wrong_answer_in_a_form_the_right_one_can_be_typed(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    ten = await said(loopback, ada, TEN)
    await said(loopback, ada, THIRTY)
    await answered(loopback, ada, ten, "banana")
    assert "#1 roll 10 attacks, hit 4+, S5" in (await said(loopback, ada, "4+")).content
    assert "settled already: #1" in (await answered(loopback, ada, ten, "3+")).content


async def test_the_first_choice_decides_and_the_others_are_told_so_in_private(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    asked = await said(loopback, ada, UNCLEAR)
    first = await loopback.answer_to(await loopback.press(ada, asked, "2."))
    assert not first.private
    for who, label in ((bea, "1."), (bea, "2."), (ada, "1.")):
        late = await loopback.answer_to(await loopback.press(who, asked, label))
        assert late.private
        assert "settled already: #1" in late.content
    assert recorded(playing, loopback) == 1
    await said(loopback, ada, "1")
    assert recorded(playing, loopback) == 1


async def test_a_choice_that_was_typed_is_settled_for_its_buttons(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    asked = await said(loopback, ada, UNCLEAR)
    assert "#1 roll" in (await said(loopback, ada, "1")).content
    late = await loopback.answer_to(await loopback.press(bea, asked, "2."))
    assert late.private
    assert "settled already: #1" in late.content
    assert recorded(playing, loopback) == 1


@pytest.mark.parametrize(("text", "labels"), [(ODDS, ["roll it"]), (UNCLEAR, ["1.", "2."])])
async def test_presses_at_the_same_instant_roll_and_post_once(
    playing: Playing, loopback: Loopback, text: str, labels: list[str]
) -> None:
    asked = await said(loopback, Person("Host"), text)
    people = [Person(f"Player {number}") for number in range(4)]
    pressed = [loopback.press(who, asked, labels[at % len(labels)]) for at, who in enumerate(people)]
    answers = [await loopback.answer_to(press) for press in await asyncio.gather(*pressed)]
    assert sorted(answer.private for answer in answers) == [False, True, True, True]
    assert recorded(playing, loopback) == 1


async def test_what_can_be_done_again_sensibly_keeps_its_button(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    await said(loopback, ada, TABLE)
    phase = await said(loopback, ada, "next phase")
    for _ in range(2):
        assert [button["label"] for button in phase.buttons] == ["what now", "next phase", "undo"]
        phase = await loopback.answer_to(await loopback.press(ada, phase, "next phase"))
    assert "#4" in phase.content


async def test_every_handful_of_a_lesson_can_be_rolled_by_its_own_button_and_by_no_other(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    first = await said(loopback, ada, LESSON)
    second = await loopback.answer_to(await loopback.press(ada, first, "roll"))
    assert [button["label"] for button in second.buttons] == ["roll", "finish", "stop", "my own dice"]
    assert "settled already: #2" in (await loopback.answer_to(await loopback.press(ada, first, "roll"))).content
    assert "attack #1 is Ada's" in (await loopback.answer_to(await loopback.press(bea, second, "roll"))).content
    await said(loopback, ada, "charge 9")
    await said(loopback, ada, "roll")
    late = await answered(loopback, ada, second, "6 6", "my own dice")
    assert late.private
    assert "thrown already" in late.content
    await said(loopback, ada, "stop")
    assert "attack #1 is over" in (await loopback.answer_to(await loopback.press(bea, second, "roll"))).content


async def test_a_button_pressed_by_who_may_only_ask_is_left_to_those_who_may(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    for who, text in ((ada, TABLE), (ada, "sit with Saltmarsh Wardens"), (bea, "sit with Kiln Guard")):
        await said(loopback, who, text)
    phase = await said(loopback, ada, "next phase")
    asked = await loopback.answer_to(await loopback.press(bea, phase, "undo"))
    assert not asked.private
    assert "#5 asked of" in asked.content
    undone = await loopback.answer_to(await loopback.press(ada, phase, "undo"))
    assert not undone.private
    assert "#6 undone: #4" in undone.content


async def test_a_command_or_a_look_at_something_completes_no_question_and_leaves_it_open(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    asked = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "charge", roll=True))
    for options in ({"number": 9}, {"measured": 7.0}):
        answer = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "charge", **options))
        assert answer.private
        assert answer.content.startswith("**charge")
    await loopback.answer_to(await loopback.press(ada, await said(loopback, ada, "what is AP"), "what is"))
    assert recorded(playing, loopback) == 0
    assert "#1 roll charge" in (await said(loopback, ada, "9")).content
    assert "settled already: #1" in (await answered(loopback, ada, asked, "9")).content


@pytest.mark.parametrize("words", ["9 9 9", "abc", " "])
async def test_a_form_filled_in_in_vain_is_offered_again_with_its_question(
    playing: Playing, loopback: Loopback, ada: Person, words: str
) -> None:
    vain = await answered(loopback, ada, await said(loopback, ada, ODDS), words, "own dice")
    assert vain.private
    for faces in ("6 6 6", "abc", "6 6 6"):
        vain = await answered(loopback, ada, vain, faces, vain.buttons[0]["label"])
    form = await loopback.press(ada, vain, "answer")
    await loopback.until(lambda: form.kind == FORM)
    assert form.form is not None
    assert "more dice to throw" in str(form.form["components"])
