"""Disputes, as they are typed: what was rolled, by whom, why, and whether it still comes out so."""

from __future__ import annotations

import dataclasses
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from recording import asked

from bot.app import App
from bot.channels.paint import plain
from bot.content import load_rulesets
from bot.glossary import load_glossary
from bot.house import House
from bot.ledger import Storage
from bot.reply import Reply
from bot.shown import IN_CHANNEL

ATTACK = "roll 10 attacks, hit 4+, S5, AP-1, damage 1 into T4, 5 models, save 3+, W2"
REROLLS = "roll 12 attacks, hit 4+, re-roll 1s to hit, S4, damage d3 into T4, 5 models, save 4+, W3, ignore 5+"
OWN = "roll 2 attacks, hit 4+, S4 into T4, 5 models, save 4+, W1 with dice 4 2 4 3"

Say = Callable[..., Reply]


@pytest.fixture
def house(storage: Storage) -> House:
    return House(load_rulesets(), load_glossary(), storage)


@pytest.fixture
def say(house: House) -> Say:
    """Say something as somebody, and hear the answer."""
    app = App(house)

    def say(text: str, who: str = "Ann", **about: Any) -> Reply:
        return app.answer(dataclasses.replace(asked(text, who), **about))

    return say


def battle(say: Say) -> None:
    """A table in its first shooting phase."""
    for text in ("open table Saltmarsh Wardens against Kiln Guard", "next phase", "next phase"):
        assert say(text).kind == "table"


# show


def test_show_gives_an_entry_whole(say: Say) -> None:
    rolled = say(f"please {ATTACK}", who="Ann")
    shown = say("show #1", who="Bo")
    data = shown.machine
    assert data["kind"] == "show"
    assert (data["id"], data["who"], data["ruleset"], data["page"]) == (1, "Ann", "standard", "2026-11-25-1")
    assert (data["text"], data["read"]) == (f"please {ATTACK}", rolled.machine["read"])
    assert data["when"] == "2026-11-25T20:00:00+00:00"
    assert data["needs"] == [{"hit": "4+", "wound": "3+", "save": ["4+"]}]
    assert data["reasons"] == rolled.machine["reasons"]
    assert data["answer"] == rolled.machine
    assert len(data["faces"]) == len(data["sides"]) >= 10


def test_show_is_painted_with_message_reading_and_faces(say: Say) -> None:
    say(f"please {ATTACK}")
    painted = plain(say("show #1"), 200)
    assert "#1 by Ann, 2026-11-25 20:00 UTC" in painted
    assert f"typed: please {ATTACK}" in painted
    assert f"read as: {ATTACK}" in painted
    assert "dice in the order drawn: " in painted
    assert "ruleset standard, page 2026-11-25-1" in painted


def test_show_fits_a_phone(say: Say) -> None:
    say(ATTACK)
    assert all(len(line) <= 45 for line in plain(say("show #1"), 45).splitlines())


def test_a_number_that_is_not_there_is_answered_with_the_last(say: Say) -> None:
    assert say("show #7").machine["message"] == "there is no #7 here; nothing is recorded in this channel yet"
    say("dice 3d6")
    assert say("show #7").machine["message"] == "there is no #7 here; the last one is #1"
    assert say("show #7").machine["hint"] == "log"


def test_the_last_entry_needs_no_number(say: Say) -> None:
    assert say("last roll").machine["message"] == "nothing is recorded in this channel yet"
    say(ATTACK)
    say("dice 3d6")
    assert say("show me the last roll") == say("show #2")


def test_an_edited_message_does_not_change_the_record(say: Say) -> None:
    """A channel delivers an edit under the id of the message: the recorded answer comes back, nothing is rolled."""
    first = say("dice 3d6", event="m1")
    again = say("dice 30d6", event="m1")
    assert again == first
    assert say("show #1").machine["text"] == "dice 3d6"
    assert len(say("log").machine["entries"]) == 1


# log and repeated rolls


