"""Every name in the glossary leads to the entry that bears it, in capitals or not, with an article or without."""

from __future__ import annotations

import pytest
from shelf import ENTRIES, every_entry

from bot.lookup import Lookup, names_of
from bot.terms import Entry

LOOKUP = Lookup(ENTRIES.values())
# Two entries bear these names: the die, and the die as damage.
SHARED = {"D3", "d3", "D6", "d6"}


@every_entry
def test_a_name_finds_its_entry_and_no_other(entry: Entry) -> None:
    for name in names_of(entry):
        expected = {"d3", "damage-die"} if name in {"D3", "d3"} else {"d6", "damage-die"}
        expected = expected if name in SHARED else {entry.id}
        assert {found.id for found in LOOKUP.find(name).exact} == expected, name


@every_entry
def test_a_name_in_capitals_finds_its_entry(entry: Entry) -> None:
    assert entry in LOOKUP.find(entry.title.upper()).exact


@every_entry
def test_a_title_with_an_article_finds_its_entry(entry: Entry) -> None:
    assert entry in LOOKUP.find(f"the {entry.title.lower()}").exact


@pytest.mark.parametrize(
    ("asked", "id"),
    [
        ("half ranges", "half-range"),
        ("cocked dice", "cocked-die"),
        ("wiping units", "wipe"),
        ("range half", "half-range"),
        ("phases order", "phase-order"),
        ("armor penetration", "armour-penetration"),
        ("armour piercing", "armour-penetration"),
        ("rerolls", "re-roll"),
        ("take-backs", "take-back"),
        ("Victory Points", "score"),
        ("overkill", "lost-damage"),
        ("standard deviation", "spread"),
    ],
)
def test_plurals_and_word_order_do_not_matter(asked: str, id: str) -> None:
    assert [entry.id for entry in LOOKUP.find(asked).exact] == [id]


@pytest.mark.parametrize(
    ("asked", "title"),
    [
        ("coherancy", "Coherency"),
        ("toughnes", "Toughness"),
        ("half rnage", "Half range"),
        ("armour penatration", "Armour penetration"),
        ("commitmnet", "Commitment"),
        ("percentle", "Percentile"),
    ],
)
def test_a_misspelt_name_is_offered_and_never_answered(asked: str, title: str) -> None:
    found = LOOKUP.find(asked)
    assert found.exact == ()
    assert title in found.near
