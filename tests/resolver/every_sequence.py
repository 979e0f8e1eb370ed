"""Every sequence of faces of a small attack, walked live with its exact chance as a fraction."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction

from resolver.live import Rolled, Throw, roll
from resolver.plan import Plan


class MoreDice(Exception):
    """The faces decided on so far are used up; the next die has this many sides."""

    def __init__(self, sides: int) -> None:
        super().__init__(sides)
        self.sides = sides


class Decided:
    """A source of faces decided beforehand."""

    def __init__(self, faces: Sequence[int]) -> None:
        self.faces = faces
        self.used = 0

    def __call__(self, throw: Throw) -> list[int]:
        if self.used + throw.count > len(self.faces):
            raise MoreDice(throw.sides)
        self.used += throw.count
        return list(self.faces[self.used - throw.count : self.used])


def every_roll(plan: Plan) -> Iterator[tuple[Rolled, Fraction]]:
    """Each whole roll of the attack with the chance of its faces."""
    open_ends: list[tuple[tuple[int, ...], int]] = [((), 1)]
    while open_ends:
        faces, ways = open_ends.pop()
        try:
            yield roll(plan, Decided(faces)), Fraction(1, ways)
        except MoreDice as more:
            open_ends += [((*faces, face), ways * more.sides) for face in range(1, more.sides + 1)]


def every_total(plan: Plan) -> tuple[dict[str, dict[int, Fraction]], Fraction]:
    """The exact distribution of each total over every sequence of faces, and the chance to wipe out."""
    found: dict[str, dict[int, Fraction]] = defaultdict(lambda: defaultdict(Fraction))
    wiped = Fraction(0)
    for rolled, chance in every_roll(plan):
        for name, total in rolled.totals.items():
            found[name][total] += chance
        wiped += chance * all(models == 0 for models, _ in rolled.left)
    return found, wiped
