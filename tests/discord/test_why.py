"""Why, in a chat: of the attack that everybody saw last; what one person saw apart is told to that person alone."""

from __future__ import annotations

from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.world import Person
from tests.discord.test_buttons import said

TEN = "10 shots, hit 4+, S5 into T4, save 3+"
THREE = "3 shots, hit 2+, S9 into T4, save 3+"


async def why(loopback: Loopback, who: Person) -> str:
    """The first line of the answer to the slash command without a number."""
    return (await loopback.answer_to(await loopback.slash(who, loopback.ferry, "why"))).content.partition("\n")[0]


async def test_whoever_asks_is_told_of_the_attack_that_all_saw(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    await said(loopback, ada, f"roll {TEN}")
    for who in (bea, ada, Person("Sam")):
        assert "why: #1 roll 10 attacks" in await why(loopback, who)
    await said(loopback, ada, f"odds {THREE}")
    assert "why: odds 3 attacks" in await why(loopback, bea)
    assert "why: odds 3 attacks" in (await said(loopback, bea, "why")).content


async def test_odds_shown_to_one_person_alone_are_not_told_to_others(
    playing: Playing, loopback: Loopback, ada: Person, bea: Person
) -> None:
    await said(loopback, ada, f"roll {TEN}")
    apart = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "odds", attack=THREE))
    assert apart.private
    assert "why: odds 3 attacks" in await why(loopback, ada)
    assert "why: #1 roll 10 attacks" in await why(loopback, bea)
    rolled = await loopback.answer_to(await loopback.press(ada, apart, "roll it"))
    assert not rolled.private
    assert "why: #2 roll 3 attacks" in await why(loopback, bea)
