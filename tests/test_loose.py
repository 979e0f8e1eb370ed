"""A charge, an advance or dice alone are at hand as an attack is: what is said next is about them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conversation import say, umpire

ATTACK = "3 shots, hit 2+, S9 into T4, save 3+"


@pytest.mark.parametrize(
    ("asked", "rolled"),
    [
        ("charge needing 9", "#1 roll charge needing 9"),
        ("charge from 9", "#1 roll charge from 9"),
        ("advance with M6", "#1 roll advance with M6"),
        ("chance of 9+ on 2d6", "#1 dice 2d6"),
    ],
)
def test_what_was_reckoned_last_is_rolled_and_not_the_attack_before_it(tmp_path: Path, asked: str, rolled: str) -> None:
    with umpire(tmp_path) as app:
        say(app, f"odds {ATTACK}")
        say(app, asked)
        assert say(app, "roll it").title == rolled
        again = say(app, "roll it")
        assert (again.kind, again.offers) == ("choice", (rolled.removeprefix("#1 "),))


def test_of_a_bare_number_it_is_asked_which_charge_to_roll(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        say(app, f"odds {ATTACK}")
        say(app, "charge 9")
        which = say(app, "roll it")
        assert (which.kind, which.offers) == ("choice", ("roll charge needing 9", "roll charge from 9"))
        assert say(app, "2").title == "#1 roll charge from 9"


def test_an_attack_reckoned_after_a_charge_is_at_hand_again(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        say(app, f"odds {ATTACK}")
        say(app, "charge 9")
        say(app, f"odds {ATTACK}")
        assert say(app, "roll it").title.startswith("#1 roll 3 attacks")


def test_what_cannot_be_rolled_as_it_is_rolls_no_attack_before_it(tmp_path: Path) -> None:
    with umpire(tmp_path) as app:
        say(app, f"odds {ATTACK}")
        say(app, "charge 40")
        assert say(app, "roll it").kind == "misread"


@pytest.mark.parametrize("asked", ["charge from 9", "roll charge from 9", "Wardens charge Kiln Guard from 9"])
def test_why_after_a_charge_tells_its_number_and_not_the_attack_before_it(tmp_path: Path, asked: str) -> None:
    with umpire(tmp_path) as app:
        say(app, "open table Saltmarsh Wardens against Kiln Guard")
        say(app, f"roll {ATTACK}")
        for _ in range(3):
            say(app, "next phase")
        say(app, asked)
        told = say(app, "why")
        said = "; ".join([told.title, *(told.data or {})["reasons"]])
        assert "charge" in told.title
        assert "needs 8" in said or "8 needed" in said


@pytest.mark.parametrize("rolled", ["roll charge from 9", "roll advance with M6", "dice 3d6"])
def test_luck_after_loose_dice_is_not_that_of_the_attack_before_them(tmp_path: Path, rolled: str) -> None:
    with umpire(tmp_path) as app:
        say(app, f"roll {ATTACK}")
        say(app, rolled)
        for asked in ("was I lucky?", "was that charge lucky?"):
            assert say(app, asked).title == "#2 is no attack; luck is reckoned from the damage of attacks"
        assert say(app, "luck of the last attack").title == "luck of #1"
