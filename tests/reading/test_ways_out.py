"""The way out of a message that cannot be read is a message of its kind, and works."""

from __future__ import annotations

import pytest

from bot.misread import Misread
from bot.reading import read
from bot.reading.card import EXAMPLE
from bot.reading.context import Context
from bot.reading.ways_out import ANOTHER_WAY, WAYS
from tests.discord.conftest import shelf

CONTEXT = Context(shelf()[0]["standard"], units=("Wardens", "Kiln Guard"))


@pytest.mark.parametrize("way", sorted(set(WAYS.values())))
def test_every_way_out_can_be_read(way: str) -> None:
    assert read(way, CONTEXT) is not None


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("show -3", "show #1"),
        ("log -1", "log 10"),
        ("needs foo", "needs wound S5 against T4"),
        ("load", "load Kiln Guard"),
        ("charge -4", "charge from 6.5"),
        ("reach from -1 with M6", "reach from 15 with M6"),
        ("Reds: nope", EXAMPLE),
        ("compare roll off or undo", WAYS["compare"]),
        ("roll: flurbs", ANOTHER_WAY),
        ("10 flurbs", ANOTHER_WAY),
        ("needs hitt 4+", "hit 4+"),
        ("1", "1 attack"),
        ("> roll 10 shots", "the same without the sign of a quotation"),
    ],
)
def test_the_way_out_is_of_the_kind_of_the_message(text: str, hint: str) -> None:
    with pytest.raises(Misread) as misread:
        read(text, Context(CONTEXT.ruleset))
    assert misread.value.hint == hint


def test_what_has_no_width_is_a_blank() -> None:
    assert read("charge\u200b 9\u2060", CONTEXT) == read("charge 9", CONTEXT)
    with pytest.raises(Misread, match="nothing to read"):
        read("\u202a", CONTEXT)
