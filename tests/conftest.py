"""How the tests are shared out: whoever has nothing left to do takes from the other, since some tests only wait."""

from __future__ import annotations

from typing import Any

import pytest


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """The scheduler of `pytest -n`."""
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log)
