"""Questions get the answer of the rules, and a yes or a no only where every word was understood.

The answers are those of common practice at the table (no source); the values come from the rulesets.
"""

from __future__ import annotations

from itertools import cycle

import pytest
from asking import NEITHER, cases, fits, machine, told

from bot.app import App
from bot.asked import Asked
from bot.content import load_rulesets
from bot.glossary import Glossary
from bot.questions.asked import question_of
from bot.questions.limits import LIMITS, NUMBERS
from bot.questions.values import HOLDS, values_of
from bot.reply import Note
from resolver.movement import needed
from resolver.ruleset import ACTIONS, CONDITIONS

CASES = cases()
RULESETS = load_rulesets()
GLOSSARY = Glossary()
every_ruleset = pytest.mark.parametrize("ruleset", RULESETS.values(), ids=RULESETS)

DOING = {
    "move": "moving",
    "advance": "advancing",
    "fall back": "falling back",
    "shoot": "shooting",
    "charge": "charging",
    "fight": "fighting",
}
SAID = {
    **{f"after {action}": f"after {doing}" for action, doing in DOING.items()},
    "after failed charge": "after a failed charge",
    "engaged": "while engaged",
    "not engaged": "when it is not engaged",
    "in the other turn": "in the enemy's turn",
}
PAIRS = [(action, condition) for action in ACTIONS for condition in CONDITIONS]


@pytest.mark.parametrize("file", sorted({where.partition(":")[0] for where, _, _ in CASES}))
def test_every_question_of_a_file_gets_its_answer(adviser: App, file: str) -> None:
    rows = [row for row in CASES if row[0].startswith(f"{file}:")]
    answers = [(where, question, expected, told(machine(adviser, question))) for where, question, expected in rows]
    assert [row for row in answers if not fits(row[3], row[2])] == []


def test_there_are_questions_enough_of_both_sorts() -> None:
    """At least 260 in all, and 60 that must not be answered by yes or no."""
    assert len(CASES) >= 260
    assert sum(expected not in ("yes", "no") for _, _, expected in CASES) >= 60


def test_a_word_not_understood_forbids_yes_and_no(adviser: App) -> None:
    """Every second decided question with one of four strange words in it."""
    decided = [question for _, question, expected in CASES if expected in ("yes", "no")][::2]
    for question, strange in zip(decided, cycle(("zorbling", "flying", "undead", "scouting")), strict=False):
        first, _, rest = question.partition(" ")
        answer = told(machine(adviser, f"{first} {strange} {rest}"))
        assert answer not in ("yes", "no"), f"{first} {strange} {rest}"


@every_ruleset
def test_every_pair_of_action_and_condition_is_decided(ruleset) -> None:
    assert [pair for pair in PAIRS if ruleset.permission(*pair) is None] == []


@every_ruleset
@pytest.mark.parametrize(("action", "condition"), PAIRS)
def test_can_a_unit_do_this_after_that_is_answered_from_the_ruleset(ruleset, action: str, condition: str) -> None:
    question = question_of(f"can a unit {action} {SAID[condition]}?", GLOSSARY.lexicon, ruleset)
    verdict = GLOSSARY.judge.verdict(question, ruleset)
    permission = ruleset.permission(action, condition)
    assert verdict is not None
    assert permission is not None
    assert verdict.answer == permission.allowed
    assert verdict.entry == permission.entry


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("can a unit shoot after advancing?", "no"),
        ("can't a unit shoot after advancing?", "no"),
        ("is it illegal to shoot after advancing?", "yes"),
        ("is it against the rules to shoot after moving?", "no"),
        ("is shooting after moving forbidden?", "no"),
        ("must a unit shoot after moving?", "no"),
        ("I can't shoot after advancing, right?", "yes"),
        ("I can't shoot after advancing, can I?", "no"),
        ("am I not allowed to shoot after advancing?", None),
        ("is it not allowed to shoot after moving?", None),
        ("can I shoot or charge after advancing?", None),
    ],
)
def test_the_way_of_asking_decides_what_yes_means(adviser: App, question: str, answer: str | None) -> None:
    assert machine(adviser, question)["answer"] == answer


