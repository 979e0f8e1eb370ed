"""How the table is worded: where the game stands, what is left of a unit, who did what."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bot.naming import possessive
from bot.roster import Group, Unit, Weapon
from bot.standing import Game, Key, Standing
from bot.table.units import unit_words
from bot.unit_text import defence
from bot.wording import plural, weapon_text


def listed(words: Sequence[str], last: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def place_words(game: Game) -> str:
    """Round, side and phase."""
    if game.over:
        return f"the game is over after {plural(game.rounds, 'round')}"
    here = game.place
    if not here.turn:
        return "no side is at the table yet"
    return f"round {here.round} of {game.rounds}, {possessive(here.turn)} {here.phase} phase"


def score_words(game: Game) -> str:
    """The score of every side."""
    return ", ".join(f"{side.name} {side.score}" for side in game.sides)


def unit_line(game: Game, key: Key) -> str:
    """What is left of a unit and what it did this turn, in one line."""
    standing = game.units[key]
    name = unit_words(game, key)
    if not standing.models:
        return f"{name}: gone"
    return f"{name}: {left_words(standing)}{_doing(game, key)}"


def left_words(standing: Standing) -> str:
    """How many models are left, and where anything is missing."""
    whole = f"{standing.models} of {plural(standing.unit.models, 'model')}"
    several = len(standing.unit.groups) > 1
    parts = [text for _, group, models, lost in standing.groups if (text := _group_words(group, models, lost, several))]
    return f"{whole} ({', '.join(parts)})" if parts else whole


def left_line(game: Game, key: Key) -> str:
    """What is left of a unit, as a sentence ends."""
    standing = game.units[key]
    return f"{left_words(standing)} left" if standing.models else "none left"


def _group_words(group: Group, models: int, lost: int, several: bool) -> str:
    said = []
    if several and models < group.models:
        said.append(f"{group.name} {models} of {group.models}")
    if lost:
        said.append(f"one{f' of {group.name}' if several and not said else ''} has lost {lost} of {group.wounds}")
    return ", ".join(said)


def _doing(game: Game, key: Key) -> str:
    done = [what for what in game.did(key) if what != "engaged"]
    foes = [unit_words(game, foe) for foe in game.foes(key)]
    said = [*done, *([f"engaged with {listed(foes)}"] if foes else [])]
    return "; " + ", ".join(said) if said else ""


def stat_lines(unit: Unit) -> Iterable[str]:
    """The unit as one reads it off a card."""
    yield f"M{unit.move:g} T{unit.toughness}"
    for group in unit.groups:
        yield f"{plural(group.models, 'model')} ({group.name}): {', '.join(defence(group))}"
        for weapon in group.weapons:
            yield f"  {weapon_words(weapon)}"


def weapon_words(weapon: Weapon) -> str:
    """A weapon and its numbers."""
    return f"{weapon.name}: {weapon_text(weapon.carried(1))}"
