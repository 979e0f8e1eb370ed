"""What people say at the table means the canonical line above it, which reads back as itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

from bot.content import load_rulesets
from bot.naming import folded
from bot.reading import read
from bot.reading.context import Context

WORDING = Path(__file__).parent.parent / "cases" / "game" / "wording.txt"
NAMES = ("Wardens", "Reed Runners", "Runners", "Kiln Guard", "Ember Crew", "Crew")
CONTEXT = Context(ruleset=load_rulesets()["standard"], units=NAMES)


def cases() -> Iterator[tuple[str, str]]:
    canonical = ""
    for line in WORDING.read_text(encoding="utf-8").splitlines():
        if line.startswith("= "):
            canonical = line[2:]
            yield canonical, canonical
        elif line and not line.startswith("#"):
            yield line, canonical


# Names may be typed short or misspelt; which unit they mean is settled on the table, so here they count as the unit.
SPELT = {
    "runner": "reed runner",
    "crew": "ember crew",
    "reed runer": "reed runner",
    "ember crw": "ember crew",
}


def normal(request: Any) -> Any:
    """The request with its names as they are compared."""
    changed: dict[str, Any] = {}
    assert is_dataclass(request)
    for item in fields(request):
        value = getattr(request, item.name)
        if item.name in ("unit", "target", "other", "side", "group", "roster") and isinstance(value, str):
            name = folded(value)
            changed[item.name] = SPELT.get(name, name)
        if item.name in ("sides", "groups", "weapons") and value and isinstance(value[0], str):
            changed[item.name] = tuple(map(folded, value))
        if item.name == "options":
            changed[item.name] = tuple(map(normal, value))
        if item.name == "attack" and isinstance(value, str):
            changed[item.name] = folded(value)
    return replace(request, **changed)  # type: ignore[type-var]


def test_whatever_is_said_means_its_canonical_line() -> None:
    for said, canonical in cases():
        request = read(said, CONTEXT)
        assert str(normal(request)).lower() == str(normal(read(canonical, CONTEXT))).lower(), said
        assert normal(read(str(request), CONTEXT)) == normal(request), said


def test_every_canonical_line_reads_back_as_itself() -> None:
    for canonical in sorted({canonical for _, canonical in cases()}):
        assert str(read(canonical, CONTEXT)) == canonical
