"""What an answer makes of the question before it: choices, missing parts, "roll it", closing to half range."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from bot.content import load_rulesets
from bot.misread import Misread, Unsure
from bot.reading import read
from bot.reading.context import Context
from bot.requests.attack import Compare, Odds, Roll

RULESET = load_rulesets()["standard"]
LAST = "odds 10 attacks, hit 4+, S5, damage 1 into T4, save 3+, W1"
RANGED = "odds 10 attacks, hit 4+, S4, damage 1, range 24, half range +1 attack, at 20 into T4, save 3+, W1"


class Talk:
    """One person's exchange, remembered as the app remembers it."""

    def __init__(self, memory: Mapping[str, Any] | None = None) -> None:
        self.memory: dict[str, Any] = dict(memory or {})

    @staticmethod
    def is_term(words: str) -> bool:
        """The glossary has an entry for a number needed, which an answer must not be taken for."""
        return words in ("4+", "3+")

    def say(self, text: str) -> object:
        """The request, or the complaint itself."""
        last = {key: value for key, value in self.memory.items() if key == "last"}
        try:
            request = read(text, Context(ruleset=RULESET, memory=self.memory, is_term=self.is_term))
        except Misread as misread:
            asked = {"pending": misread.pending, "missing": misread.missing} if misread.missing else {}
            self.memory = last | asked
            return misread
        except Unsure as unsure:
            self.memory = last | {"choices": list(unsure.choices)}
            return unsure
        self.memory = {"last": str(request)} if isinstance(request, Odds) else last
        return request


def missing(outcome: object) -> str | None:
    assert isinstance(outcome, Misread)
    return outcome.missing


def test_a_message_is_completed_one_part_after_the_other() -> None:
    talk = Talk()
    assert missing(talk.say("roll 10 shots")) == "hit"
    assert missing(talk.say("4+")) == "strength"
    assert missing(talk.say("S5, AP-1")) == "toughness"
    assert missing(talk.say("T4")) == "save"
    assert str(talk.say("3+ save")) == "roll 10 attacks, hit 4+, S5, AP-1, damage 1 into T4, save 3+, W1"


def test_bare_numbers_answer_what_was_asked_for() -> None:
    talk = Talk()
    talk.say("odds")
    for answer in ("10", "4", "5", "4"):
        outcome = talk.say(answer)
        assert isinstance(outcome, Misread)
    assert str(talk.say("3")) == LAST


def test_one_answer_may_say_more_than_was_asked_for() -> None:
    talk = Talk()
    talk.say("10 shots hitting on 4s")
    assert missing(talk.say("S5 AP-1 damage 2")) == "toughness"
    assert isinstance(talk.say("T4, 3+ save, 2 wounds each"), Odds)


def test_the_missing_part_of_one_weapon_group_goes_to_that_group() -> None:
    talk = Talk()
    assert missing(talk.say("9 attacks hit 4+ S3 plus 2 attacks S5 into T4 save 3+")) == "hit"
    request = talk.say("3+")
    assert isinstance(request, Odds)
    assert [weapon.hit for weapon in request.attack.weapons] == [4, 3]


def test_the_missing_part_of_one_option_goes_to_that_option() -> None:
    talk = Talk()
    talk.say("compare 10 attacks S5 into T4 save 3+ or 10 attacks hit 4+ S5 into T4 save 3+")
    request = talk.say("hitting on 3s")
    assert isinstance(request, Compare)
    assert [attack.weapons[0].hit for attack in request.options] == [3, 4]


def test_the_missing_models_of_the_target_go_to_the_target() -> None:
    talk = Talk()
    assert missing(talk.say("d6 attacks +1 attack per 5 targets hit 4+ S5 into T4 3+")) == "models"
    request = talk.say("12")
    assert isinstance(request, Odds)
    assert request.attack.target.models == 12


def test_a_wrong_answer_is_pointed_at_and_the_question_stands() -> None:
    talk = Talk()
    talk.say("10 attacks hit 4+ S5 into T4")
    outcome = talk.say("9+")
    assert isinstance(outcome, Misread)
    assert outcome.at == (0, 2)
    assert outcome.missing == "save"
    assert str(talk.say("3+")) == LAST


