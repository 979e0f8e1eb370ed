"""Every figure here has its source beside it, is used by a test, and says so when it is from memory."""

from __future__ import annotations

from pathlib import Path

import pytest
from figures import FOLDER, all_figures, figure

TESTS = "\n".join(path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("test_*.py"))


def test_there_are_more_than_forty_figures() -> None:
    assert len(all_figures()) >= 45


@pytest.mark.parametrize("name", all_figures())
def test_every_figure_has_a_source_and_says_whether_it_is_from_memory(name: str) -> None:
    assert len(figure(name).source) > 10
    assert isinstance(figure(name).from_memory, bool)
    assert figure(name).exact


def _used(name: str) -> bool:
    return f'figure("{name}")' in TESTS or f'("{name}", ' in TESTS


@pytest.mark.parametrize("name", [name for name in all_figures() if not name.startswith("binomial_cdf")])
def test_every_figure_is_used(name: str) -> None:
    assert _used(name)


def test_no_figure_is_left_lying_beside_the_folder() -> None:
    assert {path.suffix for path in FOLDER.iterdir()} == {".yaml"}


def test_a_wrong_number_does_not_agree() -> None:
    known = figure("two_dice_totals")
    known.check("mean", 7)
    with pytest.raises(AssertionError):
        known.check("mean", 7.000001)
    with pytest.raises(AssertionError):
        figure("de_mere").check("one_six_in_4", 0.5178)
    with pytest.raises(AssertionError):
        known.check_all("probabilities_2_to_12", [1 / 11] * 11)
