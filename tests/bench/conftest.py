"""What the benchmarks have to say, printed as one table at the end of the run."""

from __future__ import annotations

import os

import pytest
from saying import Say

ROWS = pytest.StashKey[list[tuple[str, str, str, str]]]()
HEAD = ("what", "here", "to reach", "beside it")


@pytest.fixture
def say(request: pytest.FixtureRequest) -> Say:
    """Add a row: what was measured, what it took, what is to be reached, and what stands beside it."""

    def add(what: str, here: str, wanted: str = "", beside: str = "") -> None:
        request.config.stash.setdefault(ROWS, []).append((what, here, wanted, beside))

    return add


@pytest.fixture(scope="session")
def medians() -> dict[str, float]:
    """Medians in seconds that a later benchmark of the run builds on."""
    return {}


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print the table."""
    rows = [HEAD, *config.stash.get(ROWS, [])]
    if len(rows) == 1:
        return
    widths = [max(len(row[column]) for row in rows) for column in range(len(HEAD))]
    terminalreporter.section(f"figures ({os.cpu_count()} cores)")
    for row in rows:
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        terminalreporter.write_line("  ".join(cells).rstrip())


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    """Leave out the columns that the table above makes needless."""
    config.option.benchmark_columns = ["min", "median", "max", "rounds"]