def test_a_whole_new_message_is_not_taken_for_an_answer() -> None:
    talk = Talk()
    talk.say("10 attacks hit 4+ S5 into T4")
    assert str(talk.say("charge 9")) == "charge 9"
    talk.say("10 attacks hit 4+ S5 into T4")
    assert (
        str(talk.say("20 attacks hit 3+ S3 into T3 6+")) == "odds 20 attacks, hit 3+, S3, damage 1 into T3, save 6+, W1"
    )


@pytest.mark.parametrize("answer", ["charge 9", "charge from 9", "charge needing 9"])
def test_a_question_asked_while_a_roll_waits_for_its_distance_rolls_nothing(answer: str) -> None:
    talk = Talk()
    assert missing(talk.say("roll me a charge")) == "distance"
    assert str(talk.say(answer)) == answer


def test_a_bare_distance_completes_the_roll_that_waits_for_it() -> None:
    for bid in ("roll me a charge", "roll charge", "please roll a charge"):
        talk = Talk()
        talk.say(bid)
        assert str(talk.say("from 9")) == "roll charge from 9"


@pytest.mark.parametrize(
    "answer",
    ["5 3", "53", "dice 5 3", "dice: 5, 3", "with dice 5 3", "my dice are 5 and 3", "I rolled a 5 and a 3", "five, 3"],
)
def test_dice_that_are_asked_for_may_be_told_in_words(answer: str) -> None:
    pending = "roll 4 attacks, hit 4+, S4 into T4, save 3+ with dice 6 4"
    request = Talk({"pending": pending, "missing": "dice"}).say(answer)
    assert isinstance(request, Roll)
    assert request.faces == (6, 4, 5, 3)


@pytest.mark.parametrize("message", ["dice 2d6", "charge 9", "needs wound S5 against T4"])
def test_what_is_no_face_is_no_answer_where_dice_are_asked_for(message: str) -> None:
    pending = "roll 4 attacks, hit 4+, S4 into T4, save 3+ with dice 6 4"
    assert str(Talk({"pending": pending, "missing": "dice"}).say(message)) == message


@pytest.mark.parametrize("text", ["can I roll 3d6", "can we roll 3d6?", "shall we throw 3d6", "may I roll 3d6"])
def test_whoever_asks_whether_to_roll_loose_dice_rolls_none(text: str) -> None:
    talk = Talk()
    outcome = talk.say(text)
    assert isinstance(outcome, Unsure)
    assert outcome.choices == ("dice 3d6",)
    assert str(talk.say("1")) == "dice 3d6"


def test_a_charge_is_completed_by_its_distance() -> None:
    for answer in ("9", '9"', "9 inches", "from 9"):
        talk = Talk()
        assert missing(talk.say("charge")) == "distance"
        assert str(talk.say(answer)) == "charge from 9"


@pytest.mark.parametrize("answer", ["2", "2.", "#2", "option 2", "the second", "second one", "the latter", "two"])
def test_a_choice_is_taken_by_its_number(answer: str) -> None:
    talk = Talk()
    assert isinstance(talk.say("5 models with 10 attacks hit 4+ S5 into T4 save 3+"), Unsure)
    assert str(talk.say(answer)) == LAST


def test_a_choice_is_taken_by_its_text() -> None:
    talk = Talk()
    outcome = talk.say("10 attacks 4+ 3+ S5 into T4 save 3+")
    assert isinstance(outcome, Unsure)
    assert str(talk.say(outcome.choices[0])) == outcome.choices[0]


def test_a_choice_is_taken_by_the_words_that_only_it_has() -> None:
    talk = Talk()
    talk.say("10 attacks 4+ 3+ S5 into T4 save 3+")
    assert "wound 3+" in str(talk.say("wound 3+"))
    talk.say("5 models with 10 attacks hit 4+ S5 into T4 save 3+")
    assert "5 models with 10 attacks each" in str(talk.say("each"))


