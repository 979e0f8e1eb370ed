"""Who may do what: seats act for their own side, the other side agrees, spectators ask."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.app import App
from bot.asked import Asked
from bot.reply import Line, Reply
from tests.conversation import say
from tests.table.play import events, play, state, table, unit


@pytest.fixture
def seated(tmp_path: Path) -> Iterator[App]:
    """Ann with the Wardens, Ben with the Kiln Guard, Cleo looks on; Ada opened the table."""
    with table(tmp_path, "go to the shooting phase") as app:
        play(app, "sit with the Wardens", who="Ann")
        play(app, "I'll play the Kiln Guard", who="Ben")
        yield app


def seats(app: App) -> dict[str, list[str]]:
    return {side["name"]: side["seats"] for side in state(app)["sides"]}


def test_nobody_sits_so_anyone_may_act(tmp_path: Path) -> None:
    with table(tmp_path, "go to the shooting phase") as app:
        play(app, "Wardens shoot the Kiln Guard at 14", who="Somebody")


def test_people_sit_down_and_leave(seated: App) -> None:
    assert seats(seated) == {"Saltmarsh Wardens": ["Ann"], "Kiln Guard": ["Ben"]}
    play(seated, "leave", who="Ben")
    assert seats(seated)["Kiln Guard"] == []


def test_a_seat_acts_for_its_units_and_ends_its_phase(seated: App) -> None:
    play(seated, "Wardens shoot the Kiln Guard at 14", "next phase", who="Ann")
    assert state(seated)["phase"] == "charge"


def test_an_action_for_somebody_elses_unit_is_asked_about_and_happens_once_agreed(seated: App) -> None:
    (asked,) = play(seated, "Wardens shoot the Kiln Guard at 14", who="Ben")
    assert asked.kind == "table"
    assert asked.machine["of"] == ["Saltmarsh Wardens"]
    assert unit(seated, "Wardens")["did"] == []
    assert "asked of the" in say(seated, "agreed", "Ben").title
    (rolled,) = play(seated, "agreed", who="Ann")
    assert rolled.kind == "attack"
    entry = seated.house.ledger.entry("low-ferry", rolled.machine["id"])
    assert entry is not None
    assert (entry.who, entry.data["event"]["agreed"]["by"]) == ("Ben", "Ann")
    assert unit(seated, "Wardens")["did"] == ["shot"]
    assert say(seated, "agreed", "Ann").title == f"That is settled already: #{rolled.machine['id']}."


def test_what_is_not_agreed_does_not_happen(seated: App) -> None:
    assert "nothing is waiting" in say(seated, "agreed", "Ann").title
    play(seated, "undo", who="Ben")
    (declined,) = play(seated, "not agreed", who="Ann")
    assert state(seated)["phase"] == "shooting"
    assert say(seated, "agreed", "Ann").title == f"That is settled already: #{declined.machine['id']}."


def test_an_agreed_undo_leaves_nothing_waiting(seated: App) -> None:
    play(seated, "Wardens shoot the Kiln Guard at 14", who="Ann")
    play(seated, "undo", who="Ben")
    play(seated, "agreed", who="Ann")
    assert unit(seated, "Wardens")["did"] == []
    assert say(seated, "agreed", "Ann").kind == "settled"


def test_the_other_side_does_not_end_the_phase(seated: App) -> None:
    play(seated, "next phase", who="Ben")
    assert state(seated)["phase"] == "shooting"


@pytest.mark.parametrize(
    "message",
    [
        "Wardens shoot the Kiln Guard at 14",
        "next phase",
        "undo",
        "Kiln Guard has 3 models left",
        "score Wardens 5",
        "back",
        "Wardens are 14 from the Kiln Guard",
    ],
)
def test_spectators_may_only_ask(seated: App, message: str) -> None:
    before = events(seated)
    reply = say(seated, message, "Cleo")
    assert reply.kind == "misread"
    assert "you are watching" in reply.title
    assert events(seated) == before


@pytest.mark.parametrize("question", ["what now", "where are we", "units", "can the Wardens shoot?", "unit Wardens"])
def test_spectators_are_answered(seated: App, question: str) -> None:
    assert say(seated, question, "Cleo").kind in ("table", "ruling")


def test_one_mends_ones_own_and_asks_for_the_rest(seated: App) -> None:
    play(seated, "Kiln Guard lost 1 wound because of the ford", who="Ben")
    assert unit(seated, "Kiln Guard")["groups"][0]["lost"] == 1
    play(seated, "Kiln Guard lost 1 wound", who="Ann")
    assert unit(seated, "Kiln Guard")["groups"][0]["lost"] == 1
    play(seated, "agreed", who="Ben")
    assert unit(seated, "Kiln Guard")["groups"][0]["lost"] == 2


def test_a_correction_that_was_agreed_is_settled_and_waits_no_longer(seated: App) -> None:
    play(seated, "Reed Runners shoot the Ember Crew at 14", who="Ann")
    roll = events(seated)
    play(seated, f"correct #{roll} T4", who="Ben")
    (mended,) = play(seated, "agreed", who="Ann")
    assert mended.machine["mends"] == roll
    assert not _waiting(seated)
    again = say(seated, "agreed", "Ann")
    assert again.title == f"That is settled already: #{mended.machine['id']}."
    assert say(seated, "not agreed", "Ann").machine["said"].endswith(f"settled: #{mended.machine['id']}")
    play(seated, f"undo #{mended.machine['id']}", who="Ada")
    assert say(seated, "agreed", "Ann").title == f"That is settled already: #{mended.machine['id']}."
    assert not _waiting(seated)


def test_of_several_things_asked_each_is_answered_by_itself_and_none_comes_back(seated: App) -> None:
    play(seated, "Reed Runners shoot the Ember Crew at 14", who="Ann")
    roll = events(seated)
    old, _ = play(seated, f"correct #{roll} T4", "Wardens lost 2 wounds", who="Ben")
    (new,) = play(seated, f"correct #{roll} T5", who="Ben")
    first, loss, second = (roll + more for more in (1, 2, 3))
    assert f"in place of #{first}" in new.title
    assert f"#{second} was asked in its place" in _pressed(seated, "agreed", old).title
    which = say(seated, "agreed", "Ann")
    text = f"correct #{roll} T5"
    assert which.machine["choices"] == [f"agreed #{loss}: Wardens lost 2 wounds", f"agreed #{second}: {text}"]
    assert "something else: Wardens lost 2 wounds" in say(seated, f"agreed #{loss}: {text}", "Ann").title
    mended = seated.house.ledger.entry("low-ferry", _pressed(seated, "agreed", new).machine["id"])
    assert mended is not None
    assert mended.data["changes"] == ["T5"]
    assert "any more" in say(seated, f"agreed #{first}", "Ann").title
    assert say(seated, f"not agreed #{second}", "Ann").kind == "settled"
    play(seated, "agreed", who="Ann")
    assert unit(seated, "Wardens")["models_left"] == 8
    assert say(seated, "agreed", "Ann").kind == "settled"


def _pressed(app: App, text: str, under: Reply) -> Reply:
    """What comes of a button that Ann presses."""
    return app.answer(Asked(text=text, who="Ann", where="low-ferry", question=under.asks))


def test_an_opener_whose_name_was_removed_is_told_as_that(seated: App) -> None:
    assert "only Ada, who opened the table, or" in say(seated, "unseat Ben", "Ann").title
    say(seated, "forget me", "Ada")
    assert say(seated, "unseat Ben", "Ann").title == (
        "only the opener, whose name was removed, or a moderator unseats other people"
    )


def test_the_opener_seats_and_unseats_so_that_nobody_is_locked_out(seated: App) -> None:
    assert "only Ada" in say(seated, "unseat Ben", "Ann").title
    play(seated, "unseat Ben", "seat Dora with the Kiln Guard", who="Ada")
    assert seats(seated)["Kiln Guard"] == ["Dora"]


def test_a_moderator_may_unseat_and_close(seated: App) -> None:
    ask = Asked(text="unseat Ben", who="Mod", where="low-ferry", moderator=True)
    assert seated.answer(ask).kind == "table"
    assert seated.answer(Asked(text="close table", who="Mod", where="low-ferry", moderator=True)).kind == "table"
    assert not state_after_close(seated)["open"]


def state_after_close(app: App) -> dict[str, object]:
    found: dict[str, object] = say(app, "report").machine["state"]
    return found


@pytest.mark.parametrize("who", ["Ann", "Ben", "Cleo"])
def test_only_the_opener_or_a_moderator_closes_the_table(seated: App, who: str) -> None:
    before = events(seated)
    assert say(seated, "close table", who).title == "only Ada, who opened the table, or a moderator closes it"
    assert events(seated) == before
    play(seated, "close table")
    assert not state_after_close(seated)["open"]


def test_with_nobody_seated_too_only_whoever_opened_the_table_closes_it(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        assert "only Ada" in say(app, "close table", "Ben").title
        play(app, "close table")


def test_what_somebody_else_did_is_undone_when_one_of_those_asked_agrees(seated: App) -> None:
    play(seated, "sit with the Wardens", who="Dora")
    for agrees in ("Ann", "Ben", "Ada"):
        (scored,) = play(seated, "score Wardens 3", who="Ann")
        (asked,) = play(seated, f"undo #{scored.machine['id']}", who="Dora")
        assert "asked of Ann, Ada or Kiln Guard (Ben)" in asked.title
        assert (asked.machine["of"], asked.machine["people"]) == (["Kiln Guard"], ["Ann", "Ada"])
        assert "one of them says `agreed`" in say(seated, "agreed", "Dora").title
        assert "undone" in play(seated, "agreed", who=agrees)[0].title
        assert state(seated)["sides"][0]["score"] == 0


def test_with_nobody_seated_what_somebody_else_did_is_undone_by_them_or_the_opener(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        (scored,) = play(app, "score Wardens 3", who="Ben")
        (asked,) = play(app, "undo", who="Cleo")
        assert "asked of Ben or Ada: undo" in asked.title
        assert "that was asked of Ben" in say(app, "agreed", "Dora").title
        assert f"undone: #{scored.machine['id']}" in play(app, "agreed", who="Ben")[0].title
        play(app, "score Wardens 4", who="Ben")
        assert "undone" in play(app, "undo", who="Ben")[0].title


def test_where_nobody_can_be_asked_it_is_said_who_may_undo(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        play(app, "score Wardens 3")
        say(app, "forget me")
        before = events(app)
        assert "only the opener, whose name was removed, or a moderator undoes" in say(app, "undo", "Cleo").title
        assert events(app) == before


def test_a_closed_table_is_opened_again_by_whoever_may_close_it(seated: App) -> None:
    play(seated, "close table")
    assert "only Ada" in say(seated, "undo", "Ann").title
    play(seated, "undo")
    assert state(seated)["open"]


def test_a_name_that_is_forgotten_stands_in_no_request_and_no_house_rule(seated: App) -> None:
    play(seated, "score Wardens 3", "house rule: hills give cover", who="Ann")
    play(seated, "agreed", who="Ben")
    play(seated, "undo", who="Ben")
    say(seated, "forget me", "Ann")
    kept = [str((entry.data, entry.reply.machine)) for entry in seated.house.ledger.entries("low-ferry")]
    assert not any("Ann" in words for words in kept)


def test_undo_takes_back_what_one_asked_last_before_what_was_played(seated: App) -> None:
    play(seated, "score Kiln Guard 3", "Wardens lost 2 wounds", who="Ben")
    (undone,) = play(seated, "undo", who="Ben")
    assert "undone" in undone.title
    assert "asked of Saltmarsh Wardens" in undone.title
    assert not _waiting(seated)
    play(seated, "undo", who="Ben")
    assert state(seated)["sides"][1]["score"] == 0


def test_a_request_for_what_its_owner_does_unasked_waits_no_longer(seated: App) -> None:
    play(seated, "Wardens shoot the Kiln Guard at 14", "score Wardens 2", who="Ben")
    play(seated, "Wardens shoot the Kiln Guard at 14", "score Wardens 2", who="Ann")
    assert not _waiting(seated)
    assert say(seated, "agreed", "Ann").kind == "settled"


@pytest.mark.parametrize("message", ["Kiln Guard takes 2 wounds from the pit", "allocate Kiln Guard: cooks"])
def test_what_cannot_be_done_is_asked_of_nobody(seated: App, message: str) -> None:
    before = events(seated)
    assert "which group" in say(seated, message, "Ann").title
    assert "you are watching" in say(seated, message, "Cleo").title
    assert events(seated) == before


def test_what_can_be_done_no_more_is_told_when_it_is_agreed_to_and_waits_no_longer(seated: App) -> None:
    play(seated, "Kiln Guard lost 3 wounds", who="Ann")
    play(seated, "Kiln Guard has 0 models left", who="Ben")
    (told,) = play(seated, "agreed", who="Ben")
    assert "it can't be done, and waits no longer: Kiln Guard lost 3 wounds" in told.title
    assert "can lose only 0" in told.machine["said"]
    assert not _waiting(seated)


@pytest.mark.parametrize("message", ["Reed Runners charge the Ember Crew", "Wardens advance", "Reed Runners fight"])
def test_the_ruleset_and_what_is_missing_are_spoken_of_before_the_other_side_is_asked(
    seated: App, message: str
) -> None:
    before = events(seated)
    assert say(seated, message, "Ben").kind in ("choice", "misread")
    assert events(seated) == before


def test_a_seated_player_scores_for_their_own_side(seated: App) -> None:
    scores = {"I score 2": 2, "score +3": 5, "my score is 4": 4, "score -1": 3, "we got 2 points": 5, "score 1": 1}
    for message, score in scores.items():
        play(seated, message, who="Ben")
        assert [side["score"] for side in state(seated)["sides"]] == [0, score]
    assert say(seated, "score +3").machine["choices"] == ["score Saltmarsh Wardens +3", "score Kiln Guard +3"]


def test_a_spectator_brings_no_roster_and_nobody_but_the_opener_a_side_more(seated: App) -> None:
    roster = "Reds: M5 T5 W3 Sv2+, 5 models, hammer A3 WS3+ S6 AP-1 damage 2"
    for message in ("load Kiln Guard as Reds", "load Kiln Guard", f"roster for Reds\n{roster}"):
        assert "you are watching" in say(seated, message, "Cleo").title
    for message in ("load Kiln Guard as Reds", f"roster for Reds\n{roster}"):
        assert "only Ada, who opened the table, or a moderator adds a side" in say(seated, message, "Ben").title
    assert len(state(seated)["sides"]) == 2
    play(seated, "load Kiln Guard as Reds")
    assert len(state(seated)["sides"]) == 3


def _waiting(app: App) -> list[str]:
    """What is asked of somebody and not answered."""
    lines = [block.text for block in say(app, "where are we").blocks if isinstance(block, Line)]
    return [line for line in lines if line.startswith("waiting")]


def test_whoever_sits_may_play_a_side_on_which_nobody_sits(seated: App) -> None:
    play(seated, "leave", who="Ben")
    play(seated, "Kiln Guard lost 1 wound", who="Ann")
    assert unit(seated, "Kiln Guard")["groups"][0]["lost"] == 1


def test_sitting_beside_somebody_when_one_plays_the_other_side_is_asked_of_them(seated: App) -> None:
    play(seated, "sit with the Kiln Guard", who="Ann")
    assert seats(seated) == {"Saltmarsh Wardens": ["Ann"], "Kiln Guard": ["Ben"]}
    play(seated, "leave", "sit with the Kiln Guard", who="Ann")
    assert seats(seated) == {"Saltmarsh Wardens": [], "Kiln Guard": ["Ben"]}
    play(seated, "agreed", who="Ben")
    play(seated, "sit with the Kiln Guard", who="Dora")
    assert seats(seated) == {"Saltmarsh Wardens": [], "Kiln Guard": ["Ben", "Ann", "Dora"]}


def test_nobody_agrees_to_what_they_asked_themselves(seated: App) -> None:
    play(seated, "score Wardens 3", who="Ben")
    play(seated, "seat Ben with the Wardens")
    assert "one of them says `agreed`" in say(seated, "agreed", "Ben").title
    play(seated, "not agreed", who="Ben")


def test_own_dice_count_once_both_sides_have_said_so(seated: App) -> None:
    (first,) = play(seated, "own dice yes", who="Ann")
    assert "waiting for the Kiln Guard" in first.machine["said"]
    (second,) = play(seated, "own dice yes", who="Ben")
    assert second.machine["said"].startswith("own dice count")
    play(seated, "own dice no", who="Ann")
    assert not any(side["own_dice"] for side in state(seated)["sides"])


def test_agreed_is_enough_for_own_dice(seated: App) -> None:
    play(seated, "own dice yes", who="Ann")
    play(seated, "agreed", who="Ben")
    assert all(side["own_dice"] for side in state(seated)["sides"])


def test_the_first_turn_is_not_taken_but_given(seated: App) -> None:
    play(seated, "back", "back", who="Ann")
    assert state(seated)["turn"] == "Saltmarsh Wardens"
    play(seated, "Kiln Guard go first", who="Ann")
    assert state(seated)["turn"] == "Kiln Guard"


def test_nobody_leaves_a_table_without_sides(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        play(app, "close table", "open table")
        assert "Ada has no seat here; seated: nobody" in say(app, "leave").title


@pytest.mark.parametrize(("who", "moderator"), [("Ada", False), ("Cleo", True)], ids=["opener", "moderator"])
def test_the_opener_and_moderators_undo_what_anybody_did(seated: App, who: str, moderator: bool) -> None:
    (struck,) = play(seated, "Wardens shoot the Kiln Guard at 14", who="Ann")
    reply = seated.answer(Asked(f"undo #{struck.machine['id']}", who, "low-ferry", moderator=moderator))
    assert "undone" in reply.title
    assert unit(seated, "Wardens")["did"] == []


@pytest.mark.parametrize("change", ["rules first-game", 'call "rattle" half range double attacks'])
def test_nobody_but_the_opener_and_moderators_changes_the_rules_of_an_open_table(seated: App, change: str) -> None:
    before = seated.house.memory.recall("low-ferry")
    for who in ("Ann", "Cleo"):
        assert "only Ada, who opened the table, or a moderator" in say(seated, change, who).title
    assert seated.house.memory.recall("low-ferry") == before
    assert seated.answer(Asked(change, "Mod", "low-ferry", moderator=True)).shared
    assert seated.house.memory.recall("low-ferry") != before


def test_a_way_out_is_one_that_the_asker_may_take(seated: App) -> None:
    watching, opener = say(seated, "next phase", "Cleo"), say(seated, "next phase")
    assert watching.offers == ("sit with Saltmarsh Wardens", "sit with Kiln Guard")
    assert watching.machine["hint"] == "sit with Saltmarsh Wardens"
    assert "you opened the table, but sit on no side" in opener.title
    assert say(seated, "rules first-game", "Cleo").machine["hint"] is None
    ways = [say(seated, "open table", who).machine["hint"] for who in ("Cleo", "Ann", "Ada")]
    assert ways == ["where are we", "where are we", "close table"]
    say(seated, "leave", "Ann")
    assert say(seated, "next phase", "Cleo").offers == ("sit with Saltmarsh Wardens",)


def test_a_house_rule_at_a_table_is_asked_of_the_other_side(seated: App) -> None:
    (asked,) = play(seated, "house rule: Ann always wins (agreed by Ben and Cleo)", who="Ann")
    assert "asked of Kiln Guard (Ben): house rule: Ann always wins" in asked.title
    assert asked.offers == ("agreed", "not agreed")
    assert say(seated, "house rules").machine["because"] == "no house rules yet"
    (ruled,) = play(seated, "agreed", who="Ben")
    assert "(Ann, Ben)" in say(seated, "house rules").machine["because"]
    assert not _waiting(seated)
    assert say(seated, "agreed", "Ben").kind == "settled"
    assert "a house rule stays" in say(seated, f"undo #{ruled.machine['id']}").title


def test_whoever_runs_the_table_and_plays_no_side_rules_at_once(seated: App) -> None:
    (ruled,) = play(seated, "house rule: hills give cover")
    play(seated, f"agreed #{ruled.machine['id']}", who="Ben")
    assert "hills give cover (Ada, Ben)" in say(seated, "house rules").machine["because"]


@pytest.mark.parametrize("message", ["roll off", "rest", "reveal", "cut cake", "house rule: Cleo always wins"])
def test_a_spectator_does_not_act_for_the_table(seated: App, message: str) -> None:
    assert "you are watching" in say(seated, message, "Cleo").title
    assert "you are watching" not in say(seated, message, "Ann").title
