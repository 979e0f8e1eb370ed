"""Wounds onto the models of one target group, exactly: a Markov chain over the damage done so far.

The state is an array over the damage done, 0 to `end` (all models slain). A model that begins fresh needs a
random number of damaging wounds to fall, so the wounds at which models fall are a renewal process (Feller,
An Introduction to Probability Theory, vol. I, ch. XIII); that is walked model by model, not wound by wound.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from resolver.attack import TargetGroup
from resolver.counts import Distribution, capped, compound, ended, shifts

_NOTHING = 1e-25
_MANY = 200  # wounds enough to be worth leaving out what is nothing


@dataclass(frozen=True)
class Block:
    """The models of one target group: `wounds` each, the first has lost `lost`; `most` damage can be done."""

    wounds: int
    lost: int
    models: int
    most: int

    @classmethod
    def of(cls, group: TargetGroup, blows: Sequence[tuple[int, int, bool]]) -> Block:
        """The block of a target group; one without a number gets more models than the blows could slay.

        A blow is (most unsaved wounds, most points of each, whether they spill).
        """
        size, lost = group.wounds, group.lost
        most = sum(count * (points if spills else min(points, size)) for count, points, spills in blows)
        if group.models is None:
            return cls(size, lost, (most + lost) // size + 1, most)
        return cls(size, lost, group.models, min(most, group.models * size - lost))

    @property
    def end(self) -> int:
        """The damage at which no model is left."""
        return self.models * self.wounds - self.lost

    def slain(self, state: Distribution) -> Distribution:
        """The distribution of models slain from that of the damage done, shape (most + 1,)."""
        starts = np.arange((self.most + self.lost) // self.wounds + 1) * self.wounds - self.lost
        starts[0] = 0
        return np.asarray(np.add.reduceat(state, starts))

    def whole(self, state: Distribution) -> Distribution:
        """The state over 0 .. most damage, whatever its length."""
        return np.concatenate((state, np.zeros(max(0, self.most + 1 - len(state)))))[: self.most + 1]


def carried(block: Block, state: Distribution, wounds: Distribution, each: Distribution, spills: bool) -> Distribution:
    """The damage done after a weapon group.

    `wounds` counts unsaved wounds that take at least one point, `each` is what one unsaved wound takes (its
    entry 0 is the chance of nothing, left out of `wounds` already).
    """
    each = each.copy()
    each[0] = 0.0
    each /= each.sum()
    wounds = capped(ended(wounds), block.end)
    if spills:
        return capped(np.convolve(state, compound(wounds, each)), block.end)
    each = capped(each, block.wounds)
    if len(state) == 1 and each[-1] == 1.0:
        landing = _landing(block, len(each) - 1, len(wounds))
        return np.asarray(np.bincount(landing, weights=wounds), dtype=np.float64)
    return _renewed(block, state, wounds, each)


@lru_cache(maxsize=64)
def _landing(block: Block, points: int, count: int) -> NDArray[np.int64]:
    """The damage done after 0 .. count - 1 wounds that all take `points`."""
    done, found = 0, [0]
    while len(found) < count:
        room = block.wounds - (done + block.lost) % block.wounds
        done = min(done + min(points, room), block.end)
        found.append(done)
    return np.array(found)


def _renewed(block: Block, state: Distribution, wounds: Distribution, each: Distribution) -> Distribution:
    """The chain from any state: who is hit without falling, then model after model as each begins fresh."""
    size = block.wounds
    before = _by_model(block, state)
    sums = _sums(each, size, min(size, len(wounds) - 1))
    falls = _falls(sums, each)
    padded = np.concatenate((wounds, np.zeros(len(sums) - 1)))
    rest = sliding_window_view(padded, len(sums)) @ sums
    after = before @ shifts(rest[0])
    after[-1] = before[-1]
    starts = before[:-1] @ falls[:, size:0:-1].T
    for model, (first, begun) in enumerate(_beginnings(starts, falls[:, size], len(wounds)), 1):
        if model < block.models:
            after[model] += begun @ rest[first : first + len(begun)]
        else:
            after[model, 0] += begun @ np.cumsum(wounds[::-1])[::-1][first : first + len(begun)]
    return np.asarray(after.reshape(-1)[block.lost : block.lost + block.end + 1])


def _beginnings(starts: Distribution, falls: Distribution, count: int) -> Iterator[tuple[int, Distribution]]:
    """For each model after the first, the chances that it is the next one, unhurt, from wound `first` on.

    Row k of `starts` has the chances that a model already hurt falls and leaves k + 1 slain; `falls` those that
    a fresh one takes so many wounds. Chances far below the rounding of a chance are left out.
    """
    first, begun = 0, np.zeros(1)
    hurt: list[bool] = np.asarray(starts.any(axis=1)).tolist()
    last = max((model for model, some in enumerate(hurt) if some), default=0)
    for model, start in enumerate(starts):
        begun = np.convolve(begun, falls)[: count - first]
        if hurt[model]:
            joined = np.zeros(max(len(start), first + len(begun)))
            joined[first : first + len(begun)] = begun
            joined[: len(start)] += start
            first, begun = 0, joined[:count]
        if count > _MANY:
            there: list[int] = np.flatnonzero(begun > _NOTHING).tolist()
            if not there and model >= last:
                return
            low, high = (there[0], there[-1] + 1) if there else (0, 1)
            first, begun = first + low, begun[low:high]
        yield first, begun


def _by_model(block: Block, state: Distribution) -> Distribution:
    """The state as a table: models slain by wounds lost; its last row holds the slain unit in column 0."""
    table = np.zeros((block.models + 1) * block.wounds)
    table[block.lost : block.lost + len(state)] = state
    return table.reshape(-1, block.wounds)


def _sums(each: Distribution, size: int, most: int) -> Distribution:
    """Row m: the chances that m wounds take 0 .. size - 1 points together; shape (most + 1, size)."""
    found = np.zeros((most + 1, size))
    found[0, 0] = 1.0
    for row in range(1, most + 1):
        found[row] = np.convolve(found[row - 1], each)[:size]
    return found


def _falls(sums: Distribution, each: Distribution) -> Distribution:
    """Row t, column y: the chance that wound t is the one that takes the last of y points, y up to the size."""
    size = sums.shape[1]
    least = np.zeros(size + 1)  # the chance of so many points or more; at 0 nobody falls
    least[: len(each)] = np.cumsum(each[::-1])[::-1]
    least[0] = 0.0
    return np.concatenate((np.zeros((1, size + 1)), sums[:-1] @ shifts(least)[:-1]))
