"""The canonical words of an attack: what every answer opens with, and what reads back as the same attack."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from resolver.amount import Amount
from resolver.attack import Attack, Reroll, Target, TargetGroup, WeaponGroup

OWN_DICE = " with my own dice"


def plural(number: int | float, noun: str) -> str:
    """A number and its noun: "1 model", "2 models"."""
    return f"{number:g} {noun}" if number == 1 else f"{number:g} {noun}s"


def own_dice_text(faces: Sequence[int] | None) -> str:
    """The player's own dice at the end of a roll; without a face they are asked for."""
    if faces is None:
        return ""
    return f" with dice {' '.join(map(str, faces))}" if faces else OWN_DICE


def signed(number: int) -> str:
    """A modifier with its sign."""
    return f"{number:+d}"


def inches(number: float) -> str:
    """A distance, without needless decimals."""
    return f"{number:.3f}".rstrip("0").rstrip(".")


def _some(amount: Amount, noun: str) -> str:
    return f"{amount} {noun if str(amount) == '1' else noun + 's'}"


def _reroll(one: str) -> Callable[[Reroll], str]:
    def text(reroll: Reroll) -> str:
        if reroll is Reroll.ONES:
            return f"re-roll 1s to {one}"
        if reroll is Reroll.ONE_FAILED:
            return f"re-roll one failed {one}"
        return f"re-roll {reroll} {one}s"

    return text


Words = Mapping[str, Callable[[Any], str]]

# One clause for each field, in the order of the canonical line.
WEAPON_CLAUSES: Words = {
    "melee": lambda melee: "melee" if melee else "shooting",
    "hit": lambda number: f"hit {number}+" if number else "auto hit",
    "strength": lambda number: f"S{number}",
    "wound": lambda number: f"wound {number}+",
    "ap": lambda number: f"AP-{number}" if number else "no AP",
    "damage": lambda amount: f"damage {amount}",
    "to_hit": lambda number: f"{signed(number)} to hit",
    "to_wound": lambda number: f"{signed(number)} to wound",
    "reroll_hit": _reroll("hit"),
    "reroll_wound": _reroll("wound"),
    "critical_hit": lambda number: f"critical hits on {number}+",
    "critical_wound": lambda number: f"critical wounds on {number}+",
    "extra_hits": lambda amount: f"critical hits score {_some(amount, 'extra hit')}",
    "critical_hits_wound": lambda _: "critical hits wound",
    "critical_wounds_pierce": lambda _: "critical wounds pierce",
    "range": lambda number: f"range {inches(number)}",
    "half_double": lambda _: "half range double attacks",
    "half_plus": lambda amount: f"half range +{_some(amount, 'attack')}",
    "per_five": lambda number: f"+{plural(number, 'attack')} per 5 targets",
    "spills": lambda _: "damage spills",
}
GROUP_CLAUSES: Words = {
    "models": lambda number: plural(number, "model"),
    "save": lambda number: f"save {number}+" if number else "no save",
    "fixed_save": lambda number: f"fixed save {number}+",
    "wounds": lambda number: f"W{number}",
    "lost": lambda number: f"{plural(number, 'wound')} lost",
    "ignore": lambda number: f"ignore {number}+",
    "cover": lambda cover: "cover" if cover else "no cover",
    "reduce": lambda number: f"damage -{number}",
    "halve": lambda _: "half damage",
    "reroll_save": _reroll("save"),
}
_ALONE: Words = {
    "attacks": lambda amount: _some(amount, "attack"),
    "each": lambda each: "each" if each else "in all",
    "toughness": lambda number: f"T{number}",
    "distance": lambda number: f"at {inches(number)}",
    "half": lambda _: "within half range",
}
CLAUSES: Words = {**WEAPON_CLAUSES, **GROUP_CLAUSES, **_ALONE}

_ALWAYS = frozenset(("hit", "damage", "save", "wounds"))


def attack_text(attack: Attack) -> str:
    """The whole attack in one canonical line."""
    weapons = " plus ".join(weapon_text(weapon) for weapon in attack.weapons)
    distance = "" if attack.distance is None else f", at {inches(attack.distance)}"
    return f"{weapons}{distance} into {target_text(attack.target)}"


def weapon_text(weapon: WeaponGroup) -> str:
    """One weapon group."""
    attacks = CLAUSES["attacks"](weapon.attacks)
    if weapon.models > 1:
        attacks = f"{plural(weapon.models, 'model')} with {attacks} each"
    return ", ".join((attacks, *_said(weapon, WEAPON_CLAUSES)))


def target_text(target: Target) -> str:
    """The target: its toughness, then its groups in order."""
    toughness = () if target.toughness is None else (f"T{target.toughness}",)
    if len(target.groups) == 1:
        return ", ".join((*toughness, *_said(target.groups[0], GROUP_CLAUSES)))
    groups = " then ".join(", ".join(_said(group, GROUP_CLAUSES)) for group in target.groups)
    return f"{toughness[0]}: {groups}" if toughness else groups


def _said(group: WeaponGroup | TargetGroup, words: Words) -> Iterator[str]:
    """The clauses of a group; what has its ordinary value is left unsaid."""
    for name, text in words.items():
        value = getattr(group, name)
        if name in _ALWAYS or (value is not None and value is not False and value != 0):
            yield text(value)
