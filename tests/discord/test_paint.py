"""Replies as chat messages: within the limits, readable on a phone, and nothing players wrote becomes a mark."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.discord_paint import FIXED_WIDTH, MOST_MESSAGES, escaped, paint
from bot.channels.paint import plain
from bot.reply import Bars, Block, Caret, Dice, Line, Note, Picture, Reply, Shell, Table
from tests.references import discord_limits as limits

HIT = Dice("hit", "4+", "this weapon hits on 4+", ((6,), (1, 5), (2,)), (True, True, False), "2 of 3")
BARS = Bars("slain exactly", (("0", 0.5, "50%"), ("1", 0.5, "50%")))


def fixed_rows(message: str) -> list[str]:
    """The rows within fixed-width blocks."""
    parts = message.split("```")
    return [row for part in parts[1::2] for row in part.strip("\n").split("\n")]


def test_the_needed_number_stands_beside_its_dice_and_successes_before_the_bar() -> None:
    [message] = paint(Reply("attack", "#1 roll", (HIT,)))
    assert message.splitlines() == ["**#1 roll**", "hit 4+: 2 of 3 (6 1>5 | 2)", "-# this weapon hits on 4+"]


def test_notes_that_follow_each_other_take_one_small_line() -> None:
    [message] = paint(Reply("x", "t", (Line("result", strong=True), Note("no AP: 0"), Note("ruleset: standard"))))
    assert message.splitlines()[1:] == ["**result**", "-# no AP: 0 · ruleset: standard"]


def test_what_needs_a_shell_is_not_told_where_there_is_none() -> None:
    reply = Reply("page", "t", (Note("one"), Shell("drumhead verify FILE"), Note("two")))
    assert paint(reply)[0].splitlines() == ["**t**", "-# one · two"]
    assert "- drumhead verify FILE" in plain(reply)


@pytest.mark.parametrize(
    "block",
    [
        Table(("on average", "A", "B"), (("hits", "5", "4"), ("a very long name of a row indeed", "1.234", "5.678"))),
        BARS,
        Caret("roll 10 shots flurbing on 4s into the Kiln Guard over the causeway", (14, 22)),
    ],
)
def test_fixed_width_is_kept_in_a_block_no_wider_than_a_phone(block: Block) -> None:
    [message] = paint(Reply("x", "title", (block,)))
    rows = fixed_rows(message)
    assert rows
    assert max(map(len, rows)) <= FIXED_WIDTH <= 45


def test_a_picture_takes_the_place_of_its_bars_only_when_it_is_there() -> None:
    reply = Reply("odds", "odds", (BARS, Picture("p", (("slain", (0.5, 0.5)),), "half and half")))
    assert "50%" in paint(reply)[0]
    assert "50%" not in paint(reply, pictured=True)[0]


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("**bold** _it_ ~~no~~ ||spoiler||", r"\*\*bold\*\* \_it\_ \~\~no\~\~ \|\|spoiler\|\|"),
        ("`code`", r"\`code\`"),
        ("<@123> <#4> <:x:5> <t:1>", r"\<@123> \<#4> \<:x:5> \<t:1>"),
        ("[words](http://example.com)", "\\[words](http:\u200b//example.com)"),
        ("@everyone and @here", "@\u200beveryone and @\u200bhere"),
        ("a\\*b", r"a\\\*b"),
        ("AP-1 | 3+ > 2", "AP-1 | 3+ > 2"),
    ],
)
def test_what_a_player_wrote_is_shown_as_written(typed: str, shown: str) -> None:
    assert escaped(typed) == shown


@pytest.mark.parametrize("start", ["# loud", "> quoted", "- item", "-# small", "### three"])
def test_a_line_is_no_heading_list_or_quotation_by_accident(start: str) -> None:
    [message] = paint(Reply("x", "t", (Line(start),)))
    assert message.splitlines()[1] == "\\" + start


def test_a_backtick_cannot_leave_a_fixed_width_block() -> None:
    [message] = paint(Reply("misread", "t", (Caret("a ``` b", (0, 1)),)))
    assert message.count("```") == 2


def test_a_long_answer_is_divided_between_rows_and_every_part_fits() -> None:
    rows = tuple(Line(f"row {number}: " + "word " * 20) for number in range(60))
    messages = paint(Reply("log", "log", rows))
    assert 1 < len(messages) <= MOST_MESSAGES
    assert all(len(message) <= limits.CONTENT for message in messages)
    shown = "\n".join(messages).split("\n")
    assert [line for line in shown if line.startswith("row")] == [row.text for row in rows]


def test_a_block_divided_between_messages_is_closed_and_opened_again() -> None:
    table = Table(("unit", "left"), tuple((f"unit {number}", "5 of 5") for number in range(200)))
    messages = paint(Reply("table", "units", (table,)))
    assert len(messages) > 1
    assert all(message.count("```") % 2 == 0 for message in messages)


def test_one_endless_line_is_divided_after_a_sentence() -> None:
    messages = paint(Reply("x", "t", (Line("A sentence of words. " * 200),)))
    assert len(messages) > 1
    assert all(message.rstrip().endswith(".") for message in messages)


def test_what_is_longer_than_anyone_reads_is_cut_and_says_so() -> None:
    messages = paint(Reply("x", "t", tuple(Line("x" * 1500) for _ in range(50))))
    assert len(messages) == MOST_MESSAGES
    assert messages[-1].endswith("too long to show here")
    assert len(messages[-1]) <= limits.CONTENT


TEXTS = st.text(max_size=3000)
BLOCKS = st.one_of(
    st.builds(Line, TEXTS, st.booleans()),
    st.builds(Note, TEXTS),
    st.builds(lambda text: Caret(text, (0, 1)), st.text(min_size=1, max_size=500)),
    st.builds(lambda name: Table(("a", "b"), ((name, "1"),)), st.text(max_size=200)),
)


@given(TEXTS, st.lists(BLOCKS, max_size=8))
def test_no_reply_whatever_breaks_the_limits(title: str, blocks: list[Block]) -> None:
    messages = paint(Reply("x", title, tuple(blocks)))
    assert 1 <= len(messages) <= MOST_MESSAGES
    assert all(len(message) <= limits.CONTENT for message in messages)
    assert all(message.count("```") % 2 == 0 for message in messages)
