"""The wounds of one weapon group, dealt to several target groups: how many are left, and how many go unsaved.

Ordinary wounds are saved one at a time, each by the group that takes it, and piercing ones come after them. A
group that fails a share u of its saves waits a geometric time for each unsaved wound (Feller, An Introduction to
Probability Theory, vol. I, ch. VI); what it faces after t ordinary wounds follows backwards, wound by wound.
"""

from __future__ import annotations

import numpy as np

from resolver.counts import Distribution
from resolver.several.line import Hand, Saves
from resolver.several.patches import Patch
from resolver.several.work import A_CALL, Work

_NOTHING = 1e-24  # far below the rounding of a chance
_NOW_AND_THEN = 32
_COPIES = 4  # of a table that stand beside each other while it is made


def faced(hand: Hand, saves: Saves, first: int) -> tuple[Patch, Patch]:
    """[t, c]: the chance that wounds are left after t ordinary ones and c of those left go unsaved.

    `t` runs from `first` on; the first table is that of a group whose single re-roll is in hand, the second
    one of a group that has spent it. All wounds that pierce go unsaved.
    """
    rows, pierce = hand.ordinary + 1 - first, hand.piercing + 1
    hand.work.add(rows * (A_CALL + hand.most))
    rows_faced, cells = [], 0
    unfailed = np.zeros((rows, pierce))
    none = np.zeros(pierce)
    throw = _Throws(saves.fails, hand.most + 2, np.zeros(pierce))
    for row in range(rows - 1, -1, -1):
        throw.another()
        throw.chances[:pierce] += hand.joint[first + row]
        rows_faced.append(throw.kept())
        cells += _COPIES * throw.length
        hand.work.add(0, cells)
        if saves.rescued:
            none = none * (1 - saves.fails) + hand.joint[first + row]
            unfailed[row] = none
    spent = _stacked(rows_faced[::-1], hand.work)
    return Patch(_rescued(spent, unfailed, saves.rescued), first), Patch(spent, first)


def waited(hand: Hand, saves: Saves, most: int) -> Patch:
    """[k, t]: the chance that the k-th unsaved wound is ordinary wound t; k up to `most`."""
    hand.work.add((hand.ordinary + 1) * (A_CALL + most), _COPIES * (hand.ordinary + 1) * (most + 2))
    found = [np.zeros(1)]
    throw = _Throws(saves.fails, most + 1, np.ones(1))
    for _ in range(hand.ordinary):
        found.append(saves.fails * throw.kept())
        throw.another()
    once = _stacked(found, hand.work, most + 1).T  # [k - 1, t]
    later = (1 - saves.rescued) * once[:-1] + saves.rescued * once[1:] if saves.rescued else once[:-1]
    return Patch(later, 1)


class Tables:
    """Both tables of a hand for each way to save, made when first asked for and again only to reach further."""

    def __init__(self, hand: Hand) -> None:
        self.hand = hand
        self._faced: dict[Saves, tuple[int, tuple[Patch, Patch]]] = {}
        self._waited: dict[Saves, tuple[int, Patch]] = {}

    def faced(self, saves: Saves, first: int) -> tuple[Patch, Patch]:
        """As `faced`, perhaps with earlier rows too."""
        if saves not in self._faced or self._faced[saves][0] > first:
            self._faced[saves] = first, faced(self.hand, saves, first)
        return self._faced[saves][1]

    def waited(self, saves: Saves, most: int) -> Patch:
        """As `waited`, perhaps with later rows too."""
        if saves not in self._waited or self._waited[saves][0] < most:
            self._waited[saves] = most, waited(self.hand, saves, most)
        return self._waited[saves][1]


class _Throws:
    """The chances of each number of failures, up to `most` of them, as one throw after another joins."""

    def __init__(self, fails: float, most: int, begun: Distribution) -> None:
        self.fails, self.length, self._least = fails, len(begun), len(begun)
        self._chances, self._moving = np.zeros(most + 1), np.zeros(most + 1)
        self._chances[: self.length] = begun
        self._throws = 0

    @property
    def chances(self) -> Distribution:
        """Shape (length,)."""
        return self._chances[: self.length]

    def another(self) -> None:
        """One throw more; now and then what has become nothing at the upper end is left out."""
        moving = np.multiply(self.chances, self.fails, out=self._moving[: self.length])
        self._chances[: self.length] -= moving
        self.length = min(self.length + 1, len(self._chances))
        self._chances[1 : self.length] += moving[: self.length - 1]
        self._throws += 1
        if self._throws % _NOW_AND_THEN == 0:
            some = np.flatnonzero(self.chances > _NOTHING)
            last = max(self._least, int(some[-1]) + 1 if len(some) else 0)
            self._chances[last : self.length] = 0.0
            self.length = last

    def kept(self) -> Distribution:
        """The chances as they are now."""
        return self.chances.copy()


def _stacked(rows: list[Distribution], work: Work, width: int = 1) -> Distribution:
    """One below the other, as wide as the widest or `width`."""
    width = max(width, max(map(len, rows)))
    work.add(0, len(rows) * width)
    found = np.zeros((len(rows), width))
    for place, row in zip(found, rows, strict=True):
        place[: len(row)] = row
    return found


def _rescued(spent: Distribution, unfailed: Distribution, share: float) -> Distribution:
    """The numbers unsaved if the first failure, where there is one, is rescued with chance `share`."""
    if not share:
        return spent
    failed = spent.copy()
    width = min(failed.shape[1], unfailed.shape[1])
    failed[:, :width] -= unfailed[:, :width]
    found = spent - share * failed
    found[:, :-1] += share * failed[:, 1:]
    return np.maximum(found, 0.0)
