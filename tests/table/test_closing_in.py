"""Whether a unit should close to half range: both sides of the choice, by the unit's name."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.reply import Reply
from tests.conversation import say, umpire

OPENED = "open table Saltmarsh Wardens against Kiln Guard"


def asked(folder: Path, *messages: str) -> Reply:
    with umpire(folder) as app:
        return [say(app, message) for message in (OPENED, *messages)][-1]


@pytest.mark.parametrize(
    "question",
    [
        "should the Wardens close to half range?",
        "should the Wardens get closer",
        "so, should the Wardens move up to half range?",
        "what if the Wardens move into half range",
    ],
)
def test_a_unit_at_a_known_distance_is_weighed_there_and_at_half_range(tmp_path: Path, question: str) -> None:
    reply = asked(tmp_path, "Wardens are 20 from the Kiln Guard", question)
    assert reply.machine["rolls"] == ["Wardens shoot Kiln Guard at 20", "Wardens shoot Kiln Guard at 15"]
    assert reply.kind == "compare"


def test_where_several_could_be_meant_or_none_is_measured_it_is_asked(tmp_path: Path) -> None:
    reply = asked(
        tmp_path,
        "Wardens are 20 from the Kiln Guard",
        "Wardens are 22 from the Ember Crew",
        "should the Wardens get closer?",
    )
    assert (reply.kind, reply.title) == ("choice", "whom do the Wardens shoot at?")


def test_who_is_within_half_range_already_is_told_so(tmp_path: Path) -> None:
    reply = asked(tmp_path, "Wardens are 10 from the Kiln Guard", "should the Wardens get closer?")
    assert reply.title == 'they are within half range already, at 10"'
