"""Every worked example of the glossary is asked of the umpire anew, so that none can be wrong."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any

import pytest
from finding import agrees, numbers_in, value_at
from prose import prose
from shelf import ENTRIES

from bot.app import App
from bot.asked import Asked
from bot.content import load_rulesets
from bot.glossary import load_glossary
from bot.house import House
from bot.ledger import Storage
from bot.terms import Entry, Example

WITH_EXAMPLE = {id: entry for id, entry in ENTRIES.items() if entry.example is not None}

Ask = Callable[[str], dict[str, Any]]


@pytest.fixture(scope="module")
def ask(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ask]:
    """A question to the umpire, answered in its machine form."""
    url = f"sqlite:///{tmp_path_factory.mktemp('examples') / 'ledger.db'}"
    with Storage(url, clock=lambda: datetime(2026, 1, 1, tzinfo=UTC), entropy=bytes) as storage:
        app = App(House(load_rulesets(), load_glossary(), storage))
        yield lambda text: app.answer(Asked(text, "Reader", "glossary")).machine


def example_of(entry: Entry) -> Example:
    assert entry.example is not None
    return entry.example


def every_example(test: Callable[..., None]) -> Callable[..., None]:
    return pytest.mark.parametrize("entry", WITH_EXAMPLE.values(), ids=WITH_EXAMPLE)(test)


def test_at_least_45_entries_carry_an_example() -> None:
    assert len(WITH_EXAMPLE) >= 45


@every_example
def test_the_answer_holds_what_the_example_finds(entry: Entry, ask: Ask) -> None:
    example = example_of(entry)
    machine = ask(example.ask)
    assert "message" not in machine, machine
    for path, written in example.finds.items():
        value = value_at(machine, path)
        assert agrees(value, written), f"{path} is {value}, not {written}"


@every_example
def test_every_number_of_the_text_is_asked_or_found(entry: Entry, ask: Ask) -> None:
    example = example_of(entry)
    machine = ask(example.ask)
    told = [value_at(machine, path) for path in example.finds]
    given = set(numbers_in(example.ask)) | set(re.findall(r"\d+", " ".join(example.finds)))
    loose = [
        number
        for number in numbers_in(prose(entry))
        if number not in given and not any(agrees(value, number) for value in told)
    ]
    assert loose == []


@every_example
def test_the_text_tells_something_that_the_example_finds(entry: Entry, ask: Ask) -> None:
    example = example_of(entry)
    machine = ask(example.ask)
    told = [value_at(machine, path) for path in example.finds]
    numbers = numbers_in(prose(entry))
    assert any(agrees(value, number) for value in told for number in numbers)


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("10 dice on 4+", ["10", "4"]),
        ("one time in 6", ["1/6"]),
        ("two hits in three, 10 times in 36, 9 of 12", ["2/3", "10/36", "9/12"]),
        ("28% of 2.5 wounds, or 5/3", ["28%", "2.5", "5/3"]),
        ("A natural 1 on a D6 is one die; re-roll 1s", []),
        ("AP-1 and S5 into T4", ["1", "5", "4"]),
    ],
)
def test_numbers_are_found_in_a_text(text: str, numbers: list[str]) -> None:
    assert numbers_in(text) == numbers


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ("5/18", "10/36"),
        (1.6666666666666667, "5/3"),
        ("4+", "4+"),
        (0.2777, "28%"),
        (2.4349, "2.43"),
        (5.0, "5"),
    ],
)
def test_a_value_agrees_with_what_is_written(value: Any, written: str) -> None:
    assert agrees(value, written)


@pytest.mark.parametrize(
    ("value", "written"),
    [("5/18", "11/36"), (1.66, "5/3"), ("4+", "5+"), (0.2777, "27%"), (2.5, "2"), (4.9, "5")],
)
def test_a_value_disagrees_with_what_is_not_so(value: Any, written: str) -> None:
    assert not agrees(value, written)


def test_a_path_may_add_up_one_end_of_a_distribution() -> None:
    machine = {"slain": [0.5, 0.25, 0.25], "totals": {"2": "1/36", "3": "2/36", "4": "3/36"}}
    assert value_at(machine, "slain.1+") == 0.5
    assert value_at(machine, "slain.1-") == 0.75
    assert agrees(value_at(machine, "totals.3+"), "5/36")
    assert agrees(value_at(machine, "totals.3-"), "3/36")
