"""The corpus as data: messages in files of tests/cases/reading, each with what must come of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

ROOM = Path(__file__).parent.parent / "cases" / "reading"


@dataclass(frozen=True)
class Case:
    """One message and what is expected of it; `wants` are the lines that followed it, by their first word."""

    file: str
    text: str
    expected: str
    wants: tuple[tuple[str, str], ...] = ()

    def want(self, name: str) -> str | None:
        """The value of a line such as "at: hit 9+"."""
        return dict(self.wants).get(name)


def cases(path: Path) -> list[Case]:
    """Every case of one file."""
    found: list[Case] = []
    texts: list[str] = []
    wants: list[tuple[str, str]] = []
    for line in path.read_text(encoding="utf-8").splitlines():
        mark, _, rest = line.partition(" ")
        if mark == ">":
            texts.append(rest)
        elif mark == "|":
            texts[-1] += "\n" + rest
        elif mark == "=":
            found += [Case(path.stem, text, rest, tuple(wants)) for text in texts]
            texts, wants = [], []
        elif mark.endswith(":") and texts:
            wants.append((mark[:-1], rest))
    return found


def clear() -> list[Case]:
    """Messages with one reading."""
    files = sorted(path for path in ROOM.glob("*.txt") if path.stem != "ambiguous")
    return [case for path in files for case in cases(path)]


def ambiguous() -> list[Case]:
    """Messages on which the language is silent: the reading, a complaint or a question will do."""
    return cases(ROOM / "ambiguous.txt")


def bad() -> list[Case]:
    """Messages that must be complained of or asked about."""
    return [case for path in sorted((ROOM / "bad").glob("*.txt")) for case in cases(path)]
