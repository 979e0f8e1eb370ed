"""What each unit may still do this turn, and why it may not do the rest."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bot.house import House
from bot.standing import Game, Key
from bot.table.permit import NOT_ENGAGED, OTHER_TURN, Verdict, barred_by, objections
from bot.table.units import unit_words
from bot.table.words import listed
from resolver.ruleset import ACTIONS

NOTHING_TO_DECLARE = "nothing to declare in this phase"


@dataclass(frozen=True)
class Todo:
    """One unit: what it may do in this phase, what in a later one, and the reasons against the rest.

    `here` are the actions that this phase is for.
    """

    key: Key
    here: tuple[str, ...]
    now: tuple[str, ...]
    later: tuple[str, ...]
    barred: dict[str, Verdict]


def todo(house: House, where: str, game: Game, key: Key) -> Todo:
    """What is left to this unit in this turn."""
    ruleset = house.ruleset(where)
    phases = list(ruleset.phases)
    own = key[0] == game.place.turn
    ids = [phase.id for phase in phases]
    here = ids.index(game.place.phase) if game.place.phase in ids else 0
    now: list[str] = []
    later: list[str] = []
    barred: dict[str, Verdict] = {}
    for index, phase in enumerate(phases[here:]):
        for action in phase.actions:
            if action not in ACTIONS or (index and not own and barred_by(ruleset, action, OTHER_TURN)):
                continue
            found = [
                verdict
                for verdict in objections(house, where, game, key, action)
                if index == 0 or verdict.deed or _unneeded(action, verdict)
            ]
            if found:
                barred[action] = found[0]
            else:
                (later if index else now).append(action)
    return Todo(key, phases[here].actions if phases else (), tuple(now), tuple(later), barred)


def to_say(game: Game, item: Todo) -> str | None:
    """A message that does what the unit may do now; with its target where there is one to choose."""
    name = unit_words(game, item.key)
    foes = game.foes(item.key)
    for action in item.now:
        if action == "fight" and foes:
            return f"{name} fight {unit_words(game, foes[0])}"
        if action in ("shoot", "charge"):
            return " ".join((name, action, *_only_enemy(game, item.key)))
        if action in ("move", "fall back"):
            return f"{name} {action}"
    return None


def _only_enemy(game: Game, key: Key) -> tuple[str, ...]:
    enemies = [other for other in game.units if other[0] != key[0] and game.units[other].models]
    return (unit_words(game, enemies[0]),) if len(enemies) == 1 else ()


def _unneeded(action: str, verdict: Verdict) -> bool:
    """Falling back is no option for a unit that is not engaged, whatever the phase."""
    return action == "fall back" and verdict.fact == NOT_ENGAGED


def todo_line(game: Game, item: Todo, only_now: bool = False) -> str:
    """One unit's line; what is plain from the phase alone is not said."""
    said = []
    if item.now:
        said.append(f"may {listed(item.now, 'or')}")
    if item.later and not only_now:
        said.append(f"later {listed(item.later, 'or')}")
    reasons: dict[str, list[str]] = {}
    for action, verdict in item.barred.items():
        if action == "fall back" and not game.foes(item.key):
            continue
        if verdict.deed and (not only_now or action in item.here):
            reasons.setdefault(verdict.fact, []).append(action)
    said += [f"no {listed(actions, 'or')}: {fact}" for fact, actions in reasons.items()]
    return f"{unit_words(game, item.key)}: {'; '.join(said) or 'nothing to declare'}"


def todo_lines(
    house: House, where: str, game: Game, side: str | None = None, *, only_now: bool = False
) -> Iterator[str]:
    """The units of the side in turn (or named), one line each; in the fight, engaged enemies too."""
    turn = side or game.place.turn
    for key, standing in game.units.items():
        if not standing.models:
            continue
        item = todo(house, where, game, key)
        if key[0] == turn or (side is None and "fight" in item.now):
            if (
                only_now
                and not item.now
                and not any(item.barred[action].deed for action in item.here if action in item.barred)
            ):
                continue
            yield todo_line(game, item, only_now)


def unfinished(house: House, where: str, game: Game) -> tuple[str, ...]:
    """Units that could still have fought in the phase that ends."""
    if game.place.phase != "fight":
        return ()
    left = [
        unit_words(game, key)
        for key, standing in game.units.items()
        if standing.models and "fight" in todo(house, where, game, key).now
    ]
    return (f"not fought yet: {listed(left)}; `back` if they should",) if left else ()
