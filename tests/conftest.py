"""How the tests are run: no example has a time limit, and whoever has nothing left to do takes from the other."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import settings

# Speed is measured in benchmarks; a busy machine must fail no test.
settings.register_profile("any machine", deadline=None)
settings.load_profile("any machine")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """The scheduler of `pytest -n`: some tests only wait."""
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log)
