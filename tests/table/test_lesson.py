"""Step by step: one handful at a time, own dice caught kindly, the attack finished or left at any point."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bot.app import App
from bot.channels.paint import plain
from tests.conversation import say, umpire
from tests.table.play import WHERE, events, play, state, table, unit

SHOOTING = "go to the shooting phase"
START = "step by step Reed Runners shoot the Ember Crew at 14"


def next_step(reply: Any) -> tuple[str, int, str | None]:
    step = reply.machine["lesson"]["next"]
    return step["step"], step["dice"], step["needs"]


def test_the_first_handful_is_told_with_its_number_and_its_reason(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        (reply,) = play(app, START)
        assert reply.kind == "table"
        assert next_step(reply) == ("hit", 10, "4+")
        assert "pick up 10 dice" in reply.machine["said"]
        assert "Why: this weapon hits on 4+." in reply.machine["said"]
        assert unit(app, "Reed Runners")["did"] == []


def test_the_umpire_rolls_each_handful_until_the_attack_is_done(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, START) as app:
        steps = 0
        while (reply := say(app, "roll")).kind == "table":
            steps += 1
            assert steps < 10
        assert reply.kind == "attack"
        assert unit(app, "Reed Runners")["did"] == ["shot"]
        entry = app.house.ledger.entry("low-ferry", reply.machine["id"])
        assert entry is not None
        assert entry.faces == ()
        given = [die[0] for step in ("hit", "wound", "save") for die in reply.machine["faces"][0][step]]
        thrown = [app.house.ledger.entry("low-ferry", number) for number in entry.data["steps"]]
        assert given == [face for step in thrown if step for face in step.faces]


def test_own_dice_are_taken_step_by_step_and_marked(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "own dice yes", START) as app:
        hits, wounds = play(app, "4 4 4 4 4 1 1 1 1 1", "I rolled 5 5 5 1 1")
        assert (next_step(hits), next_step(wounds)) == (("wound", 5, "5+"), ("save", 3, "4+"))
        (done,) = play(app, "4 1 1")
        assert done.machine["totals"]["slain"] == 1
        assert unit(app, "Ember Crew")["models_left"] == 3
        entry = app.house.ledger.entry("low-ferry", done.machine["id"])
        assert entry is not None
        assert entry.data["declared_steps"] == entry.data["steps"]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("4 4 4", "this step takes 10 dice, and you typed 3 faces"),
        ("1 2 3 4 5 6 7 1 1 1", "a 6-faced die shows 1 to 6, not 7"),
        ("0 2 3 4 5 6 6 1 1 1", "a 6-faced die shows 1 to 6, not 0"),
    ],
)
def test_wrong_dice_are_caught_kindly_and_the_step_stays(tmp_path: Path, typed: str, said: str) -> None:
    with table(tmp_path, SHOOTING, "own dice yes", START) as app:
        before = events(app)
        assert said in say(app, typed).title
        assert events(app) == before
        assert next_step(play(app, "4444411111")[0]) == ("wound", 5, "5+")


def test_own_dice_need_both_sides_at_a_table(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, START) as app:
        assert "until both sides have agreed" in say(app, "4 4 4 4 4 1 1 1 1 1").title


def test_own_dice_are_asked_for_only_where_they_count(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        asked = play(app, START)[0]
        assert not asked.machine["lesson"]["own_dice"]
        assert "type what you rolled" not in plain(asked, 200)
        play(app, "own dice yes")
        asked = play(app, "how many dice?")[0]
        assert asked.machine["lesson"]["own_dice"]
        assert "type what you rolled" in plain(asked, 200)


def test_finish_rolls_the_rest(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "own dice yes", START, "4444411111") as app:
        (done,) = play(app, "finish")
        assert done.kind == "attack"
        assert done.machine["totals"]["hits"] == 5
        assert "no step-by-step" in say_lesson_word(app)


def say_lesson_word(app: App) -> str:
    from bot.asked import Asked
    from bot.misread import Misread
    from bot.requests.action import Lesson
    from bot.verbs import VERBS

    with pytest.raises(Misread) as error:
        VERBS[Lesson](Lesson("finish"), Asked("finish", "Ada", "low-ferry"), app.house)
    return error.value.message


def test_the_lesson_is_left_at_any_point_and_nothing_is_taken_off(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, START, "roll", "stop") as app:
        assert unit(app, "Ember Crew")["models_left"] == 4
        assert unit(app, "Reed Runners")["did"] == []


def test_other_words_may_come_between_two_steps(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, START, "roll", "what is AP", "where are we") as app:
        assert say(app, "roll").kind in ("table", "attack")


def test_the_lesson_goes_on_after_a_restart(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "own dice yes", START, "4444411111"):
        pass
    with umpire(tmp_path) as app:
        assert next_step(play(app, "5 5 5 1 1")[0]) == ("save", 3, "4+")


def test_the_lesson_is_played_on_the_table_as_it_was_when_it_began(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "own dice yes", START, "4444411111") as app:
        play(app, "Reed Runners have 2 models left", "5 5 5 1 1", "4 1 1")
        assert unit(app, "Ember Crew")["models_left"] == 3


def test_a_typed_attack_is_played_step_by_step_without_a_table(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        first, second, last = play(
            app, "step by step: 4 shots, hit 4+, S5 into T4, save 5+, 3 models, W1", "6 6 1 1", "6 1"
        )
        assert (next_step(first), next_step(second)) == (("hit", 4, "4+"), ("wound", 2, "3+"))
        assert next_step(last) == ("save", 1, "5+")
        assert play(app, "4")[0].machine["totals"]["slain"] == 1


def test_what_the_ruleset_forbids_is_warned_about_before_the_lesson(tmp_path: Path) -> None:
    with table(tmp_path, "next phase", "Reed Runners advance", SHOOTING) as app:
        assert say(app, START).kind == "choice"


def test_a_single_die_can_be_put_right(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "own dice yes", START, "4444411111") as app:
        assert next_step(play(app, "die 6 was a 5")[0]) == ("wound", 6, "5+")
        assert next_step(play(app, "no, the last die was 4")[0]) == ("wound", 7, "5+")
        assert "6-faced die shows 1 to 6, not 9" in say(app, "die 2 was 9").title
        assert "no die 30" in say(app, "die 30 was 4").title
        (done,) = play(app, "1 1 1 1 1 1 1")
        assert done.machine["totals"]["hits"] == 7
        entry = app.house.ledger.entry("low-ferry", done.machine["id"])
        assert entry is not None
        assert len(entry.data["steps"]) == 2


def test_the_umpires_dice_are_not_put_right(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, START, "roll") as app:
        assert "only dice that you typed yourself" in say(app, "die 2 was 6").title


def test_an_attack_left_lying_ends_with_its_phase(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, START, "roll", "next phase") as app:
        assert "ended with its phase" in say(app, "finish").title
        assert unit(app, "Ember Crew")["models_left"] == 4
        assert say(app, "next phase").kind == "table"


def test_roll_it_means_the_handful_while_a_lesson_is_under_way(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, "odds Wardens shoot the Kiln Guard at 14", START) as app:
        assert "lesson" in play(app, "roll it")[0].machine


def test_what_a_step_by_step_attack_lacks_completes_it_and_nothing_else(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        asked = say(app, "step by step 2 shots S5 into T4 save 3+")
        assert asked.machine["missing"] == "hit"
        assert next_step(say(app, "4+")) == ("hit", 2, "4+")
        say(app, "stop")
        say(app, "step by step 5 models with 10 attacks hit 4+ S4 into T4 save 3+")
        assert next_step(say(app, "2")) == ("hit", 10, "4+")
        say(app, "stop")
        at = say(app, "step by step 2 flurbs").machine["at"]
        assert "step by step 2 flurbs"[slice(*at)] == "flurbs"


def test_why_in_the_middle_is_about_the_step_whoever_asks(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, START) as app:
        first = say(app, "why", "Ben")
        assert "Why: this weapon hits on 4+." in first.machine["reasons"]
        number = play(app, "roll")[0].title.split()[0]
        for who in ("Ada", "Ben"):
            reply = say(app, "why", who)
            assert reply.title.startswith(f"why: {number}")
            assert "Why: strength 3 against toughness 4: weaker, so 5+." in reply.machine["reasons"]
        (done,) = play(app, "finish")
        assert say(app, "why").title.startswith(f"why: #{done.machine['id']} ")


def test_undo_takes_back_the_step_by_step_attack_and_says_so(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, START, "roll") as app:
        begun = events(app) - 1
        for message in ("undo", f"undo #{begun}", f"undo #{begun + 1}"):
            reply = say(app, message)
            assert reply.title.startswith(f"undone: #{begun} step by step: ")
            assert "nothing was taken off" in reply.title
            assert state(app)["phase"] == "shooting"
            assert "lesson" not in app.house.memory.recall(WHERE, "Ada")
            app.house.memory.remember(WHERE, "Ada", {"lesson": begun})
        assert "asked of Ada: undo" in say(app, "undo", "Ben").title  # it is hers, and Ben is in none


def test_a_phase_that_ends_a_step_by_step_attack_says_so_and_what_now_is_answered(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING, START, "roll") as app:
        ended = "ended with its phase; nothing was taken off"
        assert ended in plain(say(app, "next phase"), 200)
        now = say(app, "what now")
        assert ended in plain(now, 200)
        assert now.title == "round 1 of 5, the Saltmarsh Wardens' charge phase"
        assert ended not in plain(say(app, "what now"), 200)
        assert ended not in plain(say(app, "next phase"), 200)


@pytest.mark.parametrize("leaves", ["undo", "stop"])
@pytest.mark.parametrize("again", ["Reed Runners shoot the Ember Crew at 14", START])
def test_an_attack_that_was_left_half_thrown_is_marked_when_it_is_made_after_all(
    tmp_path: Path, leaves: str, again: str
) -> None:
    second = "second try: #{} was left when dice had been thrown"
    with table(tmp_path, SHOOTING, START, leaves, START, "roll", leaves, again) as app:
        begun = [entry.id for entry in app.house.ledger.entries(WHERE) if entry.kind == "lesson"]
        made = say(app, "finish" if again == START else f"show #{events(app)}")
        assert second.format(begun[1]) in plain(made, 200)
        assert second.format(begun[0]) not in plain(made, 200)  # no die was thrown for it
    with table(tmp_path / "other", SHOOTING, START, "roll", "finish") as app:
        assert "second try" not in plain(say(app, f"show #{events(app)}"), 200)
