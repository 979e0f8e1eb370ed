"""Opening, phases, the first turn, where we are, what now, scores: the course of a game."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.channels.paint import plain
from bot.content import dump, load_rosters
from bot.reply import Line
from tests.conversation import say, umpire
from tests.table.play import events, play, state, table, unit


def test_two_people_open_a_game_in_one_short_message(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        (reply,) = play(app, "let's play Wardens against Kiln Guard")
        found = reply.machine["state"]
        assert [side["name"] for side in found["sides"]] == ["Saltmarsh Wardens", "Kiln Guard"]
        assert (found["open"], found["round"], found["phase"], found["over"]) == (True, 1, "command", False)
        assert [u["models_left"] for u in found["sides"][1]["units"]] == [6, 4]


def test_a_table_opens_without_sides_and_fills_from_the_shelf(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        play(app, "open a table with the first game ruleset", "load wardens", "load the kiln guard")
        assert state(app)["ruleset"] == "first-game"
        assert [len(side["units"]) for side in state(app)["sides"]] == [2, 2]


def test_a_side_that_is_called_otherwise_is_asked_which_roster_it_plays(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        play(app, "open table Reds against Blues")
        asked = say(app, "load Kiln Guard")
        assert asked.machine["choices"] == [
            "load Kiln Guard as Reds",
            "load Kiln Guard as Blues",
        ]
        assert say(app, "2").machine["state"]["sides"][1]["units"][0]["name"] == "Kiln Guard"


def test_a_channel_holds_one_open_table(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        reply = say(app, "new game Wardens against Kiln Guard")
        assert "a table is open here already (#1)" in reply.title
        play(app, "close table", "new game Wardens against Kiln Guard")


@pytest.mark.parametrize("message", ["open table Wardens", "open table A against A"])
def test_an_opening_that_cannot_be_is_refused(tmp_path: Path, message: str) -> None:
    with umpire(tmp_path) as app:
        assert say(app, message).kind in ("misread", "choice")
        assert events(app) == 0


def test_a_pasted_roster_is_exported_as_it_came(tmp_path: Path) -> None:
    text = dump(load_rosters()["Kiln Guard"])
    with umpire(tmp_path) as app:
        play(app, "open table Saltmarsh Wardens against Kiln Guard", f"roster\n{text}")
        (reply,) = play(app, "export the roster of the Kiln Guard")
        about = text[text.index("about:") :]
        assert reply.machine["roster"] == text.replace(about, "")
        play(app, f"roster for Kiln Guard:\n```yaml\n{reply.machine['roster']}```")
        assert say(app, "export Kiln Guard").machine["roster"] == reply.machine["roster"]


def test_a_roster_with_mistakes_is_complained_of_line_by_line_and_nothing_is_kept(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        before = events(app)
        reply = say(
            app, "roster\nside: Kiln Guard\nunits:\n  - name: X\n    move: fast\n    toughness: 3\n    groups: []\n"
        )
        assert reply.kind == "misread"
        assert "roster:4" in reply.machine["message"]
        assert events(app) == before


def test_units_are_typed_as_one_reads_them_off_a_card(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        play(
            app,
            "open table Reds against Blues",
            "roster for Reds\nPikes: M5 T4 W1 Sv5+, 10 models, pike A1 WS4+ S4\n"
            "Bows: M6 T3, 5 models Sv6+, bow range 24 A1 BS4+ S3",
            "add to Blues: Club Men: M6 T4, 4 models W2 Sv5+, club A2 WS4+ S4 AP-1",
        )
        assert [[u["name"] for u in side["units"]] for side in state(app)["sides"]] == [["Pikes", "Bows"], ["Club Men"]]
        assert unit(app, "Pikes")["models"] == 10


def test_the_roll_off_decides_the_first_turn_and_is_recorded(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        play(app, "open table Saltmarsh Wardens against Kiln Guard")
        (reply,) = play(app, "roll off for the first turn")
        entry = app.house.ledger.entry("low-ferry", reply.machine["id"])
        assert entry is not None
        first, second = entry.faces[-2:]
        winner = "Saltmarsh Wardens" if first > second else "Kiln Guard"
        assert first != second
        assert state(app)["turn"] == winner


def test_a_roll_off_in_mid_game_settles_a_dispute_and_changes_no_turn(tmp_path: Path) -> None:
    with table(tmp_path, "next phase") as app:
        before = state(app)
        (reply,) = play(app, "roll off")
        assert "win it" in reply.machine["said"]
        assert state(app) == before


def test_phases_follow_the_ruleset_round_by_round_to_the_end(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        seen = [(state(app)["round"], state(app)["turn"], state(app)["phase"])]
        for _ in range(10):
            play(app, "next phase")
            seen.append((state(app)["round"], state(app)["turn"], state(app)["phase"]))
        phases = ["command", "movement", "shooting", "charge", "fight"]
        turns = [(1, "Saltmarsh Wardens"), (1, "Kiln Guard"), (2, "Saltmarsh Wardens")]
        assert seen == [(*turns[i // 5], phases[i % 5]) for i in range(11)]
        play(app, *["end turn"] * 8)
        assert state(app)["over"]
        assert "the game is over after 5 rounds" in say(app, "next phase").title


@pytest.mark.parametrize(
    "message",
    ["end the shooting phase", "finished with the Kiln Guard's command phase", "end my command phase of round 2"],
)
def test_only_the_phase_that_is_played_can_be_ended(tmp_path: Path, message: str) -> None:
    with table(tmp_path) as app:
        assert "it is not that phase now: it is round 1" in say(app, message).title
        assert "movement phase" in say(app, "I end the Saltmarsh Wardens' command phase of round 1").title


def test_a_phase_in_which_nothing_can_be_done_says_so(tmp_path: Path) -> None:
    with table(tmp_path, "go to the charge phase") as app:
        assert say(app, "next phase").blocks == (Line("nothing to declare in this phase"),)


def test_the_first_game_has_no_command_phase(tmp_path: Path) -> None:
    with table(tmp_path, ruleset="first-game") as app:
        assert state(app)["phase"] == "movement"


def test_a_phase_is_stepped_back_and_what_was_done_stays_done(tmp_path: Path) -> None:
    with table(tmp_path, "next phase", "Wardens move", "next phase", "back") as app:
        assert state(app)["phase"] == "movement"
        assert unit(app, "Wardens")["did"] == ["moved"]
        play(app, "back")
        assert "this is where the game begins" in say(app, "back").title


def test_where_are_we_gives_round_side_phase_what_is_left_and_the_last_three_events(tmp_path: Path) -> None:
    with table(tmp_path, "next phase", "Reed Runners advance", "Wardens lost 2 models", "score Wardens 3") as app:
        said = say(app, "where are we").machine["said"]
        assert said.startswith("round 1 of 5, the Saltmarsh Wardens' movement phase")
        assert "Saltmarsh Wardens: score 3" in said
        assert "Wardens: 8 of 10 models (rifles 6 of 8)" in said
        assert [line.split(" ")[0] for line in said.splitlines()[-3:]] == ["#4", "#5", "#6"]


def test_what_now_lists_what_each_may_still_do_and_why_not(tmp_path: Path) -> None:
    with table(tmp_path, "next phase", "Reed Runners advance") as app:
        data = say(app, "what now").machine
        wardens, runners = data["units"]
        assert wardens == {
            "unit": "Wardens",
            "may": ["move", "advance"],
            "later": ["shoot", "charge", "fight"],
            "not": wardens["not"],
        }
        assert runners["not"]["shoot"] == "they advanced this turn (#4)"
        assert (
            "Reed Runners: later fight; no move, advance, shoot or charge: they advanced this turn (#4)" in data["said"]
        )
        assert "Kiln Guard" not in data["said"]


def test_a_fight_that_nobody_fought_is_pointed_out(tmp_path: Path) -> None:
    with table(tmp_path, "Wardens are engaged with the Kiln Guard", "go to the fight phase") as app:
        assert "not fought yet: Wardens and Kiln Guard" in plain(play(app, "next phase")[0], 200)


def test_scores_are_set_and_raised(tmp_path: Path) -> None:
    with table(tmp_path, "score Wardens 5", "Kiln Guard score 2 points", "score Wardens +3") as app:
        assert [side["score"] for side in state(app)["sides"]] == [8, 2]
        play(app, "score Wardens 4")
        assert [side["score"] for side in state(app)["sides"]] == [4, 2]


def test_a_table_rests_and_the_next_word_goes_on(tmp_path: Path) -> None:
    with table(tmp_path, "rest") as app:
        assert state(app)["resting"]
        play(app, "next phase")
        assert not state(app)["resting"]


def test_without_a_table_the_table_verbs_say_how_to_open_one(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        for message in ("where are we", "next phase", "Wardens shoot the Kiln Guard at 14", "undo", "units"):
            reply = say(app, message)
            assert reply.kind == "misread", message
            assert "open table" in (reply.machine["hint"] or ""), message


def test_explanations_are_as_long_as_each_person_wants(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        assert say(app, "explain off", "Ben").private
        assert app.house.memory.recall("low-ferry", "Ben")["explain"] == "off"
        assert "explain" not in app.house.memory.recall("low-ferry", "Ada")


@pytest.mark.parametrize("message", ["where are we", "what now", "units", "unit Kiln Guard", "next phase", "report"])
def test_every_answer_about_the_table_carries_the_whole_state(tmp_path: Path, message: str) -> None:
    with table(tmp_path) as app:
        data = play(app, message)[0].machine
        assert data["kind"] == "table"
        assert isinstance(data["said"], str)
        assert {"open", "ruleset", "round", "turn", "phase", "sides", "over"} <= set(data["state"])


def test_a_long_roster_is_read_and_a_longer_message_is_not(tmp_path: Path) -> None:
    units = "\n".join(
        f"Squad {n}: M6 T4, 5 models W1 Sv4+, long rifle range 24 A1 BS4+ S4 AP-1 damage 1" for n in range(1, 31)
    )
    many = "\n".join(f"# a remark of no weight at all, number {n}" for n in range(120))
    with table(tmp_path) as app:
        (reply,) = play(app, f"roster for Kiln Guard\n{many}\n{units}")
        assert len(reply.machine["state"]["sides"][1]["units"]) == 32
        assert "at most 5,000" in say(app, "x" * 6000).title


def test_before_any_roster_is_loaded_the_table_is_asked_first(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        play(app, "open table")
        assert say(app, "Where are we?").kind == "table"
        play(app, "explain short")


def test_a_typed_unit_is_asked_about_where_its_side_is_not_clear(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        play(app, "open table Reds against Blues")
        asked = say(app, "Pikes: M5 T4 W1 Sv5+, 10 models, pike A1 WS4+ S4")
        assert asked.machine["message"] == "which side is Pikes for?"
        assert [choice.splitlines()[0] for choice in asked.machine["choices"]] == [
            "roster for Reds",
            "roster for Blues",
        ]
        assert say(app, "2").machine["state"]["sides"][1]["units"][0]["name"] == "Pikes"
        play(app, "sit with the Reds", who="Ben")
        play(app, "Bows: M6 T3 Sv6+, 5 models, bow range 24 A1 BS4+ S3", who="Ben")
        assert [len(side["units"]) for side in state(app)["sides"]] == [1, 1]
