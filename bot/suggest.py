"""What could be meant while somebody is still typing: the table's units, the glossary's terms, the usual openings."""

from __future__ import annotations

from collections.abc import Iterable

from bot.house import House
from bot.table.current import any_game

OPENINGS = (
    "where are we", "what now", "next phase", "end turn", "back a phase", "undo", "units", "phase", "agreed",
    "not agreed", "roll off", "open table ", "sit with ", "rest", "close table", "own dice yes", "own dice no",
    "explain full", "explain short", "explain off", "log", "page", "report",
)  # fmt: skip
ACTIONS = ("shoot", "fight", "move", "advance", "charge", "fall back")


class Suggest:
    """Completions, the likeliest first. Everything comes from the house as it stands."""

    def __init__(self, house: House) -> None:
        self._house = house

    def terms(self, typed: str) -> list[str]:
        """Titles of glossary entries that match what was typed, by title, abbreviation or other name."""
        entries = self._house.glossary.entries.values()
        by_name = [
            (name, entry.title) for entry in entries for name in (entry.title, *entry.abbreviations, *entry.names)
        ]
        return _unique(title for _, title in _ranked(by_name, typed))

    def units(self, where: str, typed: str) -> list[str]:
        """Names of the units at the channel's open table."""
        game = any_game(self._house, where)
        names = [standing.name for side in game.sides for standing in side.units] if game and game.open else []
        return _unique(name for name, _ in _ranked([(name, name) for name in names], typed))

    def openings(self, where: str, typed: str) -> list[str]:
        """Messages about the table: what is usually said, and what its units can do."""
        deeds = [f"{unit} {action}" for unit in self.units(where, "") for action in ACTIONS]
        said = [(text, text) for text in (*OPENINGS, *deeds)]
        return _unique(text for text, _ in _ranked(said, typed))


def _ranked(pairs: list[tuple[str, str]], typed: str) -> list[tuple[str, str]]:
    """Pairs whose first begins with what was typed, then those with a word that does, then those that contain it."""
    low = " ".join(typed.lower().split())
    begins = [pair for pair in pairs if pair[0].lower().startswith(low)]
    words = [pair for pair in pairs if any(word.startswith(low) for word in pair[0].lower().split())]
    contains = [pair for pair in pairs if low in pair[0].lower()]
    return [*begins, *words, *contains]


def _unique(names: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(names))
