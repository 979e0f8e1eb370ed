"""Whether an outcome of reading is what a corpus case wants of a bad message; None if it is, else why not."""

from __future__ import annotations

from bot.misread import Misread, Unsure
from tests.reading.corpus import Case

_SLACK = 20  # how many characters longer than the guilty words a span may be


def _place(text: str, words: str) -> tuple[int, int]:
    words, _, number = words.partition(" #")
    at = -1
    for _ in range(int(number or 1)):
        at = text.index(words, at + 1)
    return at, at + len(words)


def _points(at: tuple[int, int] | None, guilty: tuple[int, int]) -> bool:
    if at is None:
        return False
    covers = at[0] <= guilty[0] and at[1] >= guilty[1] and at[1] - at[0] <= guilty[1] - guilty[0] + _SLACK
    return covers or (guilty[0] <= at[0] < at[1] <= guilty[1])


def complaint(case: Case, outcome: Misread | Unsure) -> str | None:
    """What is wrong with the complaint, if anything."""
    kind = "choice" if isinstance(outcome, Unsure) else "misread"
    if kind != case.expected:
        return f"a {kind} instead of a {case.expected}"
    if isinstance(outcome, Unsure):
        return None if len(outcome.choices) > 1 else "fewer than two choices"
    return _wrong_place(case, outcome) or _wrong_words(case, outcome)


def _wrong_place(case: Case, misread: Misread) -> str | None:
    wanted = case.want("at")
    if wanted is None:
        return None
    if " & " in wanted:
        first, second = (_place(case.text, words) for words in wanted.split(" & "))
        places = sorted((misread.at or (0, 0), misread.also or (0, 0)))
        good = _points(places[0], min(first, second)) and _points(places[1], max(first, second))
        return None if good else f"points at {misread.at} and {misread.also}, not at {wanted!r}"
    good = any(_points(misread.at, _place(case.text, words)) for words in wanted.split(" | "))
    return None if good else f"points at {misread.at}, not at {wanted!r}"


def _wrong_words(case: Case, misread: Misread) -> str | None:
    missing = case.want("missing")
    if missing is not None and misread.missing != missing:
        return f"misses {misread.missing}, not {missing}"
    said = f"{misread.message} {misread.hint or ''}".lower()
    for mention in (case.want("mentions") or "").split(", "):
        if mention.lower() not in said:
            return f"does not mention {mention!r}"
    return None
