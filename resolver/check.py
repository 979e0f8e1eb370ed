"""A die as a face table: what each natural face feeds, which faces are thrown again, and the reasons.

The same table is walked face by face (live.py), turned into a generating function (exact.py) and printed
as an explanation, so the three cannot disagree. A check feeds later checks only, so there are no cycles.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

Feeds = Mapping[str, int]  # name of a later check or of an end -> how many of it


@dataclass(frozen=True)
class Check:
    """One die of `sides` faces; `rows[face - 1]` says what that natural face feeds.

    `again` are natural faces thrown again once, the second result standing; `one_again` are faces of which a
    single die of the whole step is thrown again. `needed` is the lowest natural face that succeeds,
    `sides + 1` if none, and 0 for a die that has no success (an amount). `reasons` explain the number.
    """

    name: str
    rows: tuple[Feeds, ...]
    needed: int = 0
    again: frozenset[int] = frozenset()
    one_again: frozenset[int] = frozenset()
    reasons: tuple[str, ...] = ()

    @property
    def sides(self) -> int:
        return len(self.rows)

    def feeds(self, face: int) -> Feeds:
        """What the natural face (1 to sides) feeds."""
        return self.rows[face - 1]

    @property
    def text(self) -> str:
        """The number as people write it: "4+"; one past the highest face when nothing succeeds."""
        return f"{self.needed}+"

    @cached_property
    def chance(self) -> Fraction:
        """The exact chance that one die succeeds, re-rolls of `again` included."""
        good = {face for face in range(1, self.sides + 1) if self.succeeds(face)}
        kept = len(good - self.again)
        return Fraction(kept * self.sides + len(self.again) * len(good), self.sides**2)

    @property
    def thrown(self) -> bool:
        """Whether dice are picked up at all: a check that no face can pass draws none."""
        return self.needed <= self.sides

    @cached_property
    def shares(self) -> tuple[tuple[Feeds, float], ...]:
        """Every row with its chance, re-rolls of `again` included; alike neighbours are one."""
        rows, sides, again = self.rows, len(self.rows), self.again
        starts = [0, *[face for face in range(1, sides) if rows[face] is not rows[face - 1]], sides]
        found: list[tuple[Feeds, float]] = []
        for start, end in pairwise(starts):
            twice = len(again.intersection(range(start + 1, end + 1))) if again else 0
            found.append((rows[start], ((end - start) * (sides + len(again)) - twice * sides) / sides**2))
        return tuple(found)

    def succeeds(self, face: int) -> bool:
        """Whether the natural face counts as a success of this check."""
        return bool(self.needed) and face >= self.needed
