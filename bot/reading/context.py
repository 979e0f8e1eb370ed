"""What a reading may lean on beside the words: the ruleset, the channel's own words, what was said before."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from resolver.ruleset import Ruleset


def _no_term(words: str) -> bool:
    """Where no glossary is at hand, nothing is a name of it."""
    return False


@dataclass(frozen=True)
class Context:
    """`memory` is what this person's last exchange left open (see bot/app.py); `units` are the table's names, and
    `parts` those of the models and weapons in the units.

    `synonyms` map a channel's own word or phrase to one of our clauses; `is_term` knows the glossary's names,
    `misspells_term` what is nearly one, `describes_term` what plainly describes something that it explains,
    `is_word` what is no slip in a word of ours but a word of its own.
    """

    ruleset: Ruleset
    synonyms: Mapping[str, str] = field(default_factory=dict)
    units: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    memory: Mapping[str, Any] = field(default_factory=dict)
    is_term: Callable[[str], bool] = field(default=_no_term, compare=False)
    misspells_term: Callable[[str], bool] = field(default=_no_term, compare=False)
    describes_term: Callable[[str], bool] = field(default=_no_term, compare=False)
    is_word: Callable[[str], bool] = field(default=_no_term, compare=False)