@pytest.mark.parametrize(
    ("question", "opening"),
    [
        ("is it true that I can't shoot after advancing?", "Not allowed. "),
        ("is it forbidden to shoot after moving?", "Allowed. "),
        ("am I not allowed to shoot after advancing?", "Not allowed. "),
        ("I don't have to charge, right?", "It need not be done. "),
        ("cover doesn't help in melee, right?", "That is so. "),
        ("extra hits don't roll to wound, right?", "Not so. "),
    ],
)
def test_what_is_allowed_opens_the_reason_where_yes_could_be_misunderstood(
    adviser: App, question: str, opening: str
) -> None:
    assert machine(adviser, question)["because"].startswith(opening)


def test_a_ruling_says_why_where_to_read_on_and_by_which_ruleset(adviser: App) -> None:
    data = machine(adviser, "can I charge after advancing?")
    assert data["ruleset"] == "standard"
    assert data["entry"] in GLOSSARY.entries
    assert "neither shoots nor charges" in data["because"]


def test_a_misspelt_word_is_read_and_said_to_be_read(adviser: App) -> None:
    reply = adviser.answer(Asked("can I shoot after advnacing?", "Ann", "ferry"))
    assert reply.machine["answer"] == "no"
    assert any("advnacing as advancing" in getattr(block, "text", "") for block in reply.blocks)


@pytest.mark.parametrize("question", ["can I see him through the window?", "is my unit in cover behind the hedge?"])
def test_what_only_players_can_see_depends_and_may_be_rolled_off(adviser: App, question: str) -> None:
    reply = adviser.answer(Asked(question, "Ann", "ferry"))
    assert reply.machine["answer"] == "depends"
    assert "roll off" in reply.offers


def test_an_uncovered_question_is_said_to_be_uncovered(adviser: App) -> None:
    data = machine(adviser, "can my transport move after its passengers got out?")
    assert data["kind"] == "unknown"
    assert "No ruling" in data["message"]
    assert "rulebook" in data["message"]


@every_ruleset
def test_every_text_can_be_filled_from_the_ruleset(ruleset) -> None:
    values = values_of(ruleset) | {"number": '30"', "half": '15"', "compared": "S8 against T4 needs 2+. "}
    for ruling in GLOSSARY.rulings.values():
        assert "{" not in (ruling.because + ruling.otherwise).format_map(values)
    for permission in ruleset.permissions:
        assert "{" not in permission.because.format_map(values)


@every_ruleset
def test_what_a_charge_needs_is_worded_from_the_ruleset(ruleset) -> None:
    """The text says what the charge itself reckons with: the lowest roll, and the gap that engages."""
    said = values_of(ruleset)["charge_needs"]
    assert said.endswith(f"at least {needed(ruleset.movement, 0)}")
    assert f"less {ruleset.movement.engaged_within:g}" in said


def test_every_shape_is_made_of_words_of_the_lexicon() -> None:
    numbers = {"inches", "number", "some-number", "modifier-number", "ordinal", "d6", "2d6", "3d6", "d3"}
    known = GLOSSARY.lexicon.concepts | numbers
    for ruling in GLOSSARY.rulings.values():
        lines = (*ruling.yes, *ruling.no, *ruling.depends, *ruling.fact, *ruling.also)
        words = {part for line in lines for word in line.split() for part in word.split("|")}
        strange = {word for word in words - known - {"must", ">"} if not word.rstrip("+").isdigit()}
        assert strange == set(), ruling.id


def test_every_ruling_hangs_on_statements_and_limits_that_exist() -> None:
    limits = {*LIMITS, *NUMBERS, ""}
    for ruling in GLOSSARY.rulings.values():
        assert ruling.holds in {*HOLDS, ""}
        assert ruling.limit in limits


def test_every_ruling_is_asked_for_by_some_question() -> None:
    heard = set()
    for _, question, _ in CASES:
        asked = question_of(question.lower(), GLOSSARY.lexicon, RULESETS["standard"])
        verdict = GLOSSARY.judge.verdict(asked, RULESETS["standard"])
        heard.add(verdict.ruling if verdict else "")
    assert set(GLOSSARY.rulings) - heard == set()


@pytest.mark.parametrize(
    ("ruleset", "question", "answer"),
    [
        ("ten-sided", "does a 10 always hit?", "yes"),
        ("ten-sided", "is a 6 always a hit?", None),
        ("first-game", "is there a command phase?", "no"),
        ("first-game", "does cover help my save?", None),
    ],
)
def test_the_answer_follows_the_ruleset(ruleset: str, question: str, answer: str | None) -> None:
    rules = RULESETS[ruleset]
    verdict = GLOSSARY.judge.verdict(question_of(question, GLOSSARY.lexicon, rules), rules)
    assert (verdict.answer if verdict else None) == answer


