"""Reads the files of tests/cases/reading into cases; the format is described in the README there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

ROOM = Path(__file__).parent.parent / "cases" / "reading"
LEFT_OUT = ("#", "?")


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
