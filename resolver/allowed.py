"""What a ruleset leaves out and what is too large: every plain refusal before a plan is made."""

from __future__ import annotations

from collections.abc import Iterator

from resolver.attack import Target, WeaponGroup
from resolver.refused import Refused, within
from resolver.ruleset import Feature, Ruleset

MOST_ATTACKS = 1000  # dice in all, once half range and the like are added
MOST_WEAPONS = 100
MOST_HITS = 10_000  # with extra hits


def check_weapons(count: int) -> None:
    """Raise Refused for more weapon groups than are reckoned one after the other in good time."""
    within("number of weapon groups", count, 1, MOST_WEAPONS)


def check_played(weapon: WeaponGroup, ruleset: Ruleset) -> None:
    """Raise Refused if the weapon group uses a feature that the ruleset plays without."""
    for feature, said in _weapon_features(weapon):
        _refuse(feature, said, ruleset)


def check_target(target: Target, ruleset: Ruleset) -> None:
    """Raise Refused if the target uses what the ruleset plays without, or a number its die lacks."""
    for group in target.groups:
        _refuse(Feature.COVER, group.cover, ruleset)
        _refuse(Feature.REROLLS, group.reroll_save is not None, ruleset)
        _refuse(Feature.FIXED_SAVES, group.fixed_save is not None, ruleset)
        _refuse(Feature.IGNORE, group.ignore is not None, ruleset)
        _on_the_die("save", group.save, ruleset)
        _on_the_die("fixed save", group.fixed_save, ruleset)
        _on_the_die("ignore number", group.ignore, ruleset)


def check_moving(modifier: int, reroll: bool, ruleset: Ruleset) -> None:
    """Raise Refused if the dice of a move use what the ruleset plays without."""
    _refuse(Feature.MODIFIERS, bool(modifier), ruleset)
    _refuse(Feature.REROLLS, reroll, ruleset)


def check_numbers(weapon: WeaponGroup, ruleset: Ruleset) -> None:
    """Raise Refused if a number of the weapon group is not on the ruleset's die."""
    _on_the_die("hit number", weapon.hit, ruleset)
    _on_the_die("wound number", weapon.wound, ruleset)
    _on_the_die("critical hit number", weapon.critical_hit, ruleset)
    _on_the_die("critical wound number", weapon.critical_wound, ruleset)


def check_size(attacks: int, hits: int) -> None:
    """Raise Refused if more attacks could be made, or hits scored, than are reckoned in good time."""
    if attacks > MOST_ATTACKS:
        raise Refused("attacks", f"this could be {attacks:,} attacks; the limit is {MOST_ATTACKS:,}")
    if hits > MOST_HITS:
        raise Refused("hits", f"this attack could score {hits:,} hits; the limit is {MOST_HITS:,}")


def _weapon_features(weapon: WeaponGroup) -> Iterator[tuple[Feature, bool]]:
    yield Feature.MODIFIERS, bool(weapon.to_hit or weapon.to_wound)
    yield Feature.HALF_RANGE, weapon.has_half_bonus
    yield Feature.REROLLS, weapon.reroll_hit is not None or weapon.reroll_wound is not None
    thresholds = weapon.critical_hit is not None or weapon.critical_wound is not None
    effects = weapon.extra_hits is not None or weapon.critical_hits_wound or weapon.critical_wounds_pierce
    yield Feature.CRITICALS, thresholds or effects


def _refuse(feature: Feature, said: bool, ruleset: Ruleset) -> None:
    if said and not ruleset.has(feature):
        raise Refused(feature.value, f"{ruleset.title} is played without {feature.value}")


def _on_the_die(name: str, number: int | None, ruleset: Ruleset) -> None:
    if number is not None:
        within(name, number, 2, ruleset.die)
