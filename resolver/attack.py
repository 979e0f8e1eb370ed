"""What people say of an attack: weapon groups, target groups, distance. No value here can be built wrong.

Nothing here knows a target number or a ruleset; resolver/plan.py works those out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from resolver.amount import Amount, fixed
from resolver.refused import Refused, within

MOST_MODELS = 200
MOST_WOUNDS = 100
MOST_DAMAGE = 100
MOST_DICE_IN_ALL = 1000
LARGEST_STAT = 100
LARGEST_NUMBER = 20  # the largest die that a ruleset may check on


class Reroll(StrEnum):
    """Which dice of one step are thrown again (once); `ONE_FAILED` is a single die of the step."""

    ONES = "1s"
    FAILED = "failed"
    NON_CRITICAL = "non-critical"
    ONE_FAILED = "one failed"


@dataclass(frozen=True, kw_only=True)
class WeaponGroup:
    """Models that attack alike. `hit` None is an automatic hit; `wound` is a number given outright.

    `attacks` is rolled separately for each of `models`. `half_double` and `half_plus` are the bonus within
    half of `range` inches; `per_five` raises each model's number for every full five target models.
    """

    attacks: Amount
    models: int = 1
    melee: bool = False
    hit: int | None = None
    strength: int | None = None
    wound: int | None = None
    ap: int = 0
    damage: Amount = field(default_factory=lambda: fixed(1))
    to_hit: int = 0
    to_wound: int = 0
    reroll_hit: Reroll | None = None
    reroll_wound: Reroll | None = None
    critical_hit: int | None = None
    critical_wound: int | None = None
    extra_hits: Amount | None = None
    critical_hits_wound: bool = False
    critical_wounds_pierce: bool = False
    range: float | None = None
    half_double: bool = False
    half_plus: Amount | None = None
    per_five: int = 0
    spills: bool = False

    def __post_init__(self) -> None:
        within("number of models", self.models, 1, MOST_MODELS)
        within("number of attacks", self.attacks.low, 1, MOST_DICE_IN_ALL)
        within("number of dice in all", self.models * self.attacks.high, 1, MOST_DICE_IN_ALL)
        within("damage", self.damage.low, 1, MOST_DAMAGE)
        within("damage", self.damage.high, 1, MOST_DAMAGE)
        within("AP", self.ap, 0, LARGEST_STAT)
        within("modifier to hit", self.to_hit, -10, 10)
        within("modifier to wound", self.to_wound, -10, 10)
        within("bonus per five targets", self.per_five, 0, 100)
        for name, number in (
            ("hit number", self.hit),
            ("wound number", self.wound),
            ("critical hit number", self.critical_hit),
            ("critical wound number", self.critical_wound),
        ):
            if number is not None:
                within(name, number, 2, LARGEST_NUMBER)
        if self.strength is not None:
            within("strength", self.strength, 1, LARGEST_STAT)
        if self.range is not None:
            within("range", self.range, 0.5, 1000)
        if self.melee and (self.range is not None or self.has_half_bonus):
            raise Refused("melee", "melee weapons have no range and no half range")
        if self.extra_hits is not None:
            within("number of extra hits", self.extra_hits.low, 1, 100)
            within("number of extra hits", self.extra_hits.high, 1, 100)
        if self.half_plus is not None:
            within("half-range bonus", self.half_plus.low, 1, 100)
            within("half-range bonus", self.half_plus.high, 1, 100)

    @property
    def has_half_bonus(self) -> bool:
        return self.half_double or self.half_plus is not None


@dataclass(frozen=True, kw_only=True)
class TargetGroup:
    """Models that defend alike. `models` None is "large enough"; `lost` are wounds the first has lost."""

    models: int | None = None
    wounds: int = 1
    save: int | None = None
    fixed_save: int | None = None
    ignore: int | None = None
    reduce: int = 0
    halve: bool = False
    cover: bool = False
    reroll_save: Reroll | None = None
    lost: int = 0

    def __post_init__(self) -> None:
        if self.models is not None:
            within("number of models", self.models, 1, MOST_MODELS)
        within("wounds statistic", self.wounds, 1, MOST_WOUNDS)
        within("number of wounds lost", self.lost, 0, self.wounds - 1)
        within("damage reduction", self.reduce, 0, MOST_DAMAGE)
        for name, number in (("save", self.save), ("fixed save", self.fixed_save), ("ignore number", self.ignore)):
            if number is not None:
                within(name, number, 2, LARGEST_NUMBER)
        if self.reroll_save is Reroll.NON_CRITICAL:
            raise Refused("re-roll", "a save has no criticals; re-roll failed saves or 1s")


@dataclass(frozen=True, kw_only=True)
class Target:
    """The unit attacked: one toughness, its groups in the order in which its owner loses them."""

    groups: tuple[TargetGroup, ...]
    toughness: int | None = None

    def __post_init__(self) -> None:
        if not self.groups:
            raise ValueError("a target has at least one group")
        if self.toughness is not None:
            within("toughness", self.toughness, 1, LARGEST_STAT)
        if len(self.groups) > 1 and any(group.models is None for group in self.groups):
            raise Refused("models", "with several target groups each needs its number of models")
        if self.models is not None:
            within("number of models", self.models, 1, MOST_MODELS)

    @property
    def models(self) -> int | None:
        """How many models in all, or None when the target is large enough."""
        counts = [group.models for group in self.groups]
        return None if None in counts else sum(count for count in counts if count is not None)


@dataclass(frozen=True, kw_only=True)
class Attack:
    """Weapon groups in sequence on one target, at one distance in inches (None: not said)."""

    weapons: tuple[WeaponGroup, ...]
    target: Target
    distance: float | None = None

    def __post_init__(self) -> None:
        if not self.weapons:
            raise ValueError("an attack has at least one weapon group")
        within(
            "number of dice in all",
            sum(weapon.models * weapon.attacks.high for weapon in self.weapons),
            1,
            MOST_DICE_IN_ALL,
        )
        if self.distance is not None:
            within("distance", self.distance, 0, 1000)
        for weapon in self.weapons:
            self._check(weapon)

    def _check(self, weapon: WeaponGroup) -> None:
        if weapon.per_five and self.target.models is None:
            raise Refused("models", "a bonus per five targets needs the number of target models")
        if weapon.melee and (self.distance is not None or any(group.cover for group in self.target.groups)):
            raise Refused("melee", "distance and cover are for shooting, not for melee")
        if weapon.range is not None and self.distance is not None and self.distance > weapon.range:
            raise Refused("range", f'{self.distance:g}" is beyond the range of {weapon.range:g}"')
        if weapon.has_half_bonus and weapon.range is None:
            raise Refused("range", "a half-range bonus needs the range")
        if weapon.has_half_bonus and self.distance is None:
            raise Refused("distance", "a half-range bonus needs the distance")
