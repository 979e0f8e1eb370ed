"""Absorbing Markov chains in rational arithmetic: the world outside for wounds that walk through a target.

A chain maps each transient state to the chances of the next state; a state without a row absorbs.
Source: Grinstead & Snell, Introduction to Probability, section 11.2 (fundamental matrix N = (I - Q)^-1).
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from fractions import Fraction
from typing import TypeVar

from sympy import QQ
from sympy.polys.matrices import DomainMatrix

State = TypeVar("State", bound=Hashable)
Chain = Mapping[State, Mapping[State, Fraction]]


def fundamental(chain: Chain[State]) -> list[list[Fraction]]:
    """How often each transient state is visited from each: the fundamental matrix, in the chain's order."""
    states = list(chain)
    rows = [
        [QQ(int(i == j)) - _rational(chain[state].get(other, Fraction())) for j, other in enumerate(states)]
        for i, state in enumerate(states)
    ]
    inverse = DomainMatrix(rows, (len(states), len(states)), QQ).inv()
    return [[Fraction(int(cell.numerator), int(cell.denominator)) for cell in row] for row in inverse.to_list()]


def steps(chain: Chain[State], start: State) -> Fraction:
    """The expected number of steps before absorption."""
    return sum(fundamental(chain)[list(chain).index(start)], Fraction())


def steps_squared(chain: Chain[State], start: State) -> Fraction:
    """The expected square of the number of steps before absorption: row of (2N - I) N, summed."""
    matrix = fundamental(chain)
    sums = [sum(row, Fraction()) for row in matrix]
    row = matrix[list(chain).index(start)]
    return 2 * sum((visits * total for visits, total in zip(row, sums, strict=True)), Fraction()) - sum(row)


def absorbed(chain: Chain[State], start: State) -> dict[State, Fraction]:
    """The chance of ending in each absorbing state."""
    visits = dict(zip(chain, fundamental(chain)[list(chain).index(start)], strict=True))
    ends: dict[State, Fraction] = {}
    for state, row in chain.items():
        for after, chance in row.items():
            if after not in chain:
                ends[after] = ends.get(after, Fraction()) + visits[state] * chance
    return ends


def after(chain: Chain[State], start: Mapping[State, Fraction], count: int) -> dict[State, Fraction]:
    """The chances of the states after so many steps."""
    now = dict(start)
    for _ in range(count):
        following: dict[State, Fraction] = {}
        for state, chance in now.items():
            for other, share in chain.get(state, {state: Fraction(1)}).items():
                following[other] = following.get(other, Fraction()) + chance * share
        now = following
    return now


def _rational(number: Fraction) -> object:
    return QQ(number.numerator, number.denominator)
