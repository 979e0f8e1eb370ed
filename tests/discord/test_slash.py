"""Slash commands: every one is read like the message it stands for; questions are private, rolls are public."""

from __future__ import annotations

import time
from typing import Any

import pytest

from bot.asked import Asked
from bot.channels.discord_commands import COMMANDS
from bot.desk import Desk
from bot.reply import Reply
from tests.discord.conftest import Playing
from tests.discord.loopback import Loopback
from tests.discord.loopback.faults import Fault, limited, reset, status, times
from tests.discord.loopback.rest import DEFERRED, MESSAGE
from tests.discord.loopback.world import Person

TABLE = "open table Saltmarsh Wardens against Kiln Guard"
ATTACK = {"attacks": "10", "hit": 4, "strength": 5, "ap": 1, "toughness": 4, "save": 3, "wounds": 2, "models": 5}

REST = "attacks, hit 4+, wound 3+, no save"

# Each command, its options, and words of its answer.
QUESTIONS: list[tuple[str, dict[str, Any], str]] = [
    ("odds", {"attack": "10 shots, hit 4+, S4 into T4, save 3+"}, "odds 10 attacks, hit 4+, S4"),
    ("odds", ATTACK, "odds 10 attacks, hit 4+, S5, AP-1, damage 1 into T4"),
    ("compare", {"first": f"9 {REST}", "second": f"8 {REST}"}, "side by side"),
    ("needs", {"strength": 5, "toughness": 4}, "3+"),
    ("needs", {"save": 3, "ap": 1}, "4+"),
    ("needs", {"question": "what does S5 need against T4"}, "3+"),
    ("charge", {"number": 9}, "charge needing 9"),
    ("charge", {"measured": 6.5}, "6"),
    ("reach", {"distance": 15, "move": 6}, "reach from 15 with M6"),
    ("advance", {"move": 6}, "advance"),
    ("what-is", {"term": "AP"}, "Armour penetration"),
    ("can-i", {"question": "shoot after advancing"}, "No"),
    ("page", {}, "commitment"),
    ("log", {}, "nothing is recorded"),
    ("help", {}, "roll"),
    ("why", {}, ""),
]  # fmt: skip
ROLLS: list[tuple[str, dict[str, Any], str]] = [
    ("roll", {"attack": "10 shots, hit 4+, S5 AP-1 into T4, save 3+"}, "#2 roll 10 attacks, hit 4+, S5, AP-1"),
    ("roll", ATTACK, "#2 roll 10 attacks, hit 4+, S5, AP-1, damage 1 into T4"),
    ("roll", {"attack": "1 shot, hit 4+, wound 3+, no save", "dice": "4 5"}, "with dice 4 5"),
    ("dice", {"dice": "3d6+2"}, "#2 dice 3d6+2"),
    ("charge", {"number": 9, "roll": True}, "#2"),
    ("advance", {"move": 6, "roll": True}, "#2"),
    ("roll-off", {}, "#2"),
    ("next-phase", {}, "#2"),
    ("table", {"message": "sit with Kiln Guard"}, "#2 Ada sits with the Kiln Guard"),
]  # fmt: skip


async def opened(loopback: Loopback, who: Person) -> None:
    await loopback.answer_to(await loopback.slash(who, loopback.ferry, "table", message=TABLE))


@pytest.mark.parametrize(("name", "options", "words"), QUESTIONS)
async def test_a_question_is_answered_to_the_asker_alone(
    playing: Playing, loopback: Loopback, ada: Person, name: str, options: dict[str, Any], words: str
) -> None:
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, name, **options))
    assert sent.private
    assert words in sent.content
    assert "I don't" not in sent.content


@pytest.mark.parametrize(("name", "options", "words"), ROLLS)
async def test_what_happens_at_the_table_is_for_everybody(
    playing: Playing, loopback: Loopback, ada: Person, name: str, options: dict[str, Any], words: str
) -> None:
    await opened(loopback, ada)
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, name, **options))
    assert not sent.private
    assert words in sent.content


async def test_what_was_not_understood_is_told_to_the_asker_alone(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "roll", attack="10 flurbs"))
    assert sent.private
    assert "flurbs" in sent.content


