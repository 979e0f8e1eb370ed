"""A model under wounds that do not spill, wound by wound: a Markov chain over the wounds that it has lost."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from resolver.counts import Distribution


def moves(each: Distribution, size: int) -> Distribution:
    """[lost after, lost before] of a model of `size` wounds that stays, and in the last row that it falls.

    `each` are the chances of the points that one wound takes; shape (size + 1, size).
    """
    return _moves(each.tobytes(), size)


@lru_cache(maxsize=64)
def _moves(each: bytes, size: int) -> Distribution:
    taken = np.zeros(size)
    law = np.frombuffer(each)[:size]
    taken[: len(law)] = law
    staying = [np.concatenate((np.zeros(lost), taken[: size - lost])) for lost in range(size)]
    falling = [max(0.0, 1 - float(stays.sum())) for stays in staying]
    return np.array([*zip(*staying, strict=True), falling])


def stepped(table: Distribution, moved: Distribution) -> Distribution:
    """One wound later: `table` is [wounds lost, …, models slain]; what falls off the last model is left out."""
    size = len(table)
    after = (moved @ table.reshape(size, -1)).reshape(size + 1, *table.shape[1:])
    after[0, ..., 1:] += after[-1, ..., :-1]
    return np.asarray(after[:-1])
