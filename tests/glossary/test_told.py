"""Messages of several sentences: which one asks, what is told beside it, and of whom it speaks."""

from __future__ import annotations

from asking import cases, machine
from asking import told as as_told

from bot.app import App
from bot.content import load_rulesets
from bot.glossary import Glossary
from bot.questions.asked import question_of
from bot.questions.persons import another_unit, sides_differ
from bot.questions.question import FACT, MAY, PLAIN
from bot.questions.told import Told, points_back, told, told_apart

GLOSSARY = Glossary()
STANDARD = load_rulesets()["standard"]


def words_of(text: str):
    return question_of(text, GLOSSARY.lexicon, STANDARD).words


def test_the_last_sentence_that_asks_is_the_asking_one() -> None:
    assert told("we fell back. may we shoot") == Told("we fell back.", "may we shoot", "")
    assert told("what is a roll-off? we did one") == Told("", "what is a roll-off?", "we did one")
    assert told("i rolled 8, is it enough") == Told("i rolled 8", "is it enough", "")
    assert told("may i shoot? and may i charge?").asks == "and may i charge?"


def test_one_sentence_is_all_asking() -> None:
    for text in ("can i shoot after advancing", "the unit, which advanced, shoots", "from 12.5 inches vs. my save"):
        assert told(text) == Told("", text, "")


def test_a_sentence_that_says_nothing_is_left_out() -> None:
    assert told("sorry, silly question. what is ap") == Told("", "what is ap", "")
    assert told("what is ap? thanks") == Told("", "what is ap? thanks", "")


def test_a_question_that_points_back_asks_about_the_whole() -> None:
    assert points_back("is that allowed?")
    assert not points_back("is that cover?")
    whole = "my unit advanced and shot. is that allowed?"
    assert told_apart(whole) == Told("", whole, "")


def test_how_it_is_asked_hangs_on_the_asking_sentence() -> None:
    asked = {
        "i need 6s. does it hit?": PLAIN,
        "he must choose. may i measure": MAY,
        "who knows. may i measure": MAY,
        "i may shoot. who strikes first": FACT,
    }
    assert {text: question_of(text, GLOSSARY.lexicon, STANDARD).asked for text in asked} == asked


def test_two_sides_are_told_apart_by_the_persons_named() -> None:
    differ = {
        "he charged. do i strike first": True,
        "my man was killed. does he strike": False,
        "my man was killed. does his man strike": True,
        "i am in cover. does his save get better": True,
        "he is 9 inches away. is it enough": False,
    }
    assert {text: sides_differ(words_of(text)) for text in differ} == differ


def test_another_unit_is_one_of_another_name() -> None:
    assert another_unit(words_of("my archers shot. can my knights shoot"))
    assert not another_unit(words_of("my archers shot. can my archers shoot"))
    assert not another_unit(words_of("my archers shot. can the unit shoot"))


def test_the_name_behind_says_comes_before_the_others() -> None:
    found = GLOSSARY.describing.named("my unit has a save and he said coherency and cover")
    assert found[0].id == "coherency"
    assert "unit" not in {entry.id for entry in found}


def test_a_name_that_only_may_be_meant_is_offered(adviser: App) -> None:
    data = machine(adviser, "he rolled a crit on my fixed save. what is that", who="points back")
    assert data["kind"] == "choice"
    assert {"what is critical", "what is fixed save"} <= set(data["choices"])


def test_the_asking_sentence_alone_says_neither_yes_nor_no(adviser: App) -> None:
    """The strange word may be what decides: the nearest ruling is named as such."""
    data = machine(adviser, "my zorblings are flarping. can i shoot after advancing", who="tells of zorblings")
    assert (data["kind"], data["answer"], data["entry"]) == ("ruling", None, "advance")
    assert data["because"].startswith("This does not decide it as asked")


def test_what_is_told_never_turns_an_answer(adviser: App) -> None:
    """Every twentieth decided question behind a sentence about something else: the same answer, or none."""
    beside = (
        "my mate is new. ",
        "the enemy advanced. ",
        "my other unit fell back. ",
        "i have a reroll. ",
        "i rolled a 6. ",
    )
    decided = [(question, answer) for _, question, answer in cases() if answer in ("yes", "no")][::20]
    opposite = {"yes": "no", "no": "yes"}
    turned = [
        f"{first}{question}"
        for question, answer in decided
        for first in beside
        if as_told(machine(adviser, f"{first}{question}")) == opposite[answer]
    ]
    assert turned == []