async def test_undo_takes_back_the_entry_it_names(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await opened(loopback, ada)
    await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "next-phase"))
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "undo", number=2))
    assert not sent.private
    assert "#3 undone: #2" in sent.content


@pytest.mark.parametrize(
    ("name", "words"), [("what-now", "command phase"), ("unit", "Kiln Guard"), ("show", "#1 by Ada")]
)
async def test_questions_about_the_table(
    playing: Playing, loopback: Loopback, ada: Person, name: str, words: str
) -> None:
    await opened(loopback, ada)
    options: dict[str, dict[str, Any]] = {"unit": {"name": "Kiln Guard"}, "show": {"number": 1}}
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, name, **options.get(name, {})))
    assert sent.private
    assert words in sent.content


async def test_a_slash_command_and_its_message_are_one(playing: Playing, loopback: Loopback, ada: Person) -> None:
    by_slash = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "odds", **ATTACK))
    text = "odds 10 attacks, hit 4+, S5, AP-1 into T4, save 3+, W2, 5 models"
    await loopback.say(ada, loopback.ferry, loopback.mention(text))
    by_message = await loopback.answer(2)
    assert by_slash.content == by_message.content


async def test_commands_work_in_a_direct_conversation(playing: Playing, loopback: Loopback, ada: Person) -> None:
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.direct(), "charge", number=9))
    assert "28%" in sent.content


async def test_every_command_is_registered_in_plain_words(playing: Playing, loopback: Loopback) -> None:
    names = {command["name"] for command in loopback.rest.commands}
    assert {"roll", "odds", "needs", "charge", "what-is", "can-i", "show", "table"} <= names


def test_every_command_is_tried_in_these_tests() -> None:
    tried = {name for name, _, _ in (*QUESTIONS, *ROLLS)} | {"undo", "what-now", "unit", "show"}
    assert {command.name for command in COMMANDS} == tried | {"listen"}  # heard in test_messages.py


@pytest.mark.parametrize(
    ("name", "option", "typed", "found"),
    [
        ("what-is", "term", "armour pen", "Armour penetration"),
        ("what-is", "term", "AP", "Armour penetration"),
        ("unit", "name", "", "Wardens"),
        ("unit", "name", "ember", "Ember Crew"),
        ("table", "message", "next", "next phase"),
        ("table", "message", "ward", "Wardens shoot"),
        ("table", "message", "Wardens shoot the K", "Wardens shoot Kiln Guard"),
        ("table", "message", "odds Wardens sh", "odds Wardens shoot Kiln Guard"),
        ("odds", "attack", "reed", "Reed Runners shoot Ember Crew"),
    ],
)
async def test_units_terms_and_verbs_are_completed(
    playing: Playing, loopback: Loopback, ada: Person, name: str, option: str, typed: str, found: str
) -> None:
    await opened(loopback, ada)
    suggested = await loopback.suggest(ada, loopback.ferry, name, option, typed)
    assert any(found in suggestion for suggestion in suggested)


async def test_an_exact_abbreviation_is_suggested_first_and_no_unit_as_its_own_target(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    await opened(loopback, ada)
    assert (await loopback.suggest(ada, loopback.ferry, "what-is", "term", "ap"))[0] == "Armour penetration"
    assert await loopback.suggest(ada, loopback.ferry, "roll", "attack", "Wardens shoot Wardens") == []


@pytest.mark.parametrize(
    ("name", "options", "words"),
    [
        ("odds", {}, "How many attacks?"),
        ("roll", {}, "How many attacks?"),
        ("charge", {"number": 9, "measured": 6.5}, "the tape: say one of them"),
        ("charge", {"number": 9, "measured": 6.5, "roll": True}, "contradict each other"),
        ("unit", {"name": "Xyz @you"}, 'no unit on this table is called "Xyz @you"'),
        ("roll", {**ATTACK, "hit": 9}, "a hit number is 2+ to 6+, got 9+"),
    ],
)
async def test_options_that_say_too_little_or_too_much_are_complained_of_as_such(
    playing: Playing, loopback: Loopback, ada: Person, name: str, options: dict[str, Any], words: str
) -> None:
    await opened(loopback, ada)
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, name, **options))
    assert sent.private
    assert words in sent.content


