"""May this unit do that now? The ruleset's permissions, read against what the unit did, by entry."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bot.house import House
from bot.naming import possessive
from bot.questions.values import values_of
from bot.standing import Game, Key
from bot.table.units import unit_words
from bot.table.words import listed, place_words
from resolver.ruleset import Permission, Ruleset

# What a unit did, as the state says it, and as the permissions of a ruleset ask for it.
AFTER = {
    "moved": "after move",
    "advanced": "after advance",
    "fell back": "after fall back",
    "shot": "after shoot",
    "charged": "after charge",
    "failed a charge": "after failed charge",
    "fought": "after fight",
}
DEED = {"move": "moved", "advance": "advanced", "fall back": "fell back", "shoot": "shot", "fight": "fought"}
STAYED = "stayed"
OTHER_TURN = "in the other turn"
NOT_ENGAGED = "they are not engaged"
_FACTS = {"shot": "they have shot", "fought": "they have fought", "failed a charge": "their charge failed"}
_DOING = {"shoot": "shooting", "move": "moving", "advance": "advancing", "fall back": "falling back"}


@dataclass(frozen=True)
class Verdict:
    """One finding: `allowed` is yes, no or depends; `fact` is what holds of the unit, `because` the rule.

    `deed` is set where the fact comes from what the unit did or how it stands, and not from the moment;
    `final` where no agreement can help: nobody is left.
    """

    allowed: str
    fact: str
    because: str
    entry: str = ""
    deed: bool = False
    final: bool = False


def verdicts(house: House, where: str, game: Game, key: Key, action: str) -> tuple[Verdict, ...]:
    """Everything that the ruleset says of this action by this unit now, the strongest objection first."""
    ruleset = house.ruleset(where)
    found = [
        *_gone(game, key),
        *_timing(game, ruleset, key, action),
        *_conditions(game, ruleset, key, action),
    ]
    return tuple(sorted(found, key=_strength))


def _strength(verdict: Verdict) -> tuple[int, bool]:
    """Objections first; among them, what the unit did before what the moment is."""
    return ("no", "depends", "yes").index(verdict.allowed), not verdict.deed


def objections(house: House, where: str, game: Game, key: Key, action: str) -> tuple[Verdict, ...]:
    """What forbids the action."""
    return tuple(verdict for verdict in verdicts(house, where, game, key, action) if verdict.allowed == "no")


def doubts(house: House, where: str, game: Game, key: Key, action: str) -> tuple[str, ...]:
    """What the ruleset leaves to the players, as notes."""
    found = [verdict for verdict in verdicts(house, where, game, key, action) if verdict.allowed == "depends"]
    if action == "fight" and game.foes(key):
        return ()  # they are engaged, and that is all that such a doubt is about
    return tuple(map(objection_words, found))


def objection_words(verdict: Verdict) -> str:
    """The finding in one breath: the fact, then the rule."""
    return f"{verdict.fact}. {verdict.because}" if verdict.because else verdict.fact


def _gone(game: Game, key: Key) -> Iterator[Verdict]:
    if not game.units[key].models:
        yield Verdict("no", f"none of the {key[1]} are left", "", final=True)
    if game.over:
        yield Verdict("no", place_words(game), "")


def _timing(game: Game, ruleset: Ruleset, key: Key, action: str) -> Iterator[Verdict]:
    here = game.place
    other = here.turn != key[0]
    held = [phase.id for phase in ruleset.phases if action in phase.actions]
    if here.phase not in held and held:
        mine = f"{possessive(key[0])} {held[0]} phase" if action != "fight" else f"the {held[0]} phase"
        comes = f"{doing_words(action).capitalize()} comes in {mine}."
        yield Verdict("no", f"it is {place_words(game)}", comes, "phase")
    elif other:
        yield from _said(ruleset, action, OTHER_TURN, f"it is {possessive(here.turn)} turn")


def _conditions(game: Game, ruleset: Ruleset, key: Key, action: str) -> Iterator[Verdict]:
    for what, entry in game.did(key).items():
        if what in AFTER:
            fact = f"{_FACTS.get(what, f'they {what}')} this turn (#{entry})"
            yield from _said(ruleset, action, AFTER[what], fact, deed=True)
    foes = game.foes(key)
    if foes:
        entry = game.did(key)["engaged"]
        names = listed([f"the {unit_words(game, foe)}" for foe in foes])
        yield from _said(ruleset, action, "engaged", f"they are engaged with {names} (#{entry})", deed=True)
    else:
        yield from _said(ruleset, action, "not engaged", NOT_ENGAGED)


def _said(ruleset: Ruleset, action: str, condition: str, fact: str, *, deed: bool = False) -> Iterator[Verdict]:
    permission = ruleset.permission(action, condition)
    if permission is not None:
        yield Verdict(permission.allowed, fact, because(permission, ruleset), permission.entry, deed)


def barred_by(ruleset: Ruleset, action: str, condition: str) -> bool:
    """Whether the ruleset forbids the action under the condition."""
    permission = ruleset.permission(action, condition)
    return permission is not None and permission.allowed == "no"


def because(permission: Permission, ruleset: Ruleset) -> str:
    """The reason, with the ruleset's own values in it."""
    return permission.because.format_map(values_of(ruleset))


def doing_words(action: str) -> str:
    """The action as a noun."""
    return _DOING.get(action, f"the {action}")
