"""Loose names: the same, a part of the name, or nearly it; the best kind of match alone counts."""

from __future__ import annotations

import pytest

from bot.naming import folded, matches, nearest

NAMES = ("Wardens", "Reed Runners", "Kiln Guard", "Ember Crew", "Ember Watch", "Squad 1", "Squad 12")


def meant(words: str) -> list[str]:
    return matches(words, [(name, name) for name in NAMES])


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("wardens", ["Wardens"]),
        ("the Warden's", ["Wardens"]),
        ("my warden", ["Wardens"]),
        ("kiln", ["Kiln Guard"]),
        ("guard", ["Kiln Guard"]),
        ("Guard Kiln", ["Kiln Guard"]),
        ("runers", ["Reed Runners"]),
        ("Kilm Guard", ["Kiln Guard"]),
        ("ember", ["Ember Crew", "Ember Watch"]),
        ("crew", ["Ember Crew"]),
        ("Squad 1", ["Squad 1"]),
        ("squad 12", ["Squad 12"]),
        ("squad", ["Squad 1", "Squad 12"]),
        ("goblins", []),
        ("the", []),
        ("", []),
        ("x", []),
    ],
)
def test_words_mean_the_names_that_they_fit_best(words: str, names: list[str]) -> None:
    assert meant(words) == names


def test_case_articles_marks_and_plurals_make_no_difference() -> None:
    assert folded("The  Reed-Runners'") == folded("reed runner")


def test_a_short_word_is_not_cut() -> None:
    assert folded("gas moss") == "gas moss"


def test_the_nearest_name_is_hinted() -> None:
    assert nearest("Kiln Gard", NAMES) == "Kiln Guard"
    assert nearest("anything", ()) is None
