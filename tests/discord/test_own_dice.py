"""Own dice by buttons, at a table: offered once both sides have agreed that they count, and not before."""

from __future__ import annotations

from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.rest import FORM
from tests.discord.loopback.world import Person
from tests.discord.test_buttons import TABLE, said

SHOOT = "Reed Runners shoot Ember Crew at 14"


async def labels(loopback: Loopback, who: Person, words: str) -> list[str]:
    return [button["label"] for button in (await said(loopback, who, words)).buttons]


async def test_own_dice_are_offered_only_where_they_count(playing: Playing, loopback: Loopback, ada: Person) -> None:
    for words in (TABLE, "go to the shooting phase"):
        await said(loopback, ada, words)
    assert "own dice" not in await labels(loopback, ada, f"odds {SHOOT}")
    assert "my own dice" not in await labels(loopback, ada, f"step by step {SHOOT}")
    for words in ("stop", "own dice yes"):
        await said(loopback, ada, words)
    assert "my own dice" in await labels(loopback, ada, f"step by step {SHOOT}")
    await said(loopback, ada, "stop")
    assert await labels(loopback, ada, f"odds {SHOOT}") == [SHOOT, "own dice", "what now"]


async def test_the_action_of_a_unit_takes_own_dice_by_a_form(playing: Playing, loopback: Loopback, ada: Person) -> None:
    for words in (TABLE, "go to the shooting phase", "own dice yes"):
        await said(loopback, ada, words)
    odds = await said(loopback, ada, f"odds {SHOOT}")
    form = await loopback.press(ada, odds, "own dice")
    await loopback.until(lambda: form.kind == FORM)
    rolled = await loopback.answer_to(await loopback.fill_in(ada, form, "1111111111"))
    assert not rolled.private
    assert f"{SHOOT} with dice 1 1 1 1 1 1 1 1 1 1" in rolled.content
