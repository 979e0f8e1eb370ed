"""The chains used as references agree with published ones, before anything is compared with them."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from chains import Chain, absorbed, after, fundamental, steps, steps_squared
from figures import figure
from scipy import sparse
from scipy.sparse import linalg

HALF = Fraction(1, 2)


def walk(top: int, up: Fraction) -> Chain[int]:
    """A walk on 0..top by single steps, absorbed at both ends."""
    return {place: {place + 1: up, place - 1: 1 - up} for place in range(1, top)}


def run(length: int) -> Chain[int]:
    """Sixes in a row, until there are `length` of them."""
    return {sixes: {sixes + 1: Fraction(1, 6), 0: Fraction(5, 6)} for sixes in range(length)}


@pytest.mark.parametrize(
    ("name", "up"), [("gs_drunkards_walk", HALF), ("gs_drunkards_walk_two_thirds", Fraction(2, 3))]
)
def test_a_walk_between_two_ends_has_the_published_matrices(name: str, up: Fraction) -> None:
    known, chain = figure(name), walk(4, up)
    known.check_all("N", (cell for row in fundamental(chain) for cell in row))
    known.check_all("t", (steps(chain, place) for place in chain))
    known.check_all("B", (absorbed(chain, place)[end] for place in chain for end in (0, 4)))


def test_jumps_to_the_right_take_the_published_number_of_steps() -> None:
    known = figure("gs_jump_right_1_to_5")
    chain = {i: {j: Fraction(1, 5 - i) for j in range(i + 1, 6)} for i in range(1, 5)}
    known.check_all("N", (cell for row in fundamental(chain) for cell in row))
    known.check_all("t", (steps(chain, place) for place in chain))


@pytest.mark.parametrize("row", [0, 4])
def test_ruin_comes_as_often_and_as_late_as_published(row: int) -> None:
    known = figure("feller_ruin_table")
    p, stake, total = known.given["rows_p_z_a"][row]
    chain = walk(total, Fraction(p))
    ruin, duration = absorbed(chain, stake)[0], steps(chain, stake)
    assert float(ruin) == pytest.approx(float(known.numbers("ruin")[row]), abs=1e-12)
    assert float(duration) == pytest.approx(float(known.numbers("duration")[row]), rel=1e-12)


@pytest.mark.parametrize("row", range(9))
def test_longer_walks_solved_by_scipy_are_ruined_as_published(row: int) -> None:
    known = figure("feller_ruin_table")
    p, stake, total = known.given["rows_p_z_a"][row]
    up, size = float(p), total - 1
    system = sparse.diags([up - 1, 1.0, -up], [-1, 0, 1], shape=(size, size), format="csc")
    ruined = np.zeros(size)
    ruined[0] = 1 - up
    solved = linalg.spsolve(system, np.column_stack([ruined, np.ones(size)]))
    ruin, duration = solved[stake - 1]
    assert ruin == pytest.approx(float(known.numbers("ruin")[row]), rel=1e-6)
    assert duration == pytest.approx(float(known.numbers("duration")[row]), rel=1e-6)


@pytest.mark.parametrize("length", [1, 2, 3])
def test_a_run_of_sixes_is_waited_for_as_long_as_published(length: int) -> None:
    figure("success_runs_wait").check(f"run_of_{length}", steps(run(length), 0))


def test_all_six_faces_are_waited_for_as_long_as_published() -> None:
    known = figure("coupon_collector_die")
    chain = {seen: {seen: Fraction(seen, 6), seen + 1: Fraction(6 - seen, 6)} for seen in range(6)}
    mean = steps(chain, 0)
    known.check("mean", mean)
    known.check("variance", steps_squared(chain, 0) - mean**2)
    done = [after(chain, {0: Fraction(1)}, rolls).get(6, Fraction()) for rolls in range(20)]
    known.check("all_faces_in_6", done[6])
    known.check("done_by_13", done[13])
    known.check("median_rolls", next(rolls for rolls, chance in enumerate(done) if chance > HALF))


def test_the_first_six_is_waited_for_as_wald_says() -> None:
    known = figure("wald_first_six")
    wait = steps({"waiting": {"waiting": Fraction(5, 6), "six": Fraction(1, 6)}}, "waiting")
    known.check("EN", wait)
    known.check("ES", wait * Fraction(7, 2))


def test_a_total_of_seven_is_reached_as_wald_says() -> None:
    known = figure("wald_total_at_least_7")
    chain = {sum_: {sum_ + face: Fraction(1, 6) for face in range(1, 7)} for sum_ in range(7)}
    known.check("EN", steps(chain, 0))
    known.check("ES", sum(total * chance for total, chance in absorbed(chain, 0).items()))
