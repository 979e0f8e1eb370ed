"""The first game grows back to the whole game one layer at a time, and each lesson's attack shows its layer."""

from __future__ import annotations

from dataclasses import replace

import pytest
from asking import machine

from bot.app import App
from bot.asked import Asked
from bot.channels.paint import plain
from bot.content import load_rulesets
from bot.glossary import Glossary
from bot.layers import FIRST_GAME, WHOLE_GAME, layered

RULESETS = load_rulesets()
LESSONS = tuple(Glossary().lessons.values())
FIRST, WHOLE = RULESETS[FIRST_GAME], RULESETS[WHOLE_GAME]
NUMBERED = list(enumerate(LESSONS))


def test_the_lessons_come_in_their_order() -> None:
    order = ["modifiers", "half-range", "re-rolls", "criticals", "command-phase"]
    assert [lesson.id for lesson in LESSONS] == order


def test_all_lessons_together_bring_the_whole_game_back() -> None:
    grown = layered(FIRST, WHOLE, LESSONS)
    assert replace(grown, id=WHOLE.id, title=WHOLE.title, about=WHOLE.about) == WHOLE


@pytest.mark.parametrize(("number", "lesson"), NUMBERED, ids=[lesson.id for lesson in LESSONS])
def test_a_lesson_brings_back_its_own_layer_only(number: int, lesson) -> None:
    before, after = layered(FIRST, WHOLE, LESSONS[:number]), layered(FIRST, WHOLE, LESSONS[: number + 1])
    assert set(before.without) - set(after.without) == set(lesson.brings)
    assert (before.phases != after.phases) == lesson.brings_phases


def test_no_lesson_leaves_the_first_game_as_it_is() -> None:
    assert layered(FIRST, WHOLE, ()) == FIRST


def test_each_attack_can_be_tried_once_its_lesson_was_given_and_not_before(app: App) -> None:
    machine(app, "rules first-game")
    for lesson in LESSONS:
        kind = machine(app, lesson.attack)["kind"]
        assert kind == ("odds" if lesson.brings_phases else "misread"), lesson.id
        taught = machine(app, "next lesson")
        assert taught["lesson"] == lesson.id
        assert machine(app, taught["try"])["kind"] == "odds"


def test_the_modifiers_lesson_says_what_its_odds_say(app: App) -> None:
    needs = machine(app, LESSONS[0].attack)["needs"][0]
    assert (needs["hit"], needs["save"]) == ("3+", ["4+"])
    assert "hit on 3+" in LESSONS[0].look


def test_the_half_range_lesson_says_what_its_odds_say(app: App) -> None:
    assert machine(app, LESSONS[1].attack)["mean"]["attacks"] == 20
    assert machine(app, LESSONS[1].attack.replace("at 14", "at 16"))["mean"]["attacks"] == 10


def test_the_re_roll_lesson_says_what_its_odds_say(app: App) -> None:
    assert machine(app, LESSONS[2].attack)["mean"]["hits"] == pytest.approx(7.5)
    assert machine(app, LESSONS[2].attack.replace("re-roll failed hits, ", ""))["mean"]["hits"] == pytest.approx(5)


def test_the_criticals_lesson_says_what_its_odds_say(app: App) -> None:
    assert machine(app, LESSONS[3].attack)["needs"][0]["save"] == ["5+"]


def test_two_points_of_damage_slay_a_model_of_two_wounds(app: App) -> None:
    """One unsaved wound of damage 2 slays one model of W2, until the five are gone."""
    data = machine(app, LESSONS[4].attack)
    assert data["distributions"]["slain"][1] == pytest.approx(data["distributions"]["unsaved"][1])


def test_lessons_leave_the_rules_of_a_channel_as_they_are_and_say_so(app: App) -> None:
    before = app.house.ruleset("ferry")
    for lesson in LESSONS:
        reply = app.answer(Asked("teach me", "Ann", "ferry"))
        assert reply.machine["lesson"] == lesson.id
        assert "This channel goes on playing Standard skirmish" in plain(reply, 300)
        assert app.house.ruleset("ferry") == before
    assert machine(app, "odds 10 shots hit 4+ S4 re-roll 1s to hit into T4 save 4+")["kind"] == "odds"