def test_the_log_lists_the_last_entries(say: Say) -> None:
    assert say("log").title == "nothing is recorded here yet"
    for _ in range(12):
        say("dice 2d6")
    assert [entry["id"] for entry in say("log").machine["entries"]] == list(range(3, 13))
    assert [entry["id"] for entry in say("log 2").machine["entries"]] == [11, 12]
    assert say("log 2").title == "the last 2 entries"
    assert say("log 1").title == "the last entry"


def test_a_repeated_roll_is_pointed_out(say: Say) -> None:
    say(ATTACK)
    say(ATTACK, who="Bo")
    say(ATTACK)
    assert [entry["like"] for entry in say("log").machine["entries"]] == [None, None, 1]
    assert "(the same request as #1)" in plain(say("log"), 200)
    assert "repeated: #3 (like #1)" in plain(say("rolls of Ann"), 200)
    say("dice 2d6")
    say("dice 2d6")
    assert say("log").machine["entries"][-1]["like"] is None


def test_a_repeated_roll_is_found_beyond_the_shown_part_of_the_log(say: Say) -> None:
    say(ATTACK)
    say("dice 2d6")
    say(ATTACK)
    assert say("log 1").machine["entries"][0]["like"] == 1


# who rolled, rolls of


def test_who_rolled_names_the_person(say: Say) -> None:
    assert say("who rolled").machine["message"] == "nobody has rolled here yet"
    say("dice 3d6", who="Ann")
    say("dice 2d6", who="Bo")
    assert say("who rolled").title == "Bo rolled #2, 2026-11-25 20:00 UTC"
    assert say("who rolled #1").machine["who"] == "Ann"


def test_own_dice_are_told_from_rolled_ones(say: Say) -> None:
    assert say(OWN).kind == "attack"
    assert say("who rolled #1").title.startswith("Ann gave own dice for #1")
    assert "(own dice)" in plain(say("log"), 200)


def test_rolls_of_a_person_are_only_that_persons(say: Say) -> None:
    say("dice 3d6", who="Ann")
    say("dice 2d6", who="Bo")
    assert [entry["id"] for entry in say("rolls of Bo").machine["entries"]] == [2]
    assert [entry["id"] for entry in say("rolls").machine["entries"]] == [1, 2]


def test_rolls_of_somebody_unknown_are_hinted_at(say: Say) -> None:
    say("dice 3d6", who="Barbara")
    reply = say("rolls of Xaver")
    assert (reply.kind, reply.machine["hint"]) == ("misread", "rolls of Barbara")


def test_a_round_needs_a_table(say: Say) -> None:
    say("dice 3d6")
    assert "no table is open here" in say("rolls this round").machine["message"]


def test_rolls_of_a_side_and_of_its_units_this_round(say: Say) -> None:
    battle(say)
    say("dice 3d6", who="Bo")
    shot = say("Wardens shoot Kiln Guard at 14").machine["id"]
    say("Reed Runners shoot Kiln Guard at 11")
    numbers = lambda text: [entry["id"] for entry in say(text).machine["entries"]]  # noqa: E731 - a short name
    assert numbers("rolls of the Saltmarsh Wardens this round") == [shot, shot + 1]
    assert numbers("rolls of the Wardens this round") == [shot]
    assert numbers("rolls of the Kiln Guard this round") == []
    assert numbers("rolls this round") == [shot - 1, shot, shot + 1]


def test_rolls_of_an_earlier_round_are_not_of_this_one(say: Say) -> None:
    battle(say)
    say("Wardens shoot Kiln Guard at 14")
    for _ in range(8):  # the rest of this turn, and the other side's
        say("next phase")
    assert say("where are we").machine["state"]["round"] == 2
    assert say("rolls of the Wardens this round").machine["entries"] == []
    assert len(say("rolls of the Wardens").machine["entries"]) == 1


def test_what_was_undone_is_marked_and_both_tries_stay(say: Say) -> None:
    battle(say)
    first = say("Wardens shoot Kiln Guard at 14").machine["id"]
    undo = say("undo").machine["id"]
    second = say("Wardens shoot Kiln Guard at 14").machine["id"]
    assert say(f"show #{first}").machine["undone_by"] == undo
    assert say(f"show #{second}").machine["second_try"] == first
    painted = plain(say("log"), 300)
    assert f"(undone by #{undo})" in painted
    assert f"(second try after #{first})" in painted


