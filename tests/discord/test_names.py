"""Names: readable, never changing, and never anybody else's."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.discord_names import LONGEST, NOBODY, PEOPLE, Names, alike, free, tidy
from bot.ledger import Ledger
from tests.conversation import Clock, secret


@pytest.fixture
def ledger(tmp_path: Path) -> Iterator[Ledger]:
    with Ledger(str(tmp_path / "ledger.db"), Clock(), secret) as opened:
        yield opened


def test_two_people_of_one_name_are_two(ledger: Ledger) -> None:
    names = Names(ledger.memory)
    assert names.name("here", 1, "Ada") == "Ada"
    assert names.name("here", 2, "Ada") == "Ada 2"
    assert names.name("here", 3, "ada") == "ada 3"


def test_nobody_gets_a_number_that_somebody_is_called_by(ledger: Ledger) -> None:
    names = Names(ledger.memory)
    given_ = [names.name("here", account, name) for account, name in enumerate(("Ada 2", "Ada", "Ada"))]
    assert given_ == ["Ada 2", "Ada", "Ada 3"]


@pytest.mark.parametrize("other", ["Ａｄａ", "ADA", " Ada ", "Ada\u200b", "A\nda", "Αdα", "АDА"])  # Greek, Cyrillic
def test_a_name_that_looks_the_same_is_not_the_same_person(ledger: Ledger, other: str) -> None:
    names = Names(ledger.memory)
    first = names.name("here", 1, "A da" if "\n" in other else "Ada")
    assert not alike(names.name("here", 2, other)) & alike(first)


def test_a_name_of_other_letters_is_itself_and_known_in_its_own_capitals(ledger: Ledger) -> None:
    names = Names(ledger.memory)
    given_ = [names.name("here", account, name) for account, name in enumerate(("Нина", "НИНА", "Νίκη", "Vikn"))]
    assert given_ == ["Нина", "НИНА 2", "Νίκη", "Vikn"]


def test_a_name_stays_over_renaming_and_restart(ledger: Ledger) -> None:
    assert Names(ledger.memory).name("here", 1, "Ada") == "Ada"
    again = Names(ledger.memory)
    assert again.known("here", 1) is None
    assert again.name("here", 1, "Countess") == "Ada"
    assert again.known("here", 1) == "Ada"


def test_every_channel_has_its_own_people(ledger: Ledger) -> None:
    names = Names(ledger.memory)
    names.name("here", 1, "Ada")
    assert names.name("there", 2, "Ada") == "Ada"


def test_those_mentioned_are_spelled_by_name_and_a_stranger_as_nobody_who_could_be_meant(ledger: Ledger) -> None:
    names = Names(ledger.memory)
    names.name("here", 1, "Ada")
    assert names.spelled("here", "seat <@1> and <@!2> now") == "seat Ada and @somebody now"


def test_somebody_forgotten_is_given_a_name_anew(ledger: Ledger) -> None:
    names = Names(ledger.memory)
    names.name("here", 1, "Ada")
    names.forget("here", 1)
    assert ledger.memory.recall("here", PEOPLE) == {}
    assert names.name("here", 1, "Countess") == "Countess"


@given(st.text(max_size=100))
def test_a_name_is_one_short_printable_line(display: str) -> None:
    name = tidy(display)
    assert 1 <= len(name) <= LONGEST
    assert name.isprintable()
    assert name != PEOPLE


def test_a_name_of_nothing_is_somebody() -> None:
    assert tidy(" \u200b\n") == NOBODY


@given(st.lists(st.sampled_from(["Ada", "ada", "Ada 2", "Bea"]), max_size=12))
def test_however_many_come_no_two_are_alike(displays: list[str]) -> None:
    taken: frozenset[str] = frozenset()
    for display in displays:
        name = alike(free(display, taken))
        assert not name & taken
        taken |= name
