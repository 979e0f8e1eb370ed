"""What the ruleset forbids is said with its reason and number, and needs `anyway`; the record keeps that."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.reply import Note
from tests.conversation import say
from tests.table.play import events, play, state, table, unit

MOVEMENT, SHOOTING, CHARGE, FIGHT = (f"go to the {name} phase" for name in ("movement", "shooting", "charge", "fight"))
ENGAGED = "Wardens are engaged with the Kiln Guard"


@pytest.mark.parametrize(
    ("before", "question", "answer", "because"),
    [
        ((MOVEMENT, "Wardens advance", SHOOTING), "can the Wardens shoot?", "no", "they advanced this turn (#4)"),
        ((MOVEMENT, "Wardens advance"), "can the Wardens shoot?", "no", "they advanced this turn (#4)"),
        ((MOVEMENT, "Wardens advance", CHARGE), "can the Wardens charge?", "no", "they advanced this turn (#4)"),
        (
            (ENGAGED, MOVEMENT, "Wardens fall back", SHOOTING),
            "can the Wardens shoot?",
            "no",
            "they fell back this turn (#5)",
        ),
        ((ENGAGED, SHOOTING), "can the Wardens shoot?", "no", "they are engaged with the Kiln Guard (#3)"),
        ((SHOOTING, "Wardens shoot Kiln Guard at 20"), "can the Wardens shoot?", "no", "they have shot this turn (#4)"),
        ((MOVEMENT, "Wardens move", SHOOTING), "can the Wardens shoot?", "yes", "they moved this turn (#4)"),
        ((SHOOTING,), "may the Wardens shoot?", "yes", "not engaged"),
        ((MOVEMENT,), "can the Wardens shoot?", "no", "movement phase"),
        ((SHOOTING,), "can the Kiln Guard shoot?", "no", "the Saltmarsh Wardens' turn"),
        ((ENGAGED, FIGHT), "can the Kiln Guard fight?", "yes", ""),
        ((FIGHT,), "can the Wardens fight?", "no", "they are not engaged"),
        ((SHOOTING,), "can the Reed Runners shoot the Ember Crew at 19?", "no", 'out of range: carbine 18"'),
        ((SHOOTING,), "can the Reed Runners shoot the Ember Crew at 18?", "yes", ""),
        ((CHARGE,), "can the Reed Runners charge the Ember Crew from 13?", "no", 'beyond 12"'),
        ((MOVEMENT,), "can the Wardens fall back?", "no", "they are not engaged"),
        ((MOVEMENT,), "can the Wardens move 7 inches?", "no", '7" is more than their move of 6"'),
        ((MOVEMENT,), "can I move the Wardens 6 inches", "yes", ""),
        ((ENGAGED, MOVEMENT), "can the Wardens advance?", "no", "engaged with the Kiln Guard (#3)"),
    ],
)
def test_a_concrete_question_is_answered_from_the_state(
    tmp_path: Path, before: tuple[str, ...], question: str, answer: str, because: str
) -> None:
    with table(tmp_path, *before) as app:
        reply = say(app, question)
        assert reply.kind == "ruling"
        assert reply.machine["answer"] == answer
        assert because in reply.machine["because"]
        assert reply.machine["ruleset"] == "standard"


@pytest.mark.parametrize(
    ("before", "question", "answer", "lines"),
    [
        (
            (SHOOTING, "Wardens shoot Kiln Guard at 20"),
            "can the Wardens shoot and charge",
            "no",
            ("shoot: no, they have shot this turn (#4)", "charge: yes, in the charge phase"),
        ),
        (
            (MOVEMENT, "Wardens advance"),
            "can the Wardens shoot and then charge?",
            "no",
            ("shoot: no, they advanced this turn (#4)", "charge: no, they advanced this turn (#4)"),
        ),
        (
            (MOVEMENT,),
            "can the Wardens advance and charge?",
            "no",
            ("advance: yes, now", "charge: no, not after advancing"),
        ),
        (
            (MOVEMENT,),
            "may I move, shoot and fight with the Wardens",
            "yes",
            ("move: yes, now", "shoot: yes, in the shooting phase", "fight: yes, in the fight phase if they are"),
        ),
        ((MOVEMENT,), "can the Wardens charge or advance?", "yes", ("advance: yes, now", "charge: yes, in the charge")),
        (
            (SHOOTING,),
            "can the Reed Runners shoot the Ember Crew at 19 or charge them from 9",
            "depends",
            ('shoot: no, 19" is out of range', "charge: yes, in the charge phase"),
        ),
        (
            (SHOOTING,),
            "can the Kiln Guard shoot and charge?",
            "no",
            ("shoot: no, it is the Saltmarsh Wardens' turn", "charge: no, it is round 1 of 5"),
        ),
        (
            (SHOOTING,),
            "can the Reed Runners shoot the Ember Crew and charge the Kiln Guard from 13?",
            "no",
            ("shoot: yes, now", 'charge: no, 13" is beyond 12"'),
        ),
    ],
)
def test_of_several_deeds_each_is_answered_from_the_state(
    tmp_path: Path, before: tuple[str, ...], question: str, answer: str, lines: tuple[str, ...]
) -> None:
    with table(tmp_path, *before) as app:
        reply = say(app, question)
        assert (reply.kind, reply.machine["answer"]) == ("ruling", answer)
        told = reply.machine["said"].split("\n")
        assert told[0] == answer
        assert len(told) == len(lines) + 1
        assert all(line.startswith(start) for line, start in zip(told[1:], lines, strict=True))


@pytest.mark.parametrize(
    "question",
    [
        "odds Wardens charge the Kiln Guard from 8",
        "Wardens charge the Kiln Guard from 8?",
        "what is the chance for the Wardens to charge the Kiln Guard from 8?",
        "should the Wardens charge the Kiln Guard from 8",
        "odds Wardens charge the Kiln Guard from 8 anyway",
        "odds charge the Kiln Guard with the Wardens from 8",
    ],
)
def test_the_odds_of_a_charge_are_told_in_any_phase_and_change_nothing(tmp_path: Path, question: str) -> None:
    with table(tmp_path, MOVEMENT) as app:
        before = events(app)
        reply = say(app, question)
        assert (reply.kind, reply.machine["chance"]) == ("charge", "7/12")
        assert reply.machine["read"] == "odds Wardens charge Kiln Guard from 8"
        assert reply.offers == ("Wardens charge Kiln Guard from 8",)
        assert events(app) == before
        assert say(app, reply.machine["read"]).machine["read"] == reply.machine["read"]


def test_the_odds_of_a_charge_take_the_distance_that_is_known_or_ask_for_it(tmp_path: Path) -> None:
    with table(tmp_path, MOVEMENT) as app:
        assert say(app, "odds Wardens charge the Kiln Guard").machine["missing"] == "distance"
        assert say(app, "9").machine["needs"] == 8
        play(app, "Wardens are 7 from the Kiln Guard")
        assert say(app, "should the Wardens charge the Kiln Guard?").machine["needs"] == 6
        assert say(app, "odds Wardens charge").kind == "choice"


def test_the_general_question_is_still_answered_in_general(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        reply = say(app, "can I shoot after advancing?")
        assert (reply.kind, reply.machine["answer"]) == ("ruling", "no")


def test_what_is_forbidden_needs_anyway_and_the_record_shows_it(tmp_path: Path) -> None:
    with table(tmp_path, MOVEMENT, "Wardens advance", SHOOTING) as app:
        before = events(app)
        warned = say(app, "Wardens shoot the Kiln Guard at 14")
        assert warned.kind == "choice"
        assert warned.machine["message"].startswith("no: they advanced this turn (#4)")
        assert warned.machine["choices"] == ["Wardens shoot Kiln Guard at 14 anyway"]
        assert events(app) == before
        (done,) = play(app, "Wardens shoot the Kiln Guard at 14 anyway because the horn had not blown")
        entry = app.house.ledger.entry("low-ferry", done.machine["id"])
        assert entry is not None
        assert entry.data["event"]["anyway"] == ["they advanced this turn (#4)"]
        assert entry.data["event"]["because"] == "the horn had not blown"


def test_saying_the_same_again_is_not_insisting(tmp_path: Path) -> None:
    with table(tmp_path, MOVEMENT, "Wardens advance", SHOOTING) as app:
        say(app, "Wardens shoot Kiln Guard at 14")
        assert say(app, "Wardens shoot Kiln Guard at 14").kind == "choice"
        assert say(app, "anyway").kind == "attack"


def test_anyway_alone_overrules_nothing(tmp_path: Path) -> None:
    with table(tmp_path, SHOOTING) as app:
        assert "no warning to overrule" in say(app, "anyway").title


@pytest.mark.parametrize(
    ("before", "message", "fact"),
    [
        ((MOVEMENT, "Wardens move"), "Wardens advance", "they moved this turn (#4)"),
        ((MOVEMENT,), "Wardens move 9 inches", '9" is more than their move of 6"'),
        ((SHOOTING,), "Kiln Guard shoot the Wardens at 10", "the Saltmarsh Wardens' turn"),
        ((CHARGE,), "Reed Runners charge the Ember Crew from 14", '14" is beyond 12"'),
        ((FIGHT,), "Wardens fight the Kiln Guard", "they are not engaged"),
        ((ENGAGED, FIGHT, "Wardens fight"), "Wardens fight", "they have fought this turn (#5)"),
        ((MOVEMENT,), "Wardens shoot the Kiln Guard at 14", "movement phase"),
    ],
)
def test_every_forbidden_action_is_warned_about_first(
    tmp_path: Path, before: tuple[str, ...], message: str, fact: str
) -> None:
    with table(tmp_path, *before) as app:
        warned = say(app, message)
        assert warned.kind == "choice", warned.machine
        assert fact in warned.machine["message"]
        play(app, f"{message} anyway")


def test_a_new_turn_allows_again_what_the_last_one_forbade(tmp_path: Path) -> None:
    with table(tmp_path, MOVEMENT, "Wardens advance", "end turn", "end turn", SHOOTING) as app:
        play(app, "Wardens shoot the Kiln Guard at 14")


def test_an_undone_advance_forbids_nothing(tmp_path: Path) -> None:
    with table(tmp_path, MOVEMENT, "Wardens advance", "undo", SHOOTING) as app:
        play(app, "Wardens shoot the Kiln Guard at 14")


def test_an_advance_is_the_move_and_a_die(tmp_path: Path) -> None:
    # move 6 and an advance roll of 2 make 8" (common practice, no source)
    with table(tmp_path, "own dice yes", MOVEMENT) as app:
        (reply,) = play(app, "Wardens advance with dice 2")
        assert reply.machine["inches"] == 8
        assert 'up to 8"' in reply.machine["said"]


def test_a_charge_that_reaches_engages_both(tmp_path: Path) -> None:
    # from 9" on the tape an 8 is needed, to end within 1" (common practice, no source)
    with table(tmp_path, "own dice yes", CHARGE) as app:
        (reply,) = play(app, "Reed Runners charge the Ember Crew from 9 with dice 4 4")
        assert (reply.machine["needs"], reply.machine["total"], reply.machine["reached"]) == (8, 8, True)
        assert reply.offers == ("Reed Runners fight Ember Crew",)
        assert unit(app, "Reed Runners")["engaged"]
        assert unit(app, "Ember Crew")["engaged"]
        assert unit(app, "Reed Runners")["did"] == ["charged"]


def test_a_charge_that_fails_moves_nobody(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", "Reed Runners are 9 from the Ember Crew", CHARGE) as app:
        (reply,) = play(app, "Reed Runners charge the Ember Crew with dice 4 3")
        assert not reply.machine["reached"]
        assert not unit(app, "Reed Runners")["engaged"]
        assert state(app)["distances"] == [{"between": ["Ember Crew", "Reed Runners"], "inches": 9}]


def test_falling_back_ends_the_engagement(tmp_path: Path) -> None:
    with table(tmp_path, ENGAGED, MOVEMENT, "Wardens fall back") as app:
        assert not unit(app, "Kiln Guard")["engaged"]


def test_the_umpire_cannot_see_the_table_and_says_so(tmp_path: Path) -> None:
    with table(tmp_path) as app:
        asked = say(app, "how far are the Wardens from the Kiln Guard?")
        assert "I can't see the table" in asked.title
        assert not asked.offers  # an invented distance is an example, and no button
        assert asked.blocks[-1] == Note("measured it? Say so, as in `Wardens are 14 from Kiln Guard`")
        play(app, "Wardens are 14 from the Kiln Guard")
        assert '14" apart, as last told' in say(app, "how far are the Wardens from the Kiln Guard?").title


def test_a_charge_is_thrown_again_whole_when_it_falls_short(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", CHARGE) as app:
        (reply,) = play(app, "Reed Runners charge the Ember Crew from 9, re-roll the charge, with dice 4 3 6 2")
        assert reply.machine["dice"] == [[4, 6], [3, 2]]
        assert (reply.machine["total"], reply.machine["reached"]) == (8, True)


def test_a_charge_that_reaches_at_once_is_not_thrown_again(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", CHARGE) as app:
        (reply,) = play(app, "Reed Runners charge the Ember Crew from 9, +1 to charge, re-roll one die, with dice 4 3")
        assert (reply.machine["dice"], reply.machine["total"]) == ([[4], [3]], 8)


def test_a_corrected_charge_throws_again_only_what_it_needs(tmp_path: Path) -> None:
    with table(tmp_path, "own dice yes", CHARGE) as app:
        play(app, "Reed Runners charge the Ember Crew from 7, re-roll one die, with dice 4 2")
        assert unit(app, "Reed Runners")["engaged"]
        (mended,) = play(app, "correct that from 9")
        event = app.house.ledger.entry("low-ferry", mended.machine["id"]).data["event"]  # type: ignore[union-attr]
        assert [die[0] for die in event["dice"]] == [4, 2]
        assert len(event["dice"][1]) == 2