def test_a_feature_left_out_is_named_and_not_ruled_on() -> None:
    rules = RULESETS["first-game"]
    verdict = GLOSSARY.judge.verdict(question_of("does cover help my save?", GLOSSARY.lexicon, rules), rules)
    assert verdict is not None
    assert "without cover" in verdict.because


def test_a_house_rule_is_recorded_with_who_agreed(app: App) -> None:
    data = machine(app, "house rule: hills give cover to everyone on them (agreed by Bo, Cy)")
    entry = app.house.ledger.entry("ferry", data["id"])
    assert entry is not None
    assert entry.kind == "ruling"
    assert entry.data == {"words": "hills give cover to everyone on them", "agreed": ["Ann"]}
    assert app.answer(Asked("house rules", "Ann", "ferry")).machine["because"].endswith("(Ann)")


def test_whoever_is_named_agrees_to_a_house_rule_in_their_own_words(app: App) -> None:
    first = app.answer(Asked("house rule: hills give cover (agreed by Bo, Cy)", "Ann", "ferry"))
    assert first.blocks[-1] == Note("Named, and yet to agree by `agreed #1`: Bo, Cy.")
    assert first.offers == ("agreed #1",)
    assert app.answer(Asked("agreed #1", "Bo", "ferry")).machine["id"] == 2
    for who in ("Ann", "Bo"):
        assert "already, in #2" in app.answer(Asked("agreed #1", who, "ferry")).title
    third = app.answer(Asked("house rule: Hills give cover", "Cy", "ferry"))
    assert Note("Agreed by Ann, Bo, Cy.") in third.blocks
    assert machine(app, "house rules")["because"] == "#3 Hills give cover (Ann, Bo, Cy)"


def test_a_house_rule_is_preferred_and_marked(app: App) -> None:
    number = machine(app, "house rule: units may shoot after advancing")["id"]
    reply = app.answer(Asked("can a unit shoot after advancing?", "Bo", "ferry"))
    assert reply.machine["answer"] == "yes"
    assert reply.machine["entry"] == "house-rule"
    said = " ".join(getattr(block, "text", "") for block in reply.blocks)
    assert f"House rule #{number}, agreed by Ann" in said
    assert "neither shoots nor charges" in said


def test_a_house_rule_does_not_leave_its_channel(app: App) -> None:
    machine(app, "house rule: units may shoot after advancing")
    assert machine(app, "can a unit shoot after advancing?", where="elsewhere")["answer"] == "no"


def test_a_house_rule_about_hills_says_nothing_of_walls(app: App) -> None:
    machine(app, "house rule: hills give cover")
    assert machine(app, "do hills give cover?")["entry"] == "house-rule"
    assert machine(app, "do walls give cover?")["entry"] != "house-rule"


def test_a_house_rule_about_more_than_was_asked_gives_no_yes(app: App) -> None:
    machine(app, "house rule: light units may shoot after advancing")
    assert machine(app, "can a unit shoot after advancing?")["answer"] is None


def test_the_latest_house_rule_counts(app: App) -> None:
    machine(app, "house rule: units may shoot after advancing")
    machine(app, "house rule: units may not shoot after advancing")
    assert machine(app, "can a unit shoot after advancing?")["answer"] == "no"


def test_house_rules_are_listed(app: App) -> None:
    assert machine(app, "house rules")["because"] == "no house rules yet"
    machine(app, "house rule: hills give cover (agreed by Bo)")
    assert "hills give cover (Ann)" in machine(app, "house rules")["because"]


def test_a_house_rule_delivered_twice_is_one(app: App) -> None:
    asked = Asked("house rule: hills give cover", "Ann", "ferry", event="e1")
    first, second = app.answer(asked), app.answer(asked)
    assert first.machine == second.machine
    assert len(app.house.memory.recall("ferry")["house rules"]) == 1


def test_traps_are_among_the_questions() -> None:
    assert sum(expected == NEITHER for _, _, expected in CASES) >= 60


def test_shapes_are_tried_in_the_order_in_which_they_are_written() -> None:
    """Of two rulings that fit alike the first answers, in every run."""
    judge = GLOSSARY.judge
    near = judge._near(question_of("can I shoot twice in my turn?", GLOSSARY.lexicon, RULESETS["standard"]))
    places = [next(i for i, shape in enumerate(judge.shapes) if shape is found) for found in near]
    assert len(places) > 1
    assert places == sorted(places)
