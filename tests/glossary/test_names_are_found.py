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


@pytest.mark.parametrize(
    "asked", ["toughnes", "crtical wounds", "line of sigth", "deploymnet zone", "armor penetraton"]
)
def test_a_slip_in_a_longer_word_is_a_misspelt_name(asked: str) -> None:
    assert LOOKUP.misspells(asked)


@pytest.mark.parametrize("said", ["toughness", "T", "nxt phase", "10 shots hiting on 4", "wardns shoot", "the", ""])
def test_a_name_well_spelt_or_another_message_is_none(said: str) -> None:
    assert not LOOKUP.misspells(said)


@pytest.mark.parametrize(
    ("asked", "id"),
    [("M on the card", "move-statistic"), ("T4", "toughness"), ("AP -1", "armour-penetration"),
     ("a 4+ fixed save", "fixed-save"), ("seal on the dice", "sealed-dice")],
)  # fmt: skip
def test_the_place_of_a_name_and_the_number_beside_it_may_be_left_out(asked: str, id: str) -> None:
    assert LOOKUP.find(asked).exact == ()
    assert [entry.id for entry in LOOKUP.loosely(asked)] == [id]
