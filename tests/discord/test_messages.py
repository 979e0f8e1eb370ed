"""Messages: what is addressed to the umpire is answered once and compactly; table talk is left alone."""

from __future__ import annotations

from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.world import Person

ROLL = "roll 10 shots hitting on 4s, S5 AP-1, into T4 3+ save, 2 wounds each"


async def test_a_mention_is_answered_with_the_roll(playing: Playing, loopback: Loopback, ada: Person) -> None:
    message = await loopback.say(ada, loopback.ferry, loopback.mention(ROLL))
    sent = await loopback.answer()
    assert sent.channel == loopback.ferry.id
    assert "#1 roll 10 attacks, hit 4+, S5, AP-1" in sent.content
    assert "hit 4+: " in sent.content
    assert sent.data["message_reference"]["message_id"] == int(message["id"])
