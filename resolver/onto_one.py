"""Wounds onto the models of one target group, exactly: a Markov chain over the damage done so far.

The state is an array over the damage done, 0 to `end` (all models slain). A model that begins fresh needs a
random number of damaging wounds to fall, so the wounds at which models fall are a renewal process (Feller,
An Introduction to Probability Theory, vol. I, ch. XIII); that is walked model by model, not wound by wound.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from resolver.attack import TargetGroup
from resolver.chain import moves, stepped
from resolver.counts import MOST_POINTS, Distribution, added, capped, certain, compound, ended, shifts
from resolver.refused import Refused

A_WOUND, A_MODEL = 8, 14  # what a step of either way costs, in millionths of a second or so

_NOTHING = 1e-25
_VANISHED = 1e-30
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


class Dealt(NamedTuple):
    """What a weapon group deals. `wounds` counts unsaved wounds that take at least one point, `each` is what one
    unsaved wound takes (its entry 0 is the chance of nothing, left out of `wounds` already)."""

    wounds: Distribution
    each: Distribution
    spills: bool


def carried(block: Block, dealt: Sequence[Dealt]) -> Distribution:
    """The damage done after all weapon groups. Raises Refused beyond MOST_POINTS of spilling damage."""
    state, points = certain(0), 0
    for spills, run in groupby(_harmful(block, dealt), lambda blow: blow.spills):
        if not spills:
            for blow in run:
                state = _carried(block, state, blow.wounds, capped(blow.each, block.wounds))
            continue
        spilling = list(run)
        points += sum((len(blow.wounds) - 1) * (len(blow.each) - 1) for blow in spilling)
        if points > MOST_POINTS:
            raise Refused("damage", f"this could spill {points:,} points of damage; the limit is {MOST_POINTS:,}")
        state = capped(added([state, *(compound(blow.wounds, blow.each) for blow in spilling)]), block.end)
    return state


def _harmful(block: Block, dealt: Sequence[Dealt]) -> Iterator[Dealt]:
    """What is dealt, no more than slays everyone, and of each wound only what takes at least a point."""
    for wounds, each, spills in dealt:
        some = each
        if each[0]:
            some = each.copy()
            some[0] = 0.0
            some /= some.sum()
        yield Dealt(capped(ended(wounds), block.end), some, spills)


def _carried(block: Block, state: Distribution, wounds: Distribution, each: Distribution) -> Distribution:
    if len(state) == 1 and each[-1] == 1.0:
        landing = _landing(block, len(each) - 1, len(wounds))
        return np.asarray(np.bincount(landing, weights=wounds), dtype=np.float64)
    models = min(block.models, (len(state) - 1 + block.lost) // block.wounds + len(wounds))
    if (len(wounds) - 1) * (A_WOUND + block.wounds**2 * models // 2000) < A_MODEL * models:
        return _walked(block, state, wounds, each, models)
    return renewed(block, state, wounds, each)


def _walked(block: Block, state: Distribution, wounds: Distribution, each: Distribution, models: int) -> Distribution:
    """The chain wound by wound (Horner's scheme), over no more models than can be reached."""
    moved = moves(each, block.wounds)
    before = np.zeros((models + 1) * block.wounds)
    before[block.lost : block.lost + len(state)] = state
    begun = np.ascontiguousarray(before.reshape(-1, block.wounds)[:models].T)
    slain = before[models * block.wounds]
    found, fallen = wounds[-1] * begun, wounds[-1] * slain
    for share in wounds[-2::-1]:
        fallen += moved[-1] @ found[:, -1] + share * slain
        found = stepped(found, moved) + share * begun
    after = np.concatenate((found.T.reshape(-1), [fallen]))
    return after[block.lost : block.lost + block.end + 1]


@lru_cache(maxsize=64)
def _landing(block: Block, points: int, count: int) -> NDArray[np.int64]:
    """The damage done after 0 .. count - 1 wounds that all take `points`."""
    done, found = 0, [0]
    while len(found) < count:
        room = block.wounds - (done + block.lost) % block.wounds
        done = min(done + min(points, room), block.end)
        found.append(done)
    return np.array(found)


def renewed(block: Block, state: Distribution, wounds: Distribution, each: Distribution) -> Distribution:
    """The chain from any state: who is hit without falling, then model after model as each begins fresh."""
    size = block.wounds
    if not wounds.any():
        return np.zeros(block.end + 1)
    before = _by_model(block, state)
    sums = sums_of(each, size, len(wounds) - 1)
    falls = falls_of(sums, each)
    padded = np.concatenate((wounds, np.zeros(len(sums) - 1)))
    rest = sliding_window_view(padded, len(sums)) @ sums
    after = before @ shifts(rest[0])
    after[-1] = before[-1]
    starts = before[:-1] @ falls[:, size:0:-1].T
    least = int(np.flatnonzero(wounds)[0]) - len(sums)
    for model, first, begun in _beginnings(starts, falls[:, size], len(wounds), least):
        if model < block.models:
            after[model] += begun @ rest[first : first + len(begun)]
        else:
            after[model, 0] += begun @ np.cumsum(wounds[::-1])[::-1][first : first + len(begun)]
    return np.asarray(after.reshape(-1)[block.lost : block.lost + block.end + 1])


def _beginnings(
    starts: Distribution, falls: Distribution, count: int, least: int
) -> Iterator[tuple[int, int, Distribution]]:
    """For each model after the first: its number, and the chances that it is next, unhurt, from wound `first` on.

    Row k of `starts` has the chances that a model already hurt falls and leaves k + 1 slain; `falls` those that
    a fresh one takes so many wounds. Chances far below the rounding of a chance are left out, and so are models
    that have all been passed by wound `least`.
    """
    first, begun, model = 0, np.zeros(1), 0
    hurt: list[int] = np.flatnonzero(starts.any(axis=1)).tolist()
    last = max(hurt, default=0)
    doubled = [falls]
    while model < len(starts):
        step = 0 if model <= last else _step(doubled, least - first - len(begun), len(starts) - model)
        begun = np.convolve(begun, doubled[step])[: count - first]
        model += 2**step
        if model - 1 in hurt:
            start = starts[model - 1]
            joined = np.zeros(max(len(start), first + len(begun)))
            joined[first : first + len(begun)] = begun
            joined[: len(start)] += start
            first, begun = 0, joined[:count]
        if count > _MANY:
            there: list[int] = np.flatnonzero(begun > _NOTHING).tolist()
            if not there and model > last:
                return
            low, high = (there[0], there[-1] + 1) if there else (0, 1)
            first, begun = first + low, begun[low:high]
        yield model, first, begun


def _step(doubled: list[Distribution], room: int, models: int) -> int:
    """The largest step of 2**step models, no more than there are, that all fall within `room` wounds.

    `doubled` holds the laws of how many wounds 1, 2, 4, … models take, and grows as it is asked for.
    """
    step = 0
    while 2 ** (step + 1) <= models and 2 ** (step + 1) < room:
        if len(doubled) == step + 1:
            law = np.convolve(doubled[-1], doubled[-1])
            doubled.append(law[: int(np.flatnonzero(law > _NOTHING)[-1]) + 1])
        if len(doubled[step + 1]) > room:
            break
        step += 1
    return step


def _by_model(block: Block, state: Distribution) -> Distribution:
    """The state as a table: models slain by wounds lost; its last row holds the slain unit in column 0."""
    table = np.zeros((block.models + 1) * block.wounds)
    table[block.lost : block.lost + len(state)] = state
    return table.reshape(-1, block.wounds)


def sums_of(each: Distribution, size: int, most: int) -> Distribution:
    """Row m: the chances that m wounds take 0 .. size - 1 points together, as long as there is one; m up to `most`."""
    found = [np.eye(1, size)[0]]
    while len(found) <= most and found[-1].max() > _VANISHED:
        found.append(np.convolve(found[-1], each)[:size])
    return np.array(found)


def falls_of(sums: Distribution, each: Distribution) -> Distribution:
    """Row t, column y: the chance that wound t is the one that takes the last of y points, y up to the size."""
    size = sums.shape[1]
    least = np.zeros(size + 1)  # the chance of so many points or more; at 0 nobody falls
    least[: len(each)] = np.cumsum(each[::-1])[::-1]
    least[0] = 0.0
    return np.concatenate((np.zeros((1, size + 1)), sums[:-1] @ shifts(least)[:-1]))
