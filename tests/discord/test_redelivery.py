"""What the service delivers again: a message gets the answer it got before, an interaction that has its answer none.

There is never a second roll.
"""

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
    loopback.rest.sent.clear()  # the service has nothing of it; what it sends of its history may be answered again too
    await loopback.deliver(message, loopback.ferry)
    await loopback.until(lambda: first.data["nonce"] in [sent.data["nonce"] for sent in loopback.rest.sent])
    assert first.content in [sent.content for sent in loopback.rest.sent]
    assert len(rolls(playing, loopback)) == before


async def test_a_message_delivered_again_is_not_what_was_said_last(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    message = await loopback.say(ada, loopback.ferry, loopback.mention(ODDS))
    await loopback.answer()
    await said(loopback, ada, "30 shots, hit 2+, S8 into T3, save 5+")
    await loopback.deliver(message, loopback.ferry)
    assert "#1 roll 30 attacks" in (await said(loopback, ada, "roll it")).content


def callbacks(loopback: Loopback) -> int:
    return sum(call.endswith("/callback") for call in loopback.rest.calls)


@pytest.mark.parametrize("kind", ["command", "words on listening", "completion", "button", "old button", "form"])
async def test_an_interaction_that_was_acknowledged_is_let_be_when_it_comes_again(
    playing: Playing, loopback: Loopback, ada: Person, kind: str
) -> None:
    reckoned = await said(loopback, ada, ODDS)
    more = {"message": loopback.rest.message(reckoned)}
    presses = {
        "command": (2, loopback.command("roll", ATTACK), {}),
        "words on listening": (2, loopback.command("listen", {"on": True}), {}),
        "completion": (4, loopback.command("what-is", {"term": "ar"}, focused="term"), {}),
        "button": (3, {"custom_id": reckoned.button("roll it")["custom_id"], "component_type": 2}, more),
        "old button": (3, {"custom_id": "say+:0123456789", "component_type": 2}, more),
        "form": (3, {"custom_id": reckoned.button("own dice")["custom_id"], "component_type": 2}, more),
    }
    type_, data, beside = presses[kind]
    asked = await loopback.interact(ada, loopback.ferry, type_, data, **beside)
    await loopback.until(lambda: asked.answered)
    sent, rolled = len(loopback.rest.sent), len(rolls(playing, loopback))
    for _ in range(2):
        await loopback.redeliver(asked, ada, type_, data, **beside)
    await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "charge", number=9))
    assert callbacks(loopback) == 2
    assert len(loopback.rest.sent) == sent + 1
    assert len(rolls(playing, loopback)) == rolled


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