async def test_a_ten_sided_game_is_typed_by_options(playing: Playing, loopback: Loopback, ada: Person) -> None:
    await loopback.say(ada, loopback.ferry, loopback.mention("rules ten-sided"))
    await loopback.answer()
    options = {**ATTACK, "hit": 8, "save": 9}
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "roll", **options))
    assert "roll 10 attacks, hit 8+" in sent.content


@pytest.mark.parametrize("typed", ["ar", "sa", "cov", "m"])
async def test_terms_that_begin_with_what_was_typed_come_first(
    playing: Playing, loopback: Loopback, ada: Person, typed: str
) -> None:
    found = await loopback.suggest(ada, loopback.ferry, "what-is", "term", typed)
    begins = [term.lower().startswith(typed) for term in found]
    assert begins == sorted(begins, reverse=True)
    assert begins[0]


async def test_nothing_fitting_is_completed_by_nothing(playing: Playing, loopback: Loopback, ada: Person) -> None:
    assert await loopback.suggest(ada, loopback.ferry, "unit", "name", "") == []
    assert await loopback.suggest(ada, loopback.ferry, "what-is", "term", "zzzz") == []


async def test_a_suggestion_forgives_a_slip_and_a_gap_and_holds_no_syllable_within_a_word(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    await opened(loopback, ada)
    slips = {
        ("unit", "name"): {"wradens": "Wardens", "kiln grd": "Kiln Guard", "reder": "Reed Runners"},
        ("what-is", "term"): {"cohernecy": "Coherency", "fixd sav": "Fixed save", "pen": "Armour penetration"},
        ("table", "message"): {"wardns shoot": "Wardens shoot", "shoot kiln": "Wardens shoot Kiln Guard"},
    }
    for (name, option), typed in slips.items():
        for words, meant in typed.items():
            assert meant in await loopback.suggest(ada, loopback.ferry, name, option, words), words
    begun = await loopback.suggest(ada, loopback.ferry, "what-is", "term", "ap")
    assert begun[0] == "Armour penetration"
    assert len(begun) < 8
    assert "agreed" not in await loopback.suggest(ada, loopback.ferry, "table", "message", "reed")


async def test_an_attack_that_is_being_typed_is_shown_ways_to_go_on(
    playing: Playing, loopback: Loopback, ada: Person
) -> None:
    async def ways(typed: str) -> list[str]:
        found: list[str] = await loopback.suggest(ada, loopback.ferry, "roll", "attack", typed)
        return found

    assert await ways("10") == ["10 attacks"]
    assert "10 shots, hit 4+" in await ways("10 shots")
    assert await ways("10 shots, au") == ["10 shots, auto hit"]
    assert "10 shots hit 4+, S5" in await ways("10 shots hit 4+")
    assert "10 shots hit 4+ S5 into T4" in await ways("10 shots hit 4+ S5")
    assert "10 shots hit 4+ S5 into T4, save 3+" in await ways("10 shots hit 4+ S5 into T4")
    assert await ways("10 flurbs") == await ways("") == []
    await opened(loopback, ada)
    aimed = [way for way in await ways("10 shots hit 4+ S5 in") if "save" in way]
    assert "10 shots hit 4+ S5 into T4, 4 models, save 4+, W2" in aimed  # the Ember Crew
    await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "roll", attack="2 shots hit 4+ S5 T4 no save"))
    last = "2 attacks, hit 4+, S5, damage 1 into T4, no save, W1"
    assert await ways("2") == [last, "2 attacks"]
    assert last in await ways("roll")


@pytest.mark.parametrize(
    ("name", "options", "words"),
    [
        ("show", {"number": -3}, "number lies between 1 and 1,000,000, got -3"),
        ("roll", {**ATTACK, "ap": -1}, "ap lies between 0 and 10, got -1"),
        ("reach", {"distance": -1.5, "move": 6}, "distance lies between 0 and 200, got -1.5"),
    ],
)
async def test_a_number_that_no_option_may_have_is_refused_by_the_name_of_the_option(
    playing: Playing, loopback: Loopback, ada: Person, name: str, options: dict[str, Any], words: str
) -> None:
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, name, **options))
    assert sent.private
    assert words in sent.content