def test_what_was_mended_is_marked_on_both_entries(say: Say) -> None:
    battle(say)
    first = say("Wardens shoot Kiln Guard at 14").machine["id"]
    mend = say(f"correct #{first} T4").machine["id"]
    assert say(f"show #{first}").machine["mended_by"] == mend
    assert say(f"show #{mend}").machine["mends"] == first
    assert say(f"recheck #{mend}").machine["same"]


# recheck and why


@pytest.mark.parametrize("attack", [ATTACK, REROLLS, OWN])
def test_a_recheck_comes_out_the_same(say: Say, attack: str) -> None:
    assert say(attack).kind == "attack"
    reply = say("recheck #1")
    assert reply.machine == {"kind": "recheck", "id": 1, "same": True, "differences": [], "faults": []}
    assert reply.title == "#1 comes out the same"


def test_a_recheck_of_an_attack_by_name_comes_out_the_same(say: Say) -> None:
    battle(say)
    number = say("Wardens shoot Kiln Guard at 14").machine["id"]
    assert say(f"recheck #{number}").machine["same"]


def test_a_recheck_under_changed_rules_says_what_differs(say: Say, house: House) -> None:
    say(ATTACK)
    standard = house.rulesets["standard"]
    harder = dataclasses.replace(standard, cover=standard.cover, best_save=5)
    changed = App(dataclasses.replace(house, rulesets={**house.rulesets, "standard": harder}))
    reply = changed.answer(asked("recheck #1"))
    assert reply.title == "#1 differs"
    assert any(said.startswith("needs: recorded [{'hit': '4+'") for said in reply.machine["differences"])


def test_a_recheck_finds_a_changed_row(say: Say, file: Path) -> None:
    say(ATTACK)
    with closing(sqlite3.connect(file)) as database, database:
        database.execute("""UPDATE entries SET data = replace(data, '"damage"', '"Damage"')""")
    assert say("recheck #1").machine["faults"] == ["#1 was changed: its data is not what was written."]
    with closing(sqlite3.connect(file)) as database, database:
        database.execute("""UPDATE entries SET data = replace(data, '"Damage"', '"damage"'), who = 'Bo'""")
    reply = say("recheck #1")
    assert reply.machine["faults"] == ["#1 was changed: its who is not what was written."]
    assert not reply.machine["same"]


def test_other_dice_have_nothing_to_replay(say: Say) -> None:
    say("dice 3d6")
    assert "nothing to replay" in plain(say("recheck #1"), 200)


def test_why_tells_the_needs_and_reasons_of_a_roll(say: Say) -> None:
    say(ATTACK)
    reply = say("why #1", who="Bo")
    assert reply.machine["needs"] == [{"hit": "4+", "wound": "3+", "save": ["4+"]}]
    assert "strength 5 against toughness 4: stronger, so 3+" in reply.machine["reasons"]


def test_why_alone_is_about_the_last_attack_that_all_saw_whoever_asks(say: Say) -> None:
    assert say("why").machine["hint"] == "10 attacks, hit 4+, S5 into T4, save 3+"
    say(ATTACK.replace("roll", "odds"))
    for who in ("Ann", "Bo"):
        assert say("why", who=who).title.startswith("why: odds 10 attacks")
        assert say("why", who=who).machine["needs"] == [{"hit": "4+", "wound": "3+", "save": ["4+"]}]
    say(ATTACK)
    assert say("why", who="Bo").title.startswith("why: #1 roll 10 attacks")


def test_why_after_a_mend_is_about_the_mended_attack_and_says_so(say: Say) -> None:
    say(ATTACK)
    say(ATTACK.replace("roll", "odds").replace("S5", "S8"))
    mended = say("correct #1 T5")
    assert say("why").title.startswith("why: #2 ")
    assert say("why").machine["needs"] == mended.machine["needs"]


