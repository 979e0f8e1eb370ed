"""A table's own words: kept for one channel, shown, taken back, and never ours."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.app import App
from bot.asked import Asked
from bot.content import load_rulesets
from bot.misread import Misread
from bot.reading import read
from bot.reading.context import Context
from bot.reply import Reply
from bot.requests.attack import Odds
from bot.requests.words import CallWord, Help, Words
from tests.conversation import umpire

RULESET = load_rulesets()["standard"]
PLAIN = Context(ruleset=RULESET)
OWN = Context(
    ruleset=RULESET,
    synonyms={"sweep": "half range double attacks", "tough hide": "ignore", "hot shot": "critical hits wound"},
)


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    with umpire(tmp_path) as umpires:
        yield umpires


def say(app: App, text: str, where: str = "low-ferry") -> Reply:
    return app.answer(Asked(text, "ann", where))


@pytest.mark.parametrize(
    ("text", "word", "meaning"),
    [
        ("call sweep half range double attacks", "sweep", "half range double attacks"),
        ('call "hot shot" critical hits wound', "hot shot", "critical hits wound"),
        ("call hot shot critical hits score 1 extra hit", "hot shot", "critical hits score 1 extra hit"),
        ("call tough hide ignore", "tough hide", "ignore"),
        ("Call Tough Hide = ignore 5+", "tough hide", "ignore 5+"),
        ("call shield wall: fixed save 4+", "shield wall", "fixed save 4+"),
        ("call sweep nothing", "sweep", None),
        ("forget the word sweep", "sweep", None),
    ],
)
def test_a_word_and_its_meaning_are_told_apart(text: str, word: str, meaning: str | None) -> None:
    assert read(text, PLAIN) == CallWord(word, meaning)


@pytest.mark.parametrize("text", ["words", "Words?", "show our words", "show me the words please"])
def test_the_words_can_be_shown(text: str) -> None:
    assert read(text, PLAIN) == Words()


@pytest.mark.parametrize(
    ("text", "topic"),
    [
        ("help", None),
        ("Help me!", None),
        ("what can you do?", None),
        ("hello there!", None),
        ("how do I start?", None),
        ("help charge", "charge"),
        ("help with dice", "dice"),
    ],
)
def test_help_is_asked_for_with_or_without_a_topic(text: str, topic: str | None) -> None:
    assert read(text, PLAIN) == Help(topic)


@pytest.mark.parametrize(
    ("text", "guilty"),
    [
        ("call hit ignore", "hit"),
        ("call foo bar baz", "bar"),
        ("call foo", "foo"),
        ("call 5 ignore", "5"),
        ('call "foo" ignore wibble', "wibble"),
    ],
)
def test_a_word_that_cannot_be_is_pointed_at(text: str, guilty: str) -> None:
    with pytest.raises(Misread) as caught:
        read(text, PLAIN)
    assert caught.value.at is not None
    assert text[slice(*caught.value.at)] == guilty


def test_an_own_word_is_read_as_what_it_means() -> None:
    request = read("10 shots 4+ S5 range 20 sweep at 5 into T4 3+ Tough Hide 5+, hot shot", OWN)
    assert isinstance(request, Odds)
    assert str(request) == (
        "odds 10 attacks, hit 4+, S5, damage 1, critical hits wound, range 20, half range double attacks, at 5 "
        "into T4, save 3+, W1, ignore 5+"
    )


def test_what_is_wrong_with_an_own_word_is_pointed_at_as_typed() -> None:
    text = "10 shots 4+ S5 into T4 3+ tough hide 9+"
    with pytest.raises(Misread) as caught:
        read(text, OWN)
    assert caught.value.at is not None
    assert text[slice(*caught.value.at)] == "9+"
    text = "10 shots 4+ S5 into T4 3+ ignore 4+ tough hide 5+"
    with pytest.raises(Misread) as caught:
        read(text, OWN)
    assert caught.value.at is not None
    assert text[slice(*caught.value.at)] == "tough hide 5+"


def test_a_word_holds_in_its_channel_only(app: App) -> None:
    attack = "10 shots 4+ S5 range 20 sweep at 5 into T4 3+"
    assert say(app, attack).kind == "misread"
    assert say(app, "call sweep half range double attacks").kind == "words"
    assert say(app, attack).kind == "odds"
    assert say(app, attack, where="elsewhere").kind == "misread"


def test_words_are_shown_changed_and_taken_back(app: App) -> None:
    say(app, "call sweep half range double attacks")
    assert say(app, "words").machine["words"] == {"sweep": "half range double attacks"}
    assert "before" in say(app, "call sweep critical hits wound").title
    say(app, "call sweep nothing")
    assert say(app, "words").machine["words"] == {}


def test_words_outlive_a_restart(tmp_path: Path) -> None:
    with umpire(tmp_path) as first:
        say(first, "call sweep critical hits wound")
    with umpire(tmp_path) as again:
        assert say(again, "10 shots 4+ S5 sweep into T4 3+").kind == "odds"


def test_a_channel_has_a_hundred_words_at_most(app: App) -> None:
    names = [f"{first}{second}word" for first in "qxzvkjbpgy" for second in "abcdefghij"]
    for name in names:
        assert say(app, f'call "{name}" ignore').kind == "words"
    assert say(app, "call onemoreword ignore").kind == "misread"
    assert len(say(app, "words").machine["words"]) == len(names) == 100
