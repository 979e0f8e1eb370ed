"""Events that say less than the library expects, and answers that say nothing: the umpire stays and plays on."""

from __future__ import annotations

from typing import Any

import pytest

from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.world import ABSENT, Person

ATTACK = "10 shots, hit 4+, S5 AP-1 into T4, save 3+"
UNREADABLE = {"id": "1", "content": "half a message"}


async def nothing_more(loopback: Loopback, ada: Person, count: int) -> None:
    """So many messages were sent, and the next one is what is asked for now."""
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    assert (await loopback.answer(count + 1)).content.startswith("**charge 9**")


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("MESSAGE_CREATE", UNREADABLE),
        ("MESSAGE_UPDATE", UNREADABLE),
        ("INTERACTION_CREATE", {"id": "1", "type": 2}),
        ("GUILD_ROLE_UPDATE", {"guild_id": "none"}),
        ("SOMETHING_NEW", {}),
    ],
)
async def test_an_event_that_cannot_be_read_is_passed_over(
    playing: Playing, loopback: Loopback, ada: Person, name: str, data: dict[str, Any]
) -> None:
    await loopback.gateway.dispatch(name, data, loopback.servers[0])
    await nothing_more(loopback, ada, 0)
    assert (loopback.gateway.identified, loopback.gateway.resumed) == (1, 0)


async def test_an_interaction_may_leave_out_all_that_is_optional(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    optional = ("channel", "guild", "context", "app_permissions", "attachment_size_limit", "entitlements")
    bare = dict.fromkeys((*optional, "authorizing_integration_owners", "locale"), ABSENT)
    command = loopback.command("roll", {"attack": ATTACK})
    waiting = await loopback.interact(ada, loopback.ferry, 2, command, **bare)
    assert "#1 roll 10 attacks" in (await loopback.answer_to(waiting)).content


# What an interaction tells of a channel, as the page "Receiving and Responding" names the fields of a partial one.
PARTIAL = ("id", "type", "name", "parent_id", "thread_metadata")


@pytest.mark.parametrize("kind", ["thread", "text channel"])
@pytest.mark.parametrize("told", [PARTIAL, ("id", "type"), None], ids=["partial", "id and type", "nothing"])
async def test_an_interaction_from_a_channel_that_is_not_known_is_answered_and_recorded_there(
    playing: Playing, loopback: Loopback, ada: Person, kind: str, told: tuple[str, ...] | None
) -> None:
    server = loopback.servers[0]
    place = loopback.thread("game") if kind == "thread" else loopback.open(server, "new")  # of which no event told
    whole = place.payload(loopback.me)
    channel = ABSENT if told is None else {key: whole[key] for key in told if key in whole}
    command = loopback.command("odds", {"attack": ATTACK})
    odds = await loopback.answer_to(await loopback.interact(ada, place, 2, command, channel=channel))
    data = {"custom_id": odds.button("roll it")["custom_id"], "component_type": 2}
    pressed = await loopback.interact(ada, place, 3, data, channel=channel, message=loopback.rest.message(odds))
    assert "#1 roll 10 attacks" in (await loopback.answer_to(pressed)).content
    assert [entry.id for entry in playing.app.house.ledger.entries(f"discord:{place.id}")] == [1]


async def test_an_acknowledgement_without_a_body_is_one(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    loopback.rest.describes = False
    odds = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "odds", attack=ATTACK))
    form = await loopback.press(ada, odds, "own dice")
    await loopback.until(lambda: form.form)
    filled = await loopback.answer_to(await loopback.fill_in(ada, form, "1 1 1 1 1 1 1 1 1 1"))
    assert "#1 roll 10 attacks" in filled.content
    await nothing_more(loopback, ada, 2)


async def test_a_command_of_another_version_is_answered_kindly(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    gone = {"id": "7", "name": "gone", "type": 1, "options": []}
    changed = loopback.command("show", {"number": 1})
    changed["options"] = []
    for command in (gone, changed):
        sent = await loopback.answer_to(await loopback.interact(ada, loopback.ferry, 2, command))
        assert sent.private
        assert "That command has changed" in sent.content
