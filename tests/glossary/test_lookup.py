"""Whole messages that ask for a word: names answer, slips are offered, two meanings are asked about."""

from __future__ import annotations

import pytest
from asking import machine

from bot.app import App
from bot.asked import Asked


@pytest.mark.parametrize(
    ("message", "id"),
    [
        ("what is AP", "armour-penetration"),
        ("what's AP?", "armour-penetration"),
        ("whats ap", "armour-penetration"),
        ("wat is AP", "armour-penetration"),
        ("what does AP mean?", "armour-penetration"),
        ("what does AP stand for", "armour-penetration"),
        ("explain AP", "armour-penetration"),
        ("explain AP to me please", "armour-penetration"),
        ("can you explain what AP is?", "armour-penetration"),
        ("define AP", "armour-penetration"),
        ("meaning of AP", "armour-penetration"),
        ("tell me about AP", "armour-penetration"),
        ("AP?", "armour-penetration"),
        ("what is meant by armour penetration", "armour-penetration"),
        ("what is the range half?", "half-range"),
        ("what are cocked dice", "cocked-die"),
        ('what is "coherency"', "coherency"),
        ("Coherency?", "coherency"),
        ("what is the order of the phases", "phase-order"),
        ("coherency", "coherency"),
        ("LOS", "line-of-sight"),
        ("the fixed save", "fixed-save"),
        ("A.P.", "armour-penetration"),
        ("A on a stat line", "attacks-statistic"),
        ("cut, what is it", "cut"),
        ("cut what is it", "cut"),
        ("cut the page, whats that about", "cut"),
        ("house rule what is it", "house-rule"),
        ("house rule meaning please", "house-rule"),
        ("undo, what does it do?", "undo"),
    ],
)
def test_a_word_is_asked_for_in_many_ways(adviser: App, message: str, id: str) -> None:
    data = machine(adviser, message)
    assert data["kind"] == "entry"
    assert data["id"] == id


def test_an_entry_has_every_key_that_programs_rely_on(adviser: App) -> None:
    data = machine(adviser, "what is AP")
    assert data.keys() == {"kind", "id", "title", "text", "abbreviations", "see"}
    assert data["abbreviations"] == ["AP"]
    assert "save" in data["see"]


@pytest.mark.parametrize(
    ("message", "title"),
    [
        ("what is coherancy?", "Coherency"),
        ("explain armor penatration", "Armour penetration"),
        ("what is toughnes", "Toughness"),
        ("half rnage?", "Half range"),
        ("tuffness", "Toughness"),
        ("tufness", "Toughness"),
        ("covver", "Cover"),
        ("falback", "Falling back"),
        ("fight fase", "Fight phase"),
        ("armer penetration", "Armour penetration"),
        ("objectve marker", "Objective"),
    ],
)
def test_a_misspelt_word_is_offered_and_not_answered(adviser: App, message: str, title: str) -> None:
    data = machine(adviser, message)
    assert data["kind"] == "choice"
    assert machine(adviser, data["choices"][0])["title"] == title


@pytest.mark.parametrize("message", ["end turn?", "next phase?", "close table?", "reveal?", "roll off?", "undo?"])
def test_an_act_with_a_question_mark_is_asked_about_and_not_done(adviser: App, message: str) -> None:
    data = machine(adviser, message)
    assert data["kind"] == "choice"
    assert data["choices"][0] == message.rstrip("?")


def test_no_word_that_asks_is_called_anything_else(adviser: App) -> None:
    assert machine(adviser, 'call "what" cover')["kind"] == "misread"


def test_a_word_that_is_nothing_here_has_no_neighbours_made_up(adviser: App) -> None:
    assert machine(adviser, "what is xyzzy")["near"] == []


def test_a_name_of_two_things_is_asked_about_and_each_choice_leads_on(adviser: App) -> None:
    data = machine(adviser, "what is D6?")
    assert data["kind"] == "choice"
    found = {machine(adviser, choice)["id"] for choice in data["choices"]}
    assert found == {"d6", "damage-die"}


def test_what_an_entry_offers_is_answered(adviser: App) -> None:
    for message in ("what is AP", "what is charge", "what is half range"):
        for offer in adviser.answer(Asked(message, "Ann", "ferry")).offers:
            assert machine(adviser, offer)["kind"] not in ("misread", "unknown", "choice"), offer


@pytest.mark.parametrize(
    "message", ["what are the odds of 10 attacks hit 4+ S5 into T4 save 3+", "what does S5 need against T4"]
)
def test_what_is_to_be_reckoned_is_no_look_up(adviser: App, message: str) -> None:
    assert machine(adviser, message)["kind"] in ("odds", "needs")


def test_a_question_of_two_misspelt_words_is_no_ruling(adviser: App) -> None:
    assert machine(adviser, "what is chagre disttance")["kind"] == "choice"


@pytest.mark.parametrize("message", ["wobble there", "ten shots hiting", "lads we should be ok"])
def test_words_that_are_no_name_stay_a_complaint(adviser: App, message: str) -> None:
    assert machine(adviser, message)["kind"] == "misread"


def test_a_verb_alone_asks_for_what_it_lacks(adviser: App) -> None:
    assert machine(adviser, "charge")["missing"] == "distance"


@pytest.mark.parametrize(
    ("message", "answer"),
    [
        ("can my Reed Runners charge after shooting", "yes"),
        ("may the Wardens shoot if they advanced", "no"),
        ("do piercing wounds go first", "no"),
        ("can you save against a wound that pierces", "no"),
        ("can modifiers to hit exceed +1?", "no"),
    ],
)
def test_with_a_game_open_the_rules_can_still_be_asked(adviser: App, message: str, answer: str) -> None:
    machine(adviser, "open table Wardens against Kiln Guard", where="causeway")
    data = machine(adviser, message, where="causeway")
    assert (data["kind"], data["answer"]) == ("ruling", answer)
