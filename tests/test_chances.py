"""The wording of chances and averages: honest at the ends, short in the middle."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.chances import chance_words, fraction_words, number_words, percent, share_words


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (0, "0%"),
        (1e-300, "under 0.1%"),
        (0.0004, "under 0.1%"),
        (0.001, "0.1%"),
        (0.0049, "0.5%"),
        (0.0096, "1%"),
        (0.01, "1%"),
        (1 / 6, "17%"),
        (0.5, "50%"),
        (0.505, "51%"),
        (0.99, "99%"),
        (0.9949, "99.5%"),
        (0.999, "99.9%"),
        (0.9994, "over 99.9%"),
        (0.9996, "over 99.9%"),
        (1 - 1e-15, "over 99.9%"),
        (1, "100%"),
    ],
)
def test_a_percentage_has_only_the_digits_that_help(chance: float, said: str) -> None:
    assert percent(chance) == said


@given(st.fractions(0, 1))
def test_only_what_is_certain_is_called_certain(chance: Fraction) -> None:
    assert (percent(chance) == "100%") == (chance == 1)
    assert (percent(chance) == "0%") == (chance == 0)
    assert (share_words(chance) == "always") == (chance == 1)
    assert (share_words(chance) == "never") == (chance == 0)


@given(st.floats(0, 1))
def test_a_percentage_is_never_off_by_more_than_half_of_its_last_digit(chance: float) -> None:
    said = percent(chance)
    number = float(said.split()[-1].rstrip("%")) / 100
    if said.startswith("under"):
        assert chance < number
    elif said.startswith("over"):
        assert chance > number
    else:
        assert abs(chance - number) <= (0.0005 if "." in said else 0.005) + 1e-9


@given(st.fractions(0, 1), st.fractions(0, 1))
def test_a_larger_chance_never_gets_a_smaller_percentage(one: Fraction, other: Fraction) -> None:
    low, high = sorted((one, other))
    assert _size(percent(low)) <= _size(percent(high))


def _size(said: str) -> float:
    number = float(said.split()[-1].rstrip("%"))
    nudge = {"under": -0.05, "over": 0.05}
    return number + nudge.get(said.split()[0], 0)


def test_a_chance_that_floats_round_to_one_is_not_certain_when_its_contrary_is_known() -> None:
    assert percent(1.0, against=1e-40) == "over 99.9%"
    assert chance_words(1.0, against=0.0) == "100%"


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (Fraction(1, 6), "1 in 6"),
        (1 / 6, "1 in 6"),
        (0.17, "about 1 in 6"),
        (Fraction(5, 18), "about 3 in 10"),
        (Fraction(1, 2), "1 in 2"),
        (0.49, "about even"),
        (Fraction(2, 3), "2 in 3"),
        (Fraction(26, 36), "about 7 in 10"),
        (Fraction(1, 36), "1 in 36"),
        (Fraction(35, 36), "all but 1 in 36"),
        (0.9, "9 in 10"),
        (0.1, "1 in 10"),
        (0.0003, "about 1 in 3,300"),
        (Fraction(1, 46656), "about 1 in 47,000"),
        (1e-9, "fewer than 1 in a million"),
    ],
)
def test_a_chance_is_also_said_as_people_say_it(chance: float | Fraction, said: str) -> None:
    assert share_words(chance) == said


@given(st.fractions(Fraction(1, 1_000_000), Fraction(999_999, 1_000_000)))
def test_the_everyday_form_says_about_exactly_when_it_is_not_exact(chance: Fraction) -> None:
    said = share_words(chance)
    if said == "about even":
        assert chance != Fraction(1, 2)
        return
    part, whole = re.search(r"([\d,]+) in ([\d,]+)", said).groups()  # type: ignore[union-attr]
    named = Fraction(int(part), int(whole.replace(",", "")))
    value = 1 - named if said.startswith("all but") else named
    assert ("about" in said) == (abs(value - chance) > 1e-12)


@given(st.fractions(Fraction(1, 1_000_000), Fraction(999_999, 1_000_000)))
def test_the_everyday_form_is_near_the_truth(chance: Fraction) -> None:
    said = share_words(chance)
    if said == "about even":
        value = Fraction(1, 2)
    else:
        part, whole = re.search(r"([\d,]+) in ([\d,]+)", said).groups()  # type: ignore[union-attr]
        named = Fraction(int(part), int(whole.replace(",", "")))
        value = 1 - named if said.startswith("all but") else named
    rare = min(chance, 1 - chance)
    assert abs(value - chance) <= max(Fraction(1, 20) * rare, 0 if rare < Fraction(1, 10) else Fraction(1, 20))


def test_the_percentage_comes_first_and_the_everyday_form_beside_it() -> None:
    assert chance_words(0.166) == "17% (about 1 in 6)"
    assert chance_words(0.166, short=True) == "17%"
    assert chance_words(0.0001, short=True) == "<0.1%"
    assert chance_words(0.9999, short=True) == ">99.9%"
    assert chance_words(0) == "0%"


def test_a_known_fraction_is_said_unless_it_repeats_or_is_too_long_to_help() -> None:
    assert fraction_words(Fraction(5, 18)) == "28% (5/18, about 3 in 10)"
    assert fraction_words(Fraction(1, 6)) == "17% (1 in 6)"
    assert fraction_words(Fraction(31031, 46656)) == "67% (about 2 in 3)"
    assert fraction_words(Fraction(1)) == "100%"


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0, "0"),
        (2, "2"),
        (2.0000000000001, "2"),
        (2.04, "2.0"),
        (35 / 6, "5.8"),
        (1 / 3, "0.33"),
        (0.996, "1.0"),
        (0.004, "<0.01"),
        (123.4, "123"),
        (1234.5678, "1,235"),
        (Fraction(19, 2), "9.5"),
    ],
)
def test_an_average_has_only_the_digits_that_help(value: float | Fraction, said: str) -> None:
    assert number_words(value) == said
