"""What is said in passing: a kind word, a dispute, a mend in plain words, one of those that were compared."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.app import App
from bot.content import load_rulesets
from bot.reading import read
from bot.reading.context import Context
from bot.reply import Reply
from tests.conversation import say, umpire

ATTACK = "10 attacks, hit 4+, S5 into T4, save 3+, W2, 5 models"
FAR = "10 attacks, hit 4+, S5, range 24, half range double attacks, at 20 into T4, save 3+, W2, 5 models"
COMPARED = "compare 10 attacks, hit 4+, S4 into T4, save 3+ or 5 attacks, hit 3+, S8 into T4, save 3+"
REED = "Reed Runners shoot Ember Crew at 10"


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    with umpire(tmp_path) as app:
        yield app


@pytest.fixture
def table(app: App) -> App:
    for words in ("open table Wardens against Kiln Guard", "sit with the Wardens", "go to the shooting phase"):
        say(app, words)
    say(app, "sit with Kiln Guard", who="Ben")
    return app


def choices(reply: Reply) -> tuple[str, ...]:
    assert reply.kind == "choice", reply.title
    return reply.offers


@pytest.mark.parametrize(
    "text",
    ["thanks", "thanks!", "Thank you so much", "ok thanks", "great, thanks", "gg", "GG WP", "good bot", "well done!",
     "ok", "OK.", "nice", "nice roll!", "lol", "cool", "I see", "got it", "wait", "hang on", "?", "??", "huh?"],
)  # fmt: skip
def test_a_kind_word_gets_one_and_is_no_mistake(app: App, text: str) -> None:
    reply = say(app, text)
    assert (reply.kind, reply.blocks) == ("remark", ())
    assert len(reply.title) < 80


def test_a_nod_after_odds_rolls_nothing(app: App) -> None:
    say(app, ATTACK)
    assert say(app, "ok").kind == "remark"
    assert say(app, "ok, roll it").kind == "attack"


@pytest.mark.parametrize("text", ["ok", "?", "ok roll it", "roll it", "yes", "how many dice"])
def test_what_is_asked_back_is_asked_again_and_nothing_older_is_rolled(app: App, text: str) -> None:
    say(app, ATTACK)
    assert say(app, "roll 4+ S5 into T4 3+").title == "How many attacks?"
    assert say(app, text).title == "How many attacks?"
    assert say(app, "thanks").kind == "remark"
    assert say(app, "4").title.startswith("#1 roll 4 attacks, hit 4+, S5")


@pytest.mark.parametrize("text", ["it was in cover", "that was in cover", "in cover", "in cover, sorry"])
def test_a_mend_after_a_roll_is_offered_with_its_number(app: App, text: str) -> None:
    say(app, f"roll {ATTACK}")
    assert choices(say(app, text)) == ("correct #1 in cover", "same but in cover")
    assert say(app, "1").title.startswith("#2 mends #1")


def test_a_number_put_right_after_a_roll_is_offered_to_the_other_player_too(app: App) -> None:
    say(app, f"roll {ATTACK}")
    assert choices(say(app, "sorry, T5")) == ("correct #1 T5", "same but T5")
    assert "into T5" in say(app, "2").title
    assert choices(say(app, "that was T5", who="Ben")) == ("correct #1 T5",)


def test_what_is_undone_is_not_mended(table: App) -> None:
    say(table, REED)
    first = say(table, REED.replace("10", "9") + " anyway").data or {}
    say(table, f"undo #{first['id']}")
    assert choices(say(table, "it was in cover"))[0] == f"correct #{first['id'] - 1} in cover"


@pytest.mark.parametrize("text", ["it was in cover", "sorry, in cover", "in cover"])
def test_a_mend_after_odds_reckons_anew(app: App, text: str) -> None:
    say(app, ATTACK)
    assert say(app, text).title.endswith("save 3+, W2, cover")


def test_odds_by_name_are_varied_in_the_same_words(table: App) -> None:
    say(table, f"odds {REED}")
    assert say(table, "in cover").title == f"odds {REED} in cover"
    assert say(table, "what about at 8").title == "odds Reed Runners shoot Ember Crew at 8 in cover"
    assert say(table, "it was not in cover").title == "odds Reed Runners shoot Ember Crew at 8"


def test_what_stands_on_a_card_is_corrected_and_never_only_reckoned(table: App) -> None:
    say(table, f"odds {REED}")
    assert "stays" in say(table, "sorry, T5").title
    number = (say(table, REED).data or {})["id"]
    assert choices(say(table, "sorry, T5")) == (f"correct #{number} T5",)
    assert choices(say(table, "in cover")) == (f"correct #{number} in cover", "same but in cover")
    assert say(table, "2").title == f"odds {REED} in cover"


def test_no_cover_is_never_read_as_cover(app: App) -> None:
    say(app, f"{ATTACK}, cover")
    assert "cover" not in say(app, "no cover").title


def test_a_mend_without_a_roll_says_so(app: App) -> None:
    assert say(app, "that was in cover").title == "no roll is recorded here that could be mended"


CLOSER = ["should I get closer?", "is it worth getting closer?", "should I close to half range?"]


@pytest.mark.parametrize("text", CLOSER)
def test_whether_to_close_in_compares_both_distances(app: App, text: str) -> None:
    say(app, FAR)
    assert [option["read"].count("at 12") for option in (say(app, text).data or {})["options"]] == [0, 1]


@pytest.mark.parametrize("text", CLOSER)
def test_an_attack_by_name_is_compared_at_the_half_range_of_its_weapons(table: App, text: str) -> None:
    say(table, "odds Wardens shoot Kiln Guard at 22")
    assert say(table, text).offers == ("Wardens shoot Kiln Guard at 22", "Wardens shoot Kiln Guard at 15")


def test_closing_in_gains_nothing_where_no_weapon_is_better_there(table: App) -> None:
    say(table, f"odds {REED}")
    assert say(table, "should I get closer?").kind == "misread"


def test_what_was_compared_is_offered_and_goes_by_its_letter(app: App) -> None:
    reply = say(app, COMPARED)
    first, second = (reply.data or {})["rolls"]
    assert reply.offers == ("roll A", "roll B")
    assert say(app, "B").title == second.replace("roll", "odds")
    assert say(app, "roll A").title == f"#1 {first}"
    assert choices(say(app, "roll D")) == ("roll A", "roll B")


def test_attacks_by_name_that_were_compared_go_by_their_letter(table: App) -> None:
    say(table, "compare Wardens shoot the Kiln Guard at 14 or at 22")
    assert say(table, "B").title == "odds Wardens shoot Kiln Guard at 22"
    assert say(table, "roll A").title.endswith("Wardens shoot Kiln Guard at 14")


@pytest.mark.parametrize("text", ["we disagree", "we can't agree", "I want to dispute #1", "dispute that roll"])
def test_a_dispute_is_told_how_it_is_looked_into_and_settled(app: App, text: str) -> None:
    say(app, f"roll {ATTACK}")
    reply = say(app, text)
    assert reply.offers == ("show #1", "recheck #1", "why #1", "roll off", "what is dispute")
    assert len(reply.blocks) == 3


def test_of_what_is_no_attack_the_record_is_shown(table: App) -> None:
    assert say(table, "dispute #1").offers == ("show #1", "roll off", "what is dispute")


def test_a_nod_in_the_middle_of_a_lesson_shows_its_step(table: App) -> None:
    step = say(table, "step by step Reed Runners shoot the Ember Crew at 10")
    assert all(block in step.blocks for block in say(table, "ok").blocks)


def test_each_way_out_of_a_dispute_works(app: App) -> None:
    say(app, f"roll {ATTACK}")
    for offer in say(app, "we disagree").offers:
        assert say(app, offer).kind not in ("misread", "unknown", "choice"), offer


def test_a_roll_off_settles_it(table: App) -> None:
    assert say(table, "roll off to settle it").kind == "roll off"


@pytest.mark.parametrize("text", ["thanks", "good game", "good bot", "ok", "?", "dispute #3", "it was T5"])
def test_what_is_said_in_passing_is_read_as_itself(text: str) -> None:
    assert str(read(text, Context(ruleset=load_rulesets()["standard"]))) == text