def test_odds_that_one_person_saw_apart_are_explained_to_that_person_alone(say: Say) -> None:
    say(ATTACK)
    say("odds 3 attacks, hit 2+, S8 into T4, save 6+", private=True)
    assert say("why").title.startswith("why: odds 3 attacks")
    assert say("why", who="Bo").title.startswith("why: #1 ")
    say(ATTACK.replace("roll", "odds"), who="Bo")
    assert say("why").title.startswith("why: odds 10 attacks")
    say("odds 3 attacks, hit 2+, S8 into T4, save 6+", private=True)
    say(ATTACK, who="Bo")
    assert say("why").title.startswith("why: #2 ")
    say("dice 3d6", who="Bo")
    assert say("why").title == "why: #3 dice 3d6"


def test_asking_why_leaves_what_the_asker_spoke_of_as_it_was(say: Say) -> None:
    battle(say)
    say("odds Wardens shoot Kiln Guard at 14")
    say("why", who="Bo")
    assert say("roll it", who="Bo").kind == "misread"


def test_the_last_attack_of_the_record_is_explained_where_nothing_is_remembered(say: Say, house: House) -> None:
    say(ATTACK)
    house.memory.remember("low-ferry", IN_CHANNEL, {})
    assert say("why").title.startswith("why: #1 ")


def test_odds_by_name_that_no_table_knows_any_more_are_complained_of(say: Say) -> None:
    battle(say)
    say("odds Wardens shoot Kiln Guard at 14")
    say("close table")
    assert say("why").title.startswith("those odds cannot be had any more: ")


def test_why_names_the_groups_of_a_mixed_unit_as_the_roll_does(say: Say) -> None:
    battle(say)
    rolled = say("Kiln Guard fight Wardens anyway")
    shown = plain(say("why"), 200)
    assert "save 6+ (rifles and punt gunner) / 5+ (reeve)" in shown
    for told in ("reeve: AP-1 turns a 4+ save into 5+", "rifles and punt gunner: AP-1 turns a 5+ save into 6+"):
        assert told in shown
    assert "group" not in shown
    number = rolled.machine["id"]
    assert "group" not in plain(say(f"show #{number}"), 200)


def test_why_tells_the_reasons_of_each_weapon_under_it(say: Say) -> None:
    battle(say)
    say("Wardens shoot Kiln Guard at 14")
    rows = plain(say("why"), 200).splitlines()
    rifle = rows.index("8 models: rifle, hit 4+, wound 5+, save 2+")
    gun = rows.index("1 model: punt gun, hit 4+, wound 3+, save 4+")
    assert rifle < rows.index("half range adds 1 attack for each model") < gun
    assert rows.index("AP-2 turns a 2+ save into 4+") > gun


def test_why_is_about_an_attack_by_name_as_its_roll_found_the_table(say: Say) -> None:
    battle(say)
    reckoned = say("odds Wardens shoot Kiln Guard at 14")
    assert say("why").machine["reasons"] == reckoned.machine["reasons"]
    rolled = say("Wardens shoot Kiln Guard at 14")
    reply = say("why")
    assert reply.title == f"why: #{rolled.machine['id']} Wardens shoot Kiln Guard at 14"
    assert reply.machine["needs"] == rolled.machine["needs"]
    say(ATTACK)
    assert say("why").machine["needs"] == [{"hit": "4+", "wound": "3+", "save": ["4+"]}]


def test_why_of_what_has_no_dice_is_complained_of(say: Say) -> None:
    battle(say)
    assert say("why #1").machine["message"] == "#1 is no attack, so it has no needs"


# forget me


def test_a_person_is_forgotten_by_their_own_word(say: Say) -> None:
    say("dice 3d6", who="Ann")
    reply = say("forget me", who="Ann")
    assert (reply.machine["entries"], reply.private) == (1, True)
    assert say("show #1").title.startswith("#1 by someone (forgotten)")
    assert "(removed at the person's wish)" in plain(say("show #1"), 200)
    assert say("recheck #1").machine["same"]


def test_who_sits_at_the_table_is_forgotten_there_too(say: Say) -> None:
    battle(say)
    say("sit with Saltmarsh Wardens", who="Barbara")
    assert "Barbara" in str(say("where are we").machine)
    say("forget me", who="Barbara")
    assert "Barbara" not in str(say("where are we").machine)
    assert "Barbara" not in plain(say("log"), 200)
