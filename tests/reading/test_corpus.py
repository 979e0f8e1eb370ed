"""The reader sits its exam: messages as people write them, read right, complained about, or asked about.

The files are in tests/cases/reading; their format is described in the README there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from bot.content import load_rulesets
from bot.misread import Misread, Span, Unsure
from bot.reading import read
from bot.reading.context import Context

ROOM = Path(__file__).parent.parent / "cases" / "reading"
LEFT_OUT = ("#", "?")
KEYS = {"at", "missing", "mentions", "says"}
PARTS = {"attacks", "hit", "strength", "toughness", "save", "models", "range", "distance"}
SLACK = 20  # how many characters longer than the guilty words a span may be


@dataclass(frozen=True)
class Case:
    """One message, what is expected of it (the line after "="), and the keys said in between."""

    file: str
    line: int
    message: str
    expected: str
    keys: dict[str, str] = field(default_factory=dict)

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"


def cases(pattern: str, *, but: tuple[str, ...] = ()) -> list[Case]:
    """Every case of the files that match the pattern."""
    files = [path for path in sorted(ROOM.glob(pattern)) if path.name not in but]
    return [case for path in files for case in _file(path)]


def _file(path: Path) -> Iterator[Case]:
    messages: list[tuple[int, str]] = []
    keys: dict[str, str] = {}
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        mark, rest = line[:1], line[2:]
        if not line.strip() or mark in LEFT_OUT:
            continue
        if mark == ">":
            messages.append((number, rest))
        elif mark == "|":
            messages[-1] = (messages[-1][0], f"{messages[-1][1]}\n{rest}")
        elif mark == "=":
            yield from (Case(path.name, at, message, rest, keys) for at, message in messages)
            messages, keys = [], {}
        else:
            key, _, value = line.partition(": ")
            keys[key] = value.strip()
    assert not messages, f"{path.name}: the last messages have nothing expected of them"


def places(message: str, words: str) -> list[tuple[int, int]]:
    """The spans that `words` stand for ("hit 4+", "4+ #2", "30 | 24") in the message."""
    return [_place(message, one.strip()) for one in words.split(" | ")]


def _place(message: str, words: str) -> tuple[int, int]:
    words, _, nth = words.partition(" #")
    start = -1
    for _ in range(int(nth or 1)):
        start = message.index(words, start + 1)
    return start, start + len(words)


def files(told: list[Case]) -> list[str]:
    """The names of the files that the cases stand in."""
    return sorted({case.file for case in told})


CLEAR = cases("*.txt", but=("ambiguous.txt",))
AMBIGUOUS = cases("ambiguous.txt")
BAD = cases("bad/*.txt")
CONTEXT = Context(ruleset=load_rulesets()["standard"])


@pytest.mark.parametrize("file", files(CLEAR))
def test_the_clear_messages_of_a_file_read_as_their_canonical_lines(file: str) -> None:
    told = [(case, _read(case)) for case in CLEAR if case.file == file]
    assert [(str(case), case.message, found) for case, found in told if found != case.expected] == []


def _read(case: Case) -> str:
    """What the message is read as, if its line is read as the same request; else what is wrong."""
    try:
        request = read(case.message, CONTEXT)
        return str(request) if request == read(case.expected, CONTEXT) else f"differs: {request}"
    except (Misread, Unsure) as complaint:
        return f"complains: {complaint}"


@pytest.mark.parametrize("case", AMBIGUOUS, ids=str)
def test_an_ambiguous_message_is_never_read_as_something_else(case: Case) -> None:
    try:
        request = read(case.message, CONTEXT)
    except (Misread, Unsure):
        return
    assert str(request) == case.expected


@pytest.mark.parametrize("case", [case for case in BAD if case.expected == "misread"], ids=str)
def test_a_bad_message_is_pointed_at(case: Case) -> None:
    with pytest.raises(Misread) as caught:
        read(case.message, CONTEXT)
    misread = caught.value
    assert misread.missing == case.keys.get("missing")
    _points_at_the_guilty(case, misread)
    _says_what_it_should(case, misread)


@pytest.mark.parametrize("case", [case for case in BAD if case.expected == "choice"], ids=str)
def test_a_message_with_two_readings_is_asked_about(case: Case) -> None:
    with pytest.raises(Unsure) as caught:
        read(case.message, CONTEXT)
    assert len(set(caught.value.choices)) >= 2
    if "says" in case.keys:
        assert caught.value.message == case.keys["says"]


def test_every_bad_case_says_what_it_expects() -> None:
    for case in BAD:
        assert case.expected in {"misread", "choice"}, case
        assert set(case.keys) <= KEYS, case
        assert case.keys.get("missing", "save") in PARTS, case
        for words in case.keys.get("at", "").split(" & "):
            assert not words or places(case.message, words), case


def test_the_corpus_is_large_enough_and_says_nothing_twice() -> None:
    messages = [case.message for case in CLEAR + AMBIGUOUS + BAD]
    assert len(CLEAR) >= 340
    assert len(BAD) >= 100
    assert len(set(messages)) >= len(messages) - 12  # the plain message stands in several files as their base


def _points_at_the_guilty(case: Case, misread: Misread) -> None:
    if "at" not in case.keys:
        return
    assert misread.at is not None, f"nothing is pointed at: {misread.message}"
    guilty = [places(case.message, words) for words in case.keys["at"].split(" & ")]
    told = [span for span in (misread.at, misread.also) if span is not None]
    if len(guilty) == 1:
        told = told[:1]
    shown = [case.message[slice(*span)] for span in told]
    assert len(told) == len(guilty), f"both places are told, got {shown}"
    for words in guilty:
        assert any(_meets(span, place) for span in told for place in words), f"{shown} points elsewhere"


def _meets(span: Span, place: Span) -> bool:
    """One covers the other, and the span is not so wide that it points at nothing."""
    covers = span[0] <= place[0] and place[1] <= span[1]
    within = place[0] <= span[0] < span[1] <= place[1]
    return (covers or within) and span[1] - span[0] <= place[1] - place[0] + SLACK


def _says_what_it_should(case: Case, misread: Misread) -> None:
    told = f"{misread.message} {misread.hint or ''}"
    for words in filter(None, case.keys.get("mentions", "").split(", ")):
        assert words in told
    if "says" in case.keys:
        assert misread.message == case.keys["says"]