def test_lessons_are_given_at_an_open_table_to_whoever_asks_and_change_nothing_there(app: App) -> None:
    for words in ("open table Wardens against Kiln Guard", "sit with the Wardens"):
        assert machine(app, words)["kind"] == "table"
    assert machine(app, "next lesson", who="Ben")["lesson"] == "modifiers"
    assert app.house.ruleset("ferry") == WHOLE


def test_what_a_lesson_brings_back_to_a_first_game_at_the_table_is_for_its_opener(app: App) -> None:
    machine(app, "rules first-game")
    machine(app, "open table Wardens against Kiln Guard")
    assert machine(app, "next lesson", who="Ben")["kind"] == "misread"
    assert app.house.ruleset("ferry") == FIRST
    assert machine(app, "next lesson")["lesson"] == "modifiers"
    assert app.house.ruleset("ferry") == layered(FIRST, WHOLE, LESSONS[:1])


def test_lessons_heard_elsewhere_bring_nothing_back_to_a_first_game_begun_later(app: App) -> None:
    machine(app, "next lesson")
    machine(app, "open table Wardens against Kiln Guard with first-game")
    assert app.house.ruleset("ferry") == FIRST


def test_a_channel_that_chose_another_game_is_told_so_and_left_alone(app: App) -> None:
    machine(app, "rules difference")
    assert "lesson" not in machine(app, "next lesson")
    assert app.house.ruleset("ferry").id == "difference"


def test_a_lesson_can_be_heard_again(app: App) -> None:
    first = machine(app, "next lesson")
    assert machine(app, "lesson again") == first
    assert machine(app, "next lesson")["lesson"] == "half-range"


def test_after_the_last_lesson_nothing_is_left(app: App) -> None:
    for _ in LESSONS:
        machine(app, "next lesson")
    assert "last lesson" in machine(app, "next lesson")["said"]
    assert machine(app, "first lesson")["lesson"] == "modifiers"


def test_the_last_lesson_offers_no_next_one(app: App) -> None:
    offers = [app.answer(Asked("next lesson", "Ann", "ferry")).offers for _ in LESSONS]
    assert ["next lesson" in offered for offered in offers] == [True, True, True, True, False]
    assert "next lesson" not in app.answer(Asked("first lesson", "Ann", "ferry")).offers


def test_the_first_lesson_begins_where_none_was_given(app: App) -> None:
    assert machine(app, "first lesson")["lesson"] == "modifiers"
    assert machine(app, "next lesson")["lesson"] == "half-range"


def test_progress_belongs_to_the_channel(app: App) -> None:
    machine(app, "next lesson")
    assert machine(app, "next lesson", where="elsewhere")["lesson"] == "modifiers"


def test_choosing_the_rules_starts_the_lessons_again(app: App) -> None:
    machine(app, "next lesson")
    machine(app, "rules first-game")
    assert machine(app, "next lesson")["lesson"] == "modifiers"


def test_the_rulesets_are_listed_and_chosen_by_id_or_title(app: App) -> None:
    assert machine(app, "rules")["rulesets"] == list(RULESETS)
    for name in (*RULESETS, *(ruleset.title for ruleset in RULESETS.values())):
        machine(app, f"rules {name}")
        assert name in (app.house.ruleset("ferry").id, app.house.ruleset("ferry").title)


def test_an_unknown_ruleset_is_refused_with_those_there_are(app: App) -> None:
    data = machine(app, "rules moonlight")
    assert data["kind"] == "misread"
    assert "standard" in data["message"]


def test_the_texts_name_no_value_twice(app: App) -> None:
    """Two minutes of reading: at most 120 words, and the values come from the ruleset."""
    for lesson in LESSONS:
        assert len(lesson.text.split()) <= 120
