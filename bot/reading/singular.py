"""Whether a word for models speaks of one; "the guard" and the like may be many."""

from __future__ import annotations

_OF_ONE = ("boss",)
_OF_MANY = ("s", "men", "people", "guard", "cavalry", "infantry", "militia", "artillery", "horse")


def is_single(word: str) -> bool:
    """Whether a word for models, as typed, speaks of one: "man", "the boss", but "men", "figures"."""
    return word.lower().endswith(_OF_ONE) or not word.lower().endswith(_OF_MANY)
