"""What a benchmark calls to add a row to the table."""

from __future__ import annotations

from collections.abc import Callable

Say = Callable[[str, str, str, str], None]  # what, how long here, what is to be reached, what stands beside it
