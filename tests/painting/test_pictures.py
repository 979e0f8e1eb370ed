"""Pictures are PNG, small enough for a phone, and leave out only what nobody could see."""

from __future__ import annotations

from typing import Any

import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from bot.pictures import png, shown
from bot.reply import Picture

# PNG (Portable Network Graphics) Specification, second edition, W3C 2003, section 5.2: the file signature.
SIGNATURE = bytes([137, 80, 78, 71, 13, 10, 26, 10])


def size(data: bytes) -> tuple[int, int]:
    """Width and height from the IHDR chunk (same specification, section 11.2.2)."""
    return int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big")


def test_a_picture_is_a_png_that_fits_a_phone() -> None:
    data = png(Picture("chances", (("damage", (0.25, 0.5, 0.25)), ("slain", (0.9, 0.1))), "alt"))
    assert data.startswith(SIGNATURE)
    assert size(data)[0] <= 800
    assert len(data) < 200_000


def test_each_series_has_its_own_row() -> None:
    one = png(Picture("chances", (("damage", (0.5, 0.5)),), "alt"))
    two = png(Picture("chances", (("damage", (0.5, 0.5)), ("slain", (0.5, 0.5))), "alt"))
    assert size(two)[1] == 2 * size(one)[1]


def test_ends_that_nobody_could_see_are_left_out() -> None:
    assert shown((0.0001, 0.5, 0.4998, 0.0001)) == (1, 2)


def test_a_certain_result_is_one_bar() -> None:
    assert shown((0.0, 1.0)) == (1, 1)


def test_the_same_picture_is_the_same_file() -> None:
    picture = Picture("chances", (("damage", (0.5, 0.5)),), "alt")
    assert png(picture) == png(picture)


def axes_of(picture: Picture, monkeypatch: pytest.MonkeyPatch) -> list[Axes]:
    """The rows of a picture as they are drawn."""
    drawn: list[Figure] = []
    save = Figure.savefig

    def keeping(figure: Figure, *args: Any, **options: Any) -> None:
        drawn.append(figure)
        save(figure, *args, **options)

    monkeypatch.setattr(Figure, "savefig", keeping)
    png(picture)
    return drawn[0].axes


def test_counts_on_the_axis_are_whole_even_for_a_near_certain_outcome(monkeypatch: pytest.MonkeyPatch) -> None:
    certain = Picture("chances", (("damage", (*[0.0] * 18, 1.0)), ("slain", (0.01, 0.99))), "alt")
    for axes in axes_of(certain, monkeypatch):
        assert all(float(tick).is_integer() for tick in axes.get_xticks())


def test_rows_of_the_same_count_stand_over_one_scale_and_others_do_not(monkeypatch: pytest.MonkeyPatch) -> None:
    alike = (("A: models slain", (0.9, 0.1)), ("B: models slain", (0.0, 0.0, 0.5, 0.5)))
    one, two = axes_of(Picture("side by side", alike, "alt"), monkeypatch)
    assert (one.get_xlim(), one.get_ylim()) == (two.get_xlim(), two.get_ylim())
    assert one.get_xlim()[0] < 0 < 3 < one.get_xlim()[1]
    one, two = axes_of(Picture("chances", (("damage", (0.9, 0.1)), ("slain", (0.5, 0.5, 0.0))), "alt"), monkeypatch)
    assert one.get_ylim() != two.get_ylim()


def test_a_picture_is_called_by_its_attack_and_shows_its_numbers(monkeypatch: pytest.MonkeyPatch) -> None:
    named = (("A: Wardens shoot $x$ 日: models slain", (0.25, 0.75)), ("B: odds: models slain", (0.125,) * 8))
    one, two = axes_of(Picture("side by side " * 30, named, "alt"), monkeypatch)
    assert (one.get_title(), one.get_xlabel()) == ("A: Wardens shoot $x$ □", "models slain")
    assert [text.get_text() for text in one.texts] == ["25%", "75%"]
    assert len(two.texts) == 8
    title = one.figure.get_suptitle()
    assert title.endswith("…")
    assert title.count("\n") == 2
