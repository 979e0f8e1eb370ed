"""What the service delivers again gets the answer it got before: never a second roll, never silence."""

from __future__ import annotations

import pytest

from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.faults import status, times
from tests.discord.loopback.rest import DEFERRED
from tests.discord.loopback.world import Person
from tests.discord.test_buttons import ODDS, TABLE, said
from tests.discord.test_faults import ATTACK, ROLL, rolls


@pytest.mark.parametrize("text", [ROLL, ODDS, "next phase"])
async def test_a_message_gets_the_same_answer_which_the_service_drops_if_it_has_it(
    playing: Playing, loopback: Loopback, ada: Person, text: str
) -> None:
    await said(loopback, ada, TABLE)
    message = await loopback.say(ada, loopback.ferry, loopback.mention(text))
    first = await loopback.answer(2)
    await loopback.deliver(message, loopback.ferry)
    await said(loopback, ada, "charge 9")
    assert len(loopback.rest.sent) == 3
    before = len(rolls(playing, loopback))
    loopback.rest.sent.clear()  # the service has nothing of it
    await loopback.deliver(message, loopback.ferry)
    again = await loopback.answer()
    assert (again.content, again.data["nonce"]) == (first.content, first.data["nonce"])
    assert len(rolls(playing, loopback)) == before


async def test_a_message_delivered_again_is_not_what_was_said_last(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    message = await loopback.say(ada, loopback.ferry, loopback.mention(ODDS))
    await loopback.answer()
    await said(loopback, ada, "30 shots, hit 2+, S8 into T3, save 5+")
    await loopback.deliver(message, loopback.ferry)
    assert "#1 roll 30 attacks" in (await said(loopback, ada, "roll it")).content


async def test_a_command_gets_its_answer_again_if_the_service_has_none(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    asked = await loopback.slash(ada, loopback.ferry, "roll", **ATTACK)
    first = (await loopback.answer_to(asked)).content
    await loopback.redeliver(asked, ada, 2, loopback.command("roll", ATTACK))
    await said(loopback, ada, "charge 9")
    assert len(loopback.rest.sent) == 2
    loopback.rest.sent.clear()
    asked.answered = None
    await loopback.redeliver(asked, ada, 2, loopback.command("roll", ATTACK))
    again = await loopback.answer_to(asked)
    assert (again.content, again.private) == (first, False)
    assert len(rolls(playing, loopback)) == 1


async def test_a_press_that_nobody_saw_answered_is_shown_to_all_when_it_comes_again(
    unstarted: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    await unstarted.start()
    reckoned = await said(loopback, ada, ODDS)
    for path in ("/callback", "/messages"):
        loopback.rest.faults.append(times(9, path, status(404)))
    pressed = await loopback.press(ada, reckoned, "roll it")
    await loopback.until(lambda: loopback.rest.calls[-1].endswith("/messages") and len(loopback.rest.calls) > 2)
    await unstarted.stop()
    loopback.rest.faults.clear()
    await unstarted.start()
    data = {"custom_id": reckoned.button("roll it")["custom_id"], "component_type": 2}
    await loopback.redeliver(pressed, ada, 3, data, message=loopback.rest.message(reckoned))
    shown = await loopback.answer_to(pressed)
    assert not shown.private
    assert "#1 roll" in shown.content
    assert "by Ada" in shown.content
    late = await loopback.answer_to(await loopback.press(bea, reckoned, "roll it"))
    assert late.private
    assert "pressed already" in late.content
    assert len(rolls(unstarted, loopback)) == 1


async def test_a_command_deferred_before_a_restart_gets_its_answer_after_it(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    asked = await loopback.slash(ada, loopback.ferry, "roll", **ATTACK)
    first = (await loopback.answer_to(asked)).content
    playing.umpire.seen.unanswered(int(asked.id))  # type: ignore[union-attr]  # as if another process had answered
    loopback.rest.sent.clear()
    asked.original, asked.kind = None, DEFERRED
    await loopback.redeliver(asked, ada, 2, loopback.command("roll", ATTACK))
    assert (await loopback.answer_to(asked)).content == first
    assert len(rolls(playing, loopback)) == 1
