"""How much work may go into one attack on several target groups, counted before it is done."""

from __future__ import annotations

from resolver.refused import Refused

MOST_WORK = 100_000_000  # multiplications for one attack, about a tenth of a second
MOST_CELLS = 12_000_000  # numbers held at once for one weapon group, about 100 MB
A_CALL = 8_000  # multiplications that an operation on a small table is worth


class Work:
    """Counts the multiplications of one attack, each before it is made."""

    def __init__(self) -> None:
        self.done = 0

    def add(self, multiplications: int, cells: int = 0) -> None:
        """Count some more, for a table of so many `cells`; Refused beyond MOST_WORK or MOST_CELLS."""
        self.done += multiplications
        if self.done > MOST_WORK:
            raise _refused(f"{MOST_WORK:,} multiplications")
        if cells > MOST_CELLS:
            raise _refused(f"{MOST_CELLS:,} numbers held")


def _refused(limit: str) -> Refused:
    message = f"so many wounds on several target groups take too long (limit: {limit}); ask of fewer"
    return Refused("target groups", message)
