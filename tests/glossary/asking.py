"""Questions asked of the whole umpire, and the answer in the few words of the cases in tests/cases/questions."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from bot.app import App
from bot.asked import Asked

CASES = Path(__file__).parent.parent / "cases" / "questions"
NEITHER = "open"  # anything but a yes or a no


def cases() -> list[tuple[str, str, str]]:
    """Every case: where it stands, the question, the answer expected."""
    return [case for path in sorted(CASES.glob("*.txt")) for case in _cases_of(path)]


def _cases_of(path: Path) -> list[tuple[str, str, str]]:
    lines = enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
    told = [(number, line.rsplit("->", 1)) for number, line in lines if line and not line.startswith("#")]
    return [(f"{path.name}:{number}", question.strip(), answer.strip()) for number, (question, answer) in told]


def machine(app: App, question: str, who: str = "Ann", where: str = "ferry") -> dict[str, Any]:
    """The machine form of the answer."""
    return app.answer(Asked(question, who, where)).machine


def told(data: dict[str, Any]) -> str:
    """The answer in the words of the cases: "yes", "fact advance", "entry coherency", "phase charge", …"""
    if data["kind"] == "ruling":
        return data["answer"] or f"fact {data['entry']}"
    if data["kind"] in ("entry", "phase"):
        return f"{data['kind']} {data['id']}"
    return str(data["kind"])


def fits(answer: str, expected: str) -> bool:
    """Whether the answer is the one expected; a fact may also be the entry that tells it."""
    if expected == NEITHER:
        return answer in ("depends", "unknown", "choice") or answer.split()[0] in ("fact", "entry")
    return answer == expected or answer == expected.replace("fact ", "entry ")
