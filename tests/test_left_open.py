"""What is left open between messages: an answer finds its question, and a question is settled by one entry."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.app import App
from bot.asked import Asked, Question
from bot.ledger.kept import reply_from_json, reply_to_json
from bot.left_open import answering
from bot.reply import Reply
from tests.conversation import say, umpire

HERE = "low-ferry"
UNCLEAR = "roll 5 models with 10 attacks, S4 into T4, save 3+"  # each or in all; and what hits is not said
TEN = "roll 10 shots, S5 into T4, save 3+"


class Talk:
    """Messages as a chat hands them over, each with an event of its own."""

    def __init__(self, app: App) -> None:
        self.app, self.said = app, 0

    def __call__(self, text: str, who: str = "Ada", question: Question | None = None) -> Reply:
        self.said += 1
        event = f"message {self.said}" if question is None else answering(question)
        return self.app.answer(Asked(text, who, HERE, event, question=question))

    @property
    def recorded(self) -> int:
        return len(self.app.house.ledger.entries(HERE))


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    with umpire(tmp_path) as app:
        yield Talk(app)


def asked(reply: Reply) -> Question:
    assert reply.asks is not None
    return reply.asks


def test_a_question_asked_in_answering_another_is_the_same_question(talk: Talk) -> None:
    first = talk(UNCLEAR)
    second = talk("1")
    assert asked(second).id == asked(first).id
    assert talk("4+", "Ben", asked(second)).title.startswith("#1 roll 5 models with 10 attacks each, hit 4+")
    late = talk(UNCLEAR.replace("with 10 attacks", "with 10 attacks each"), "Eve", Question(asked(first).id))
    assert late.title.startswith("#1 ")
    assert talk("2").kind != "attack"
    assert talk.recorded == 1


def test_what_is_asked_or_rolled_in_between_settles_nothing(talk: Talk) -> None:
    question = asked(talk(TEN))
    for between in ("what is AP", "roll 3d6", "charge 9"):
        talk(between)
        talk(TEN)
        assert talk("dice 3d6").kind == "dice", "a roll of its own, whatever is open"
    assert talk("4+", question=question).title.startswith("#5 roll 10 attacks, hit 4+, S5")


def test_a_typed_answer_settles_the_question_for_everybody(talk: Talk) -> None:
    question = asked(talk(TEN))
    talk("what is AP")
    assert talk("4+").title.startswith("#1 roll 10 attacks")
    assert talk("3+", "Ben", question).title == "That is settled already: #1."
    assert talk.recorded == 1


def test_an_answer_typed_after_another_was_given_by_a_button_is_too_late(talk: Talk) -> None:
    question = asked(talk(TEN))
    talk("4+", "Ben", question)
    assert talk("3+").title == "That is settled already: #1."
    assert talk.recorded == 1


def test_rolling_on_in_a_lesson_is_no_answer_to_another_question(talk: Talk) -> None:
    talk("step by step 4 shots, hit 4+, S4 into T4, save 3+")
    question = asked(talk(TEN))
    assert talk("roll").title.startswith("#2 hit 4+")
    assert talk("4+", question=question).title.startswith("#3 roll 10 attacks")


def test_agreement_is_given_to_what_was_asked_and_to_nothing_asked_later(talk: Talk) -> None:
    for text, who in (
        ("open table Saltmarsh Wardens against Kiln Guard", "Ada"),
        ("sit with Saltmarsh Wardens", "Ada"),
        ("sit with Kiln Guard", "Ben"),
        ("next phase", "Ada"),
    ):
        talk(text, who)
    first = asked(talk("Wardens move", "Ben"))
    second = asked(talk("Reed Runners move", "Ben"))
    before = talk.recorded
    for again in ("agreed", "agreed", "not agreed"):
        assert "Wardens move" in talk(again, "Ada", first).title
    assert "not agreed: Reed Runners move" in talk("not agreed", "Ada", second).title
    assert talk.recorded == before + 2
    third = asked(talk("Reed Runners move", "Ben"))
    talk("next phase", "Ada")
    asked(talk("Reed Runners shoot Ember Crew at 9", "Ben"))
    assert "not waiting" in talk("agreed", "Ada", third).title


def test_a_recorded_reply_keeps_the_question_it_asked() -> None:
    for question in (None, Question("step 3.1")):
        reply = Reply("table", "#4 so", asks=question)
        assert reply_from_json(reply_to_json(reply)) == reply


@pytest.mark.parametrize(
    ("asks", "dropped"),
    [("roll charge from", "dropped: roll charge from …"), ("needs 4+", "dropped: the question which of them")],
)
@pytest.mark.parametrize("opening", ["", "open table Saltmarsh Wardens against Kiln Guard"])
def test_never_mind_drops_what_is_open_and_says_so(talk: Talk, asks: str, dropped: str, opening: str) -> None:
    if opening:
        talk(opening)
    before = talk.recorded
    talk(asks)
    assert talk("never mind").title == dropped
    assert talk("never mind").title.startswith("nothing is open here")
    assert talk("9").kind == "misread"
    assert talk.recorded == before


def test_what_was_rolled_just_now_is_rolled_again_only_when_that_is_meant(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        say(app, "10 attacks, hit 4+, S4 into T4, save 3+")
        assert say(app, "roll it").machine["id"] == 1
        for answer in ("1", "yes"):
            again = say(app, "roll it")
            assert again.title == "that is rolled already; roll it again?"
            assert again.machine["choices"] == ["roll 10 attacks, hit 4+, S4, damage 1 into T4, save 3+, W1"]
            assert say(app, answer).kind == "attack"
        say(app, "what about S5?")
        assert say(app, "roll it").kind == "attack"
