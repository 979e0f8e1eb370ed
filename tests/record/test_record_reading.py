"""What people say about the record, and what the umpire makes of it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.content import load_rulesets
from bot.misread import Misread
from bot.reading.context import Context
from bot.reading.message import Message
from bot.reading.record import Request, record_family
from bot.requests.record import (
    Audit,
    Cut,
    ForgetMe,
    Log,
    Luck,
    LuckOfOne,
    Recheck,
    Reveal,
    RollsOf,
    Show,
    ShowPage,
    WhoRolled,
    Why,
)

CONTEXT = Context(ruleset=load_rulesets()["standard"])


def read(text: str) -> Request | None:
    return record_family(Message(text), CONTEXT)


SAID = {
    "page": ShowPage(),
    "Show the page": ShowPage(),
    "page whole": ShowPage(whole=True),
    "the whole page, please": ShowPage(whole=True),
    "commitment?": ShowPage(whole=True),
    "cut the tide is out": Cut("the tide is out"),
    "CUT  Wind in the Reeds!": Cut("Wind in the Reeds!"),
    "cut “quoted” – dashed": Cut("“quoted” – dashed"),
    "reveal": Reveal(),
    "reveal the secret.": Reveal(),
    "audit": Audit(),
    "are these dice fair?": Audit(),
    "audit all pages": Audit(whole=True),
    "show #17": Show(17),
    "show 17": Show(17),
    "#17": Show(17),
    "show me no. 17": Show(17),
    "show last": Show(),
    "show me the last roll, please": Show(),
    "what was the last roll?": Show(),
    "last roll": Show(),
    "log": Log(),
    "show the log": Log(),
    "log 20": Log(20),
    "the log of the last 5": Log(5),
    "who rolled": WhoRolled(),
    "who rolled #17?": WhoRolled(17),
    "rolls": RollsOf(),
    "rolls this round": RollsOf(this_round=True),
    "rolls of the Wardens this round": RollsOf("Wardens", this_round=True),
    "show the rolls by Ann": RollsOf("Ann"),
    "rolls of the Kiln Guard": RollsOf("Kiln Guard"),
    "recheck #17": Recheck(17),
    "re-check 17": Recheck(17),
    "why": Why(),
    "why?": Why(),
    "why #17": Why(17),
    "luck": Luck(),
    "luck of the Kiln Guard": Luck("Kiln Guard"),
    "what is my luck": Luck(),
    "luck #17": LuckOfOne(17),
    "luck of #17": LuckOfOne(17),
    "luck of the last attack": LuckOfOne(attack=True),
    "luck of the last roll": LuckOfOne(),
    "was I lucky?": LuckOfOne(),
    "how lucky was that roll": LuckOfOne(),
    "was that a really good roll?": LuckOfOne(),
    "so, did he roll well?": LuckOfOne(),
    "was it just bad luck": LuckOfOne(),
    "forget me": ForgetMe(),
    "Please, forget me.": ForgetMe(),
}


@pytest.mark.parametrize("text", SAID)
def test_a_message_about_the_record_is_read(text: str) -> None:
    assert read(text) == SAID[text]


@pytest.mark.parametrize("text", SAID)
def test_a_canonical_message_reads_back_as_itself(text: str) -> None:
    assert read(str(SAID[text])) == SAID[text]


@pytest.mark.parametrize(
    "text",
    [
        "17",
        "pages",
        "cutting words",
        "reveal nothing to them",
        "show me the Kiln Guard",
        "why can't the Wardens shoot",
        "who can shoot",
        "luckily we won",
        "roll 10 attacks",
        "forget me not",
        "log in",
        "",
    ],
)
def test_other_messages_are_left_to_others(text: str) -> None:
    assert read(text) is None


@pytest.mark.parametrize("verb", ["show", "recheck", "show #"])
def test_a_missing_number_is_asked_for(verb: str) -> None:
    with pytest.raises(Misread) as misread:
        read(verb)
    assert misread.value.missing == "number"
    assert misread.value.hint in ("show #1", "recheck #1")


def test_a_cut_without_words_is_complained_of() -> None:
    with pytest.raises(Misread, match="which words") as misread:
        read("cut ")
    assert misread.value.hint == "cut the tide is out"


@pytest.mark.parametrize("text", ["log 0", "log 101"])
def test_a_log_of_impossible_length_is_pointed_at(text: str) -> None:
    with pytest.raises(Misread, match="between 1 and 100") as misread:
        read(text)
    start, end = misread.value.at or (0, 0)
    assert text[start:end] in ("0", "101")


@given(st.text(alphabet=st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=100))
def test_every_cut_is_read_as_it_was_typed(words: str) -> None:
    if words.strip():
        assert read(f"cut {words}") == Cut(words.strip())
