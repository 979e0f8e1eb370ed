"""What could be meant while somebody is still typing: the table's units, the glossary's terms, the usual openings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from bot.completing import completions
from bot.going_on import going_on, targets_of
from bot.house import House
from bot.reading.context import Context
from bot.retelling import LOOK_BACK
from bot.standing import Game
from bot.table.current import any_game

OPENINGS = (
    "where are we", "what now", "next phase", "end turn", "back a phase", "undo", "units", "phase", "agreed",
    "not agreed", "roll off", "open table ", "sit with ", "rest", "close table", "own dice yes", "own dice no",
    "explain full", "explain short", "explain off", "log", "page", "report",
)  # fmt: skip
ACTIONS = ("shoot", "fight", "move", "advance", "charge", "fall back")
ATTACKS = ("shoot", "fight")
MOST_ROLLED = 5
_LEAD = re.compile(r"(?:odds|roll|step by step) ")  # what may stand before an attack
_ARTICLE = re.compile(r"\bthe (?=\S)")


class Suggest:
    """Completions, the likeliest first. Everything comes from the house as it stands."""

    def __init__(self, house: House) -> None:
        self._house = house

    def terms(self, typed: str) -> list[str]:
        """Titles of glossary entries that match what was typed: of those by title, abbreviation or other name that
        fit as well, those by title come first, since titles are what is shown.
        """
        entries = self._house.glossary.entries.values()
        by_title = [(entry.title, entry.title) for entry in entries]
        other = [(name, entry.title) for entry in entries for name in (*entry.abbreviations, *entry.names)]
        return completions([*by_title, *other], typed)

    def units(self, where: str, typed: str) -> list[str]:
        """Names of the units at the channel's open table."""
        game = self._game(where)
        names = [standing.name for side in game.sides for standing in side.units] if game else []
        return _fitting(names, typed)

    def openings(self, where: str, typed: str) -> list[str]:
        """Messages about the table: what is usually said, what its units can do, and to whom."""
        lead = _LEAD.match(typed.lower())
        led = [f"{lead[0]}{attack}" for attack in self.attacks(where, typed[lead.end() :])] if lead else []
        deeds = [f"{unit} {action}" for unit in self.units(where, "") for action in ACTIONS]
        said = [*OPENINGS, *deeds, *self._aimed(where, (*ATTACKS, "charge"))]
        return [*_fitting(said, _ARTICLE.sub("", typed)), *led]

    def attacks(self, where: str, typed: str) -> list[str]:
        """Attacks of the table's units with their targets, the last ones rolled, and how what was typed may go on."""
        lead = _LEAD.match(f"{typed.lower()} ")
        said = _ARTICLE.sub("", typed[lead.end() :] if lead else typed)
        fitting = _fitting([*self._aimed(where, ATTACKS), *self._rolled(where)], said)
        return [*fitting, *going_on(said, Context(self._house.ruleset(where)), self._targets(where))]

    def _rolled(self, where: str) -> list[str]:
        """The last attacks of the record, as they may be typed again; the newest first."""
        entries = reversed(self._house.ledger.entries(where, last=LOOK_BACK))
        reads = [entry.read.partition(" with dice ")[0] for entry in entries if "attack" in entry.data]
        return [read.removeprefix("roll ") for read in reads if read.startswith("roll ")][:MOST_ROLLED]

    def _targets(self, where: str) -> list[str]:
        game = self._game(where)
        return [] if game is None else targets_of(game.units[key] for key in _units(game))

    def _aimed(self, where: str, actions: Iterable[str]) -> Iterator[str]:
        """What every unit can do to every unit of the other sides."""
        game = self._game(where)
        for side, unit in _units(game):
            for action in actions:
                yield from (f"{unit} {action} {target}" for other, target in _units(game) if other != side)

    def _game(self, where: str) -> Game | None:
        game = any_game(self._house, where)
        return game if game is not None and game.open else None


def _units(game: Game | None) -> list[tuple[str, str]]:
    """Every unit that is left, with its side."""
    return [] if game is None else [key for key, standing in game.units.items() if standing.models]


def _fitting(texts: Iterable[str], typed: str) -> list[str]:
    return completions([(text, text) for text in texts], typed)
