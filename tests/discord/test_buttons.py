"""Buttons, choices and forms: each means exactly what it meant when shown, after any restart, and happens once."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest

from bot.channels.discord_offers import MOST_ID, Offer
from bot.channels.discord_views import view_of
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.kept import Sent
from tests.discord.loopback.refusing import check_components
from tests.discord.loopback.rest import FORM
from tests.discord.loopback.world import Channel, Person
from tests.references import discord_limits as limits

ODDS = "10 shots, hit 4+, S4 into T4, save 3+"
LONG = (
    "9 models with 1 attack each, hit 4+, S3 plus 1 model with 2 attacks, hit 4+, S3, AP-1"
    " into T4, save 3+, W2, 5 models"
)
TABLE = "open table Saltmarsh Wardens against Kiln Guard"


async def said(loopback: Loopback, who: Person, text: str, channel: Channel | None = None) -> Sent:
    """A mention, and the answer to it."""
    since = len(loopback.rest.sent)
    await loopback.say(who, channel or loopback.ferry, loopback.mention(text))
    return await loopback.answer(since=since)


@pytest.mark.parametrize("text", [ODDS, LONG])
async def test_roll_it_rolls_exactly_what_was_reckoned_whatever_was_said_since(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person, text: str
) -> None:
    reckoned = await said(loopback, ada, text)
    await said(loopback, ada, "20 shots, hit 2+, S8 into T3, save 5+")
    rolled = await loopback.answer_to(await loopback.press(bea, reckoned, "roll it"))
    assert not rolled.private
    line = reckoned.content.splitlines()[0].strip("*").removeprefix("odds ")
    assert rolled.content.splitlines()[0] == f"**#1 roll {line}**"


async def test_under_the_odds_of_a_level_it_is_the_attack_that_is_rolled(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    reckoned = await said(loopback, ada, f"{ODDS}: at least 2 slain")
    rolled = await loopback.answer_to(await loopback.press(ada, reckoned, "roll it"))
    assert rolled.content.startswith("**#1 roll 10 attacks, hit 4+, S4, damage 1 into T4, save 3+, W1**")


@pytest.mark.parametrize("text", [ODDS, LONG])
async def test_a_button_works_after_a_restart(
    unstarted: Playing, loopback: Loopback, ada: Person, text: str
) -> None:
    await unstarted.start()
    reckoned = await said(loopback, ada, text)
    await unstarted.stop()
    await unstarted.start()
    rolled = await loopback.answer_to(await loopback.press(ada, reckoned, "roll it"))
    assert "#1 roll" in rolled.content


async def test_every_button_keeps_its_limits(playing: Playing, loopback: Loopback, ada: Person) -> None:
    for text in (ODDS, LONG, TABLE, "what now", "charge 9", "what is AP"):
        for button in (await said(loopback, ada, text)).buttons:
            assert len(button["custom_id"]) <= MOST_ID == limits.CUSTOM_ID
            assert len(button["label"]) <= limits.BUTTON_LABEL


async def test_a_roll_button_pressed_twice_rolls_once_and_says_so(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    reckoned = await said(loopback, ada, ODDS)
    first = await loopback.answer_to(await loopback.press(ada, reckoned, "roll it"))
    second = await loopback.answer_to(await loopback.press(bea, reckoned, "roll it"))
    assert first.content.splitlines()[-1].endswith("by Ada")
    assert second.content.splitlines()[:5] == first.content.splitlines()[:5]
    assert second.private
    assert "pressed already" in second.content
    assert len(playing.app.house.ledger.entries(f"discord:{loopback.ferry.id}")) == 1


async def test_who_sat_down_by_a_button_is_named_once(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    opened = await said(loopback, ada, TABLE)
    offer = next(button["label"] for button in opened.buttons if button["label"].startswith("sit with"))
    sat = await loopback.answer_to(await loopback.press(bea, opened, offer))
    assert "Bea sits with" in sat.content
    assert "by Bea" not in sat.content


async def test_rolling_again_is_not_offered(playing: Playing, loopback: Loopback, ada: Person) -> None:
    rolled = await said(loopback, ada, f"roll {ODDS}")
    assert [button["label"] for button in rolled.buttons] == ["why"]


async def test_why_is_told_to_who_asks(playing: Playing, loopback: Loopback, ada: Person, bea: Person) -> None:
    rolled = await said(loopback, ada, f"roll {ODDS}")
    reasons = await loopback.answer_to(await loopback.press(bea, rolled, "why"))
    assert reasons.private
    assert "strength 4 against toughness 4" in reasons.content


async def test_the_night_runs_on_buttons(playing: Playing, loopback: Loopback, ada: Person) -> None:
    opened = await said(loopback, ada, TABLE)
    now = await loopback.answer_to(await loopback.press(ada, opened, "what now"))
    assert now.private
    assert "command phase" in now.content
    phase = await loopback.answer_to(await loopback.press(ada, now, "next phase"))
    assert not phase.private
    assert "#2" in phase.content
    assert "movement phase" in phase.content
    undone = await loopback.answer_to(await loopback.press(ada, phase, "undo"))
    assert "#3 undone: #2" in undone.content


async def test_next_phase_pressed_by_both_players_goes_on_by_one(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    await said(loopback, ada, TABLE)
    now = await said(loopback, ada, "what now")
    await loopback.answer_to(await loopback.press(ada, now, "next phase"))
    await loopback.answer_to(await loopback.press(bea, now, "next phase"))
    assert "movement phase" in (await said(loopback, ada, "where are we")).content


async def test_a_button_ends_only_the_phase_it_was_shown_in(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await said(loopback, ada, TABLE)
    first, second = [await said(loopback, ada, "what now") for _ in range(2)]
    await loopback.answer_to(await loopback.press(ada, first, "next phase"))
    late = await loopback.answer_to(await loopback.press(ada, second, "next phase"))
    assert late.private
    assert "it is not that phase now" in late.content
    assert "movement phase" in (await said(loopback, ada, "where are we")).content


async def test_both_players_can_sit_down_by_the_same_button(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    opened = await said(loopback, ada, TABLE)
    await loopback.answer_to(await loopback.press(ada, opened, "sit with Kiln Guard"))
    second = await loopback.answer_to(await loopback.press(bea, opened, "sit with Kiln Guard"))
    assert "Bea sits with the Kiln Guard" in second.content


async def test_a_lesson_takes_real_dice_by_a_form(playing: Playing, loopback: Loopback, ada: Person) -> None:
    lesson = await said(loopback, ada, "step by step 4 shots, hit 4+, S4 into T4, save 3+")
    form = await loopback.press(ada, lesson, "my own dice")
    await loopback.until(lambda: form.kind == FORM)
    assert form.form is not None
    assert "pick up 4 dice" in str(form.form["components"])
    step = await loopback.answer_to(await loopback.fill_in(ada, form, "6 4 2 1"))
    assert "6 4 2 1, 2 of 4" in step.content
    last = await loopback.answer_to(await loopback.press(ada, step, "finish"))
    assert not last.private
    assert "roll 4 attacks, hit 4+" in last.content


async def test_a_question_has_its_choices_as_buttons(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await said(loopback, ada, TABLE)
    warned = await said(loopback, ada, "Wardens shoot the Kiln Guard at 14")
    assert "1. Wardens shoot Kiln Guard at 14 anyway" in warned.content
    done = await loopback.answer_to(await loopback.press(ada, warned, "anyway"))
    assert not done.private
    assert "#2 Wardens shoot Kiln Guard at 14" in done.content


async def test_own_dice_go_in_by_a_form(playing: Playing, loopback: Loopback, ada: Person) -> None:
    reckoned = await said(loopback, ada, "2 shots, hit 4+, wound 3+, no save")
    form = await loopback.press(ada, reckoned, "own dice")
    await loopback.until(lambda: form.kind == FORM)
    rolled = await loopback.answer_to(await loopback.fill_in(ada, form, "6 2\n5"))
    assert not rolled.private
    assert "with dice 6 2 5" in rolled.content
    assert "6 | 2" in rolled.content


async def test_too_few_own_dice_are_told_of(playing: Playing, loopback: Loopback, ada: Person) -> None:
    reckoned = await said(loopback, ada, "2 shots, hit 4+, wound 3+, no save")
    form = await loopback.press(ada, reckoned, "own dice")
    await loopback.until(lambda: form.kind == FORM)
    answer = await loopback.answer_to(await loopback.fill_in(ada, form, "6"))
    assert answer.private
    assert not playing.app.house.ledger.entries(f"discord:{loopback.ferry.id}")


async def test_a_missing_number_is_answered_by_a_form_also_after_a_restart(
    unstarted: Playing, loopback: Loopback, ada: Person
) -> None:
    await unstarted.start()
    asked = await said(loopback, ada, "roll 10 shots hitting on 4s, into T4 3+ save")
    form = await loopback.press(ada, asked, "answer")
    await loopback.until(lambda: form.kind == FORM)
    assert form.form is not None
    await unstarted.stop()
    await unstarted.start()
    rolled = await loopback.answer_to(await loopback.fill_in(ada, form, "5"))
    assert "#1 roll 10 attacks, hit 4+, S5" in rolled.content


async def test_a_button_of_somebody_elses_making_is_declined_kindly(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    for id in ("say+:00000000000000000000000000000000", "something else"):
        data = {"custom_id": id, "component_type": 2}
        asked = await loopback.interact(ada, loopback.ferry, 3, data)
        answer = await loopback.answer_to(asked)
        assert answer.private
        assert "no longer know that button" in answer.content


async def test_a_button_kept_for_one_channel_means_nothing_in_another(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    reckoned = await said(loopback, ada, LONG)
    asked = await loopback.interact(
        ada, loopback.league, 3, {"custom_id": reckoned.button("roll it")["custom_id"], "component_type": 2}
    )
    assert "no longer know" in (await loopback.answer_to(asked)).content


async def test_what_is_picked_from_a_list_is_said(playing: Playing, loopback: Loopback, ada: Person) -> None:
    data = {"custom_id": "pick", "component_type": 3, "values": ["say:charge 9"]}
    answer = await loopback.answer_to(await loopback.interact(ada, loopback.ferry, 3, data))
    assert "28%" in answer.content


def test_more_choices_than_buttons_become_a_list() -> None:
    texts = [f"charge {number}" for number in range(2, 12)]
    offers = [(Offer(f"a choice: {text} {40 * text}", text), f"say:{text}") for text in texts]

    async def rows() -> list[dict[str, Any]]:
        view = view_of(offers)
        assert view is not None
        return view.to_components()

    made = asyncio.run(rows())
    check_components(made)
    assert [option["value"] for option in made[0]["components"][0]["options"]] == [id for _, id in offers]


async def test_a_press_delivered_twice_opens_one_form(playing: Playing, loopback: Loopback, ada: Person) -> None:
    reckoned = await said(loopback, ada, ODDS)
    form = await loopback.press(ada, reckoned, "own dice")
    data = {"custom_id": reckoned.button("own dice")["custom_id"], "component_type": 2}
    await loopback.redeliver(form, ada, 3, data, message=loopback.rest.message(reckoned))
    await loopback.until(lambda: form.kind == FORM)
    await said(loopback, ada, "charge 9")
    assert sum("/callback" in call for call in loopback.rest.calls) == 1
