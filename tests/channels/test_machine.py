"""The machine channel: one JSON object for each line, in order, whatever the line holds."""

from __future__ import annotations

import io
import json
from typing import Any

from bot.asked import Asked
from bot.channels.machine import stream, write
from bot.reply import Reply


def answers(lines: str) -> list[dict[str, Any]]:
    """What the stream prints when every message is answered with itself."""
    out = io.StringIO()
    stream(lambda asked: Reply("echo", "", data={"text": asked.text}), "Ada", "x", io.StringIO(lines), out)
    return [json.loads(line) for line in out.getvalue().splitlines()]


def test_each_line_gets_one_object_in_order() -> None:
    assert [answer["text"] for answer in answers("charge 9\nlog\n")] == ["charge 9", "log"]


def test_an_empty_line_gets_an_object_too() -> None:
    assert len(answers("a\n\nb\n")) == 3


def test_a_line_in_double_quotes_is_a_json_string_and_may_hold_line_breaks() -> None:
    assert answers(json.dumps("10 shots\nhit 4+") + "\n")[0]["text"] == "10 shots\nhit 4+"


def test_a_broken_json_string_is_a_misread_that_points_at_the_break() -> None:
    answer = answers('"half a string\n')[0]
    assert answer["kind"] == "misread"
    assert answer["at"] is not None


def test_the_last_line_needs_no_line_break() -> None:
    assert answers("log")[0]["text"] == "log"


def test_kind_stands_first_in_the_object() -> None:
    out = io.StringIO()
    write(Reply("needs", "", data={"check": "hit"}), out)
    assert out.getvalue().startswith('{"kind": "needs"')


def test_who_and_where_reach_the_app() -> None:
    seen: list[Asked] = []

    def answer(asked: Asked) -> Reply:
        seen.append(asked)
        return Reply("echo", "")

    stream(answer, "Ben", "low-ferry", io.StringIO("log\n"), io.StringIO())
    assert (seen[0].who, seen[0].where) == ("Ben", "low-ferry")