def slow(playing: Playing, monkeypatch: pytest.MonkeyPatch, seconds: float) -> None:
    """The umpire thinks so long about every message from now on."""
    assert playing.umpire is not None
    answer = playing.app.answer

    def thinking(asked: Asked) -> Reply:
        time.sleep(seconds)
        return answer(asked)

    desk = playing.umpire.counter._desk
    assert isinstance(desk, Desk)
    monkeypatch.setattr(desk, "_answer", thinking)


@pytest.mark.parametrize(("name", "options", "private"), [("roll", ATTACK, False), ("odds", ATTACK, True)])
async def test_an_answer_that_takes_long_is_deferred_at_once(
    playing: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch,
    name: str, options: dict[str, Any], private: bool,
) -> None:  # fmt: skip
    slow(playing, monkeypatch, 0.6)
    asked = await loopback.slash(ada, loopback.ferry, name, **options)
    sent = await loopback.answer_to(asked)
    assert sent is asked.original
    assert asked.kind == DEFERRED
    assert asked.answered is not None
    assert asked.answered - asked.started < 0.55
    assert sent.private is private
    assert "10 attacks, hit 4+" in sent.content


@pytest.mark.parametrize("fault", [status(503), reset, limited("user", via=False)], ids=["503", "reset", "429"])
async def test_a_deferred_answer_comes_in_spite_of_failures(
    playing: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch, fault: Fault
) -> None:
    slow(playing, monkeypatch, 0.4)
    loopback.rest.faults.append(times(1, "/messages/@original", fault, "PATCH"))
    asked = await loopback.slash(ada, loopback.ferry, "roll", **ATTACK)
    sent = await loopback.answer_to(asked)
    assert asked.kind == DEFERRED
    assert sent is asked.original
    assert "#1 roll 10 attacks" in sent.content
    assert len(loopback.rest.sent) == 1


async def test_a_private_answer_never_takes_a_public_place(
    playing: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    slow(playing, monkeypatch, 0.5)
    asked = await loopback.slash(ada, loopback.ferry, "roll", attack="10 flurbs")
    await loopback.until(lambda: loopback.rest.sent)
    [sent] = loopback.rest.sent
    assert asked.kind == MESSAGE  # the public place was given back
    assert sent.private
    assert "flurbs" in sent.content


async def test_a_public_answer_never_hides_in_a_private_place(
    playing: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    await opened(loopback, ada)
    slow(playing, monkeypatch, 0.5)
    await loopback.slash(ada, loopback.ferry, "table", message="sit with Kiln Guard")
    sent = await loopback.answer(2)
    assert not sent.private
    assert "sits with" in sent.content


async def test_a_bug_is_told_with_a_reference(
    playing: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:  # fmt: skip
    def broken(asked: Asked) -> Reply:
        raise ZeroDivisionError("a bug")

    assert playing.umpire is not None
    monkeypatch.setattr(playing.umpire.counter._desk, "_answer", broken)
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "odds", **ATTACK))
    assert "reference ref1" in sent.content
    assert "ZeroDivisionError" in caplog.text


async def test_a_bug_after_a_deferral_is_told_in_its_place(
    playing: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def broken(*_: object) -> None:
        raise ZeroDivisionError("a bug")

    assert playing.umpire is not None
    slow(playing, monkeypatch, 0.4)
    monkeypatch.setattr(playing.umpire.counter, "_shown", broken)
    asked = await loopback.slash(ada, loopback.ferry, "odds", **ATTACK)
    assert "reference ref2" in (await loopback.answer_to(asked)).content
    assert asked.kind == DEFERRED


async def test_a_bug_in_the_channel_itself_is_told_too(
    playing: Playing, loopback: Loopback, ada: Person, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:  # fmt: skip
    def broken(*_: object) -> Reply:
        raise ZeroDivisionError("a bug")

    assert playing.umpire is not None
    monkeypatch.setattr(playing.umpire.counter, "name", broken)
    await loopback.say(ada, loopback.ferry, loopback.mention("charge 9"))
    assert "reference ref2" in (await loopback.answer()).content
    sent = await loopback.answer_to(await loopback.slash(ada, loopback.ferry, "odds", **ATTACK))
    assert "reference ref2" in sent.content
    assert caplog.text.count("ZeroDivisionError") >= 2
