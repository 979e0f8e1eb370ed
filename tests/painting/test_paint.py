"""A reply painted at any width says everything in words, fits its width, and keeps carets under their words."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from rich.cells import cell_len

from bot.channels.paint import MOST_MARKED, PHONE, clean, faces_text, paint, plain
from bot.reply import Bars, Caret, Dice, Line, Note, Picture, Reply, Table

WIDTHS = (45, 60, 100)
HIT = Dice("hit", "4+", "skill 4+", ((6,), (1, 5), (2,), (3,), (4,)), (True, True, False, False, True), "3 of 5")
ROLLED = Reply(
    "attack",
    "#1 roll 5 attacks, hit 4+, S5, AP-1, damage 1 into T4, save 3+, W2, 5 models",
    (HIT, Line("1 wound unsaved, nobody slain, one model has lost 1, 5 models left", strong=True)),
    offers=("why", "next phase"),
)


def test_successes_stand_before_the_bar_highest_first() -> None:
    assert faces_text(HIT) == "6 1>5 4 | 3 2"


def test_a_handful_without_success_says_none() -> None:
    assert faces_text(Dice("save", "5+", "", ((2,), (1,)), (False, False), "0 of 2")) == "none | 2 1"


def test_an_amount_has_no_bar() -> None:
    assert faces_text(Dice("damage", None, "", ((2,), (3,)), (False, False), "total 5")) == "3 2"


def test_more_dice_than_a_phone_holds_become_a_tally() -> None:
    many = Dice("hit", "4+", "", ((6,),) * 40, (True,) * 40, "40 of 40")
    assert faces_text(many) == "40 of 6 | none"


@pytest.mark.parametrize("width", WIDTHS)
def test_no_row_is_wider_than_the_screen(width: int) -> None:
    assert all(cell_len(text) <= width for _, text in paint(ROLLED, width))


def test_a_rolled_attack_on_a_phone() -> None:
    assert plain(ROLLED).splitlines() == [
        "#1 roll 5 attacks, hit 4+, S5, AP-1, damage 1",
        "  into T4, save 3+, W2, 5 models",
        "hit 4+: 3 of 5 (6 1>5 4 | 3 2)",
        "  skill 4+",
        "1 wound unsaved, nobody slain, one model has",
        "  lost 1, 5 models left",
        "you can say: why | next phase",
    ]


def test_dice_that_fill_the_row_stand_in_the_next() -> None:
    many = Dice("hit", "4+", "", ((6,),) * 16, (True,) * 16, "16 of 16 hit")
    rows = plain(Reply("attack", "x", (many,))).splitlines()
    assert rows[1:] == ["hit 4+: 16 of 16 hit", f"  {' '.join('6' * 16)} | none"]
    assert plain(Reply("attack", "x", (many,)), 80).splitlines()[1].endswith("(6 6 6 6 6 6 6 6 6 6 6 6 6 6 6 6 | none)")


def test_a_single_die_that_is_added_up_is_its_total() -> None:
    one = Dice("attacks", None, "each model rolls d3 attacks", ((3,),), (False,), "total 3")
    assert plain(Reply("attack", "x", (one,))).splitlines()[1:] == ["attacks: total 3", "  each model rolls d3 attacks"]


def test_the_caret_stands_under_the_guilty_word() -> None:
    text = "roll 10 attacks hiting 4+ into T4 and a long rest of the message, save 3+"
    rows = plain(Reply("misread", "no", (Caret(text, (16, 22)),))).splitlines()
    word, caret = rows[1], rows[2]
    assert word[caret.index("^") : caret.rindex("^") + 1] == "hiting"


def test_both_places_of_a_contradiction_are_marked() -> None:
    text = "hit 3+ and hit 4+"
    rows = plain(Reply("misread", "no", (Caret(text, (0, 6), (11, 17)),))).splitlines()
    assert rows[2] == "  ^^^^^^     ^^^^^^"


def test_a_long_guilty_place_is_shown_by_its_beginning() -> None:
    rows = plain(Reply("misread", "no", (Caret("fine " + "wrong " * 500, (5, 3_005)),))).splitlines()
    assert "".join(rows).count("^") <= MOST_MARKED
    assert len(rows) < 12


def test_a_caret_past_the_end_stands_after_the_last_word() -> None:
    assert plain(Reply("misread", "no", (Caret("roll", (4, 4)),))).splitlines()[2] == "      ^"


def test_wide_characters_keep_the_caret_in_place() -> None:
    rows = plain(Reply("misread", "no", (Caret("漢字 x", (3, 4)),))).splitlines()
    assert cell_len(rows[1][: rows[1].index("x")]) == rows[2].index("^")


def test_what_takes_no_column_is_marked_by_what_it_stands_on() -> None:
    for place, under in (((2, 3), "   ^"), ((1, 3), "   ^"), ((3, 4), "    ^")):
        assert plain(Reply("misread", "no", (Caret("ae\u0301x", place),))).splitlines()[2] == under


@given(st.text(max_size=300), st.integers(0, 320), st.integers(0, 320), st.integers(20, 100))
@example("0" * 18 + "\u0300", 0, 19, 20)
@example("\u0300" + "0" * 18, 0, 19, 20)
def test_any_message_can_be_pointed_at(text: str, start: int, end: int, width: int) -> None:
    rows = paint(Reply("misread", "no", (Caret(text, (start, end)),)), width)
    assert any("^" in row for _, row in rows)
    assert all(row.isprintable() and cell_len(row) <= width for _, row in rows)


def test_control_characters_never_reach_the_screen() -> None:
    assert clean("a\x1b[31mb\u202ec\td") == "a�[31mb�c d"


def test_bars_say_their_chance_in_words() -> None:
    bars = Bars("chance of slain exactly", (("0", 0.5, "50 %"), ("1 or more", 0.25, "25 %")))
    rows = plain(Reply("odds", "x", (bars,))).splitlines()
    assert rows[2].startswith("        0 █")
    assert rows[2].endswith("50 %")
    assert rows[3].count("█") * 2 == rows[2].count("█")


def test_a_table_too_wide_is_told_row_by_row() -> None:
    table = Table(("unit", "left", "what it did"), (("Saltmarsh Wardens", "7 of 10", "advanced, cannot shoot now"),))
    rows = plain(Reply("table", "x", (table,)), PHONE).splitlines()
    assert rows == ["x", "Saltmarsh Wardens", "  left: 7 of 10", "  what it did: advanced, cannot shoot now"]


def test_a_picture_is_not_painted_as_text() -> None:
    assert plain(Reply("odds", "x", (Picture("p", (), "alt"), Note("n")))).splitlines() == ["x", "- n"]
