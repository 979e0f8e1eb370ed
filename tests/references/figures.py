"""The figures of figures/*.yaml with their sources, and what it takes to agree with one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import yaml

FOLDER = Path(__file__).parent / "figures"

Value = float | Fraction


@dataclass(frozen=True)
class Figure:
    """What a source says. `exact` was recomputed, `printed` is as the source prints it."""

    says: str
    source: str
    from_memory: bool
    given: Mapping[str, Any] = field(default_factory=dict)
    exact: Mapping[str, Any] = field(default_factory=dict)
    printed: Mapping[str, Any] = field(default_factory=dict)

    def number(self, name: str) -> Fraction:
        """One exact number."""
        return Fraction(str(self.exact[name]))

    def numbers(self, name: str) -> list[Fraction]:
        """A list of exact numbers."""
        return [Fraction(str(item)) for item in self.exact[name]]

    def check(self, name: str, found: Value, times: float = 1) -> None:
        """Assert that `found` is the exact number, and what the source prints at the digits it prints.

        `times` is what the chances in `found` were multiplied by: 1e-12 is asked of the chances.
        """
        if name in self.exact:
            slack = 1e-12 * max(1, times, abs(float(found)))
            assert abs(float(found) - float(self.number(name))) <= slack, (name, float(found))
        if name in self.printed:
            assert _as_printed(found, str(self.printed[name])), (name, float(found))

    def check_all(self, name: str, found: Iterable[Value], times: float = 1) -> None:
        """Assert it of every number of a list."""
        values = list(found)
        for kind in (self.exact, self.printed):
            assert name not in kind or len(kind[name]) == len(values), name
        for i, value in enumerate(values):
            only = {
                kind: {name: getattr(self, kind)[name][i]}
                for kind in ("exact", "printed")
                if name in getattr(self, kind)
            }
            Figure(self.says, self.source, self.from_memory, **only).check(name, value, times)


def _as_printed(found: Value, printed: str) -> bool:
    if "/" in printed:
        return abs(float(found) - float(Fraction(printed))) <= 1e-12 * max(1, float(found))
    exponent = Decimal(printed).as_tuple().exponent
    assert isinstance(exponent, int)
    unit = Fraction(10) ** exponent
    slack = unit / 2 + Fraction(1, 10**12)
    return abs(Fraction(found) - Fraction(printed)) <= slack


@cache
def all_figures() -> dict[str, Figure]:
    """Every figure by name."""
    found: dict[str, Figure] = {}
    for path in sorted(FOLDER.glob("*.yaml")):
        for name, item in yaml.safe_load(path.read_text(encoding="utf-8")).items():
            assert name not in found, name
            found[name] = Figure(**item)
    return found


def figure(name: str) -> Figure:
    """One figure."""
    return all_figures()[name]