def test_a_number_that_no_choice_has_asks_again() -> None:
    talk = Talk()
    talk.say("5 models with 10 attacks hit 4+ S5 into T4 save 3+")
    assert isinstance(talk.say("3"), Unsure)
    assert str(talk.say("2")) == LAST


def test_yes_chooses_nothing() -> None:
    talk = Talk()
    talk.say("5 models with 10 attacks hit 4+ S5 into T4 save 3+")
    assert isinstance(talk.say("yes"), Unsure)


def test_without_a_question_a_number_is_no_answer() -> None:
    assert isinstance(Talk().say("2"), Misread)


@pytest.mark.parametrize(
    "words",
    [
        "roll it",
        "roll it!",
        "Roll that please",
        "ok roll it",
        "yes",
        "yes please",
        "yep",
        "go on",
        "do it",
        "roll that one",
        "please roll it",
        "yes, roll it",
    ],
)
def test_the_attack_at_hand_is_rolled(words: str) -> None:
    request = Talk({"last": LAST}).say(words)
    assert isinstance(request, Roll)
    assert str(request) == LAST.replace("odds", "roll")


def test_the_attack_at_hand_is_rolled_with_own_dice() -> None:
    request = Talk({"last": LAST}).say("roll it with dice 6 4 4")
    assert isinstance(request, Roll)
    assert request.faces == (6, 4, 4)


@pytest.mark.parametrize(
    ("words", "level"),
    [
        ("at least 2 slain", "at least 2 slain"),
        ("chance of at least 2 slain?", "at least 2 slain"),
        ("what is the chance they kill 2 or more?", "at least 2 slain"),
        ("no more than 3 hits", "at most 3 hits"),
        ("exactly 1 dead?", "exactly 1 slain"),
    ],
)
def test_a_level_alone_is_reckoned_for_the_attack_at_hand(words: str, level: str) -> None:
    for last in (LAST, f"{LAST}: at least 1 slain"):
        request = Talk({"last": last}).say(words)
        assert isinstance(request, Odds)
        assert str(request) == f"{LAST}: {level}"
    assert not isinstance(Talk().say(words), Odds)


def test_nothing_at_hand_is_said_so() -> None:
    outcome = Talk().say("roll it")
    assert isinstance(outcome, Misread)
    assert "nothing to roll" in outcome.message


@pytest.mark.parametrize(
    "words",
    [
        "should I close to half range?",
        "Should we move in to half range",
        "is it worth closing to half range?",
        "should I get within half range?",
    ],
)
def test_closing_to_half_range_compares_the_attack_at_hand(words: str) -> None:
    request = Talk({"last": RANGED}).say(words)
    assert isinstance(request, Compare)
    assert [attack.distance for attack in request.options] == [20, 12]


def test_closing_asks_which_attack_without_one_at_hand() -> None:
    for memory in ({}, {"last": LAST}):
        outcome = Talk(memory).say("should I close to half range?")
        assert isinstance(outcome, Misread)
        assert outcome.hint is not None


def test_an_answer_leaves_no_places_of_another_message() -> None:
    talk = Talk()
    talk.say("10 attacks hit 4+ S5 into T4")
    request = talk.say("3+")
    assert isinstance(request, Odds)
    assert request.trace == ()


@pytest.mark.parametrize(
    ("answer", "damage"),
    [("a die", "damage d8"), ("die", "damage d8"), ("a number", "damage 8"), ("number", "damage 8")],
)
def test_the_words_of_the_question_itself_answer_it(answer: str, damage: str) -> None:
    talk = Talk()
    assert isinstance(talk.say("10 shots hit 4+ S4 D8 into T4 save 3+"), Unsure)
    assert f"{damage} " in str(talk.say(answer))


@pytest.mark.parametrize("answer", ["in all", "In all.", "in total", "all together"])
def test_attacks_in_all_are_not_multiplied(answer: str) -> None:
    talk = Talk()
    assert isinstance(talk.say("5 models with 10 attacks hit 4+ S5 into T4 save 3+"), Unsure)
    assert str(talk.say(answer)) == LAST
