"""An attack under a ruleset becomes a plan: the ordered checks of each weapon group, with their reasons.

A plan is all that the live roll, the odds and the explanation know; no target number is worked out elsewhere.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from resolver.allowed import check_numbers, check_played, check_size, check_target, check_weapons
from resolver.amount import Amount
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.check import Check, Feeds
from resolver.reasons import (
    by_group,
    called,
    damage_reasons,
    half_plus_reason,
    idle_reasons,
    many,
    more_reasons,
    range_reasons,
    save_reasons,
)
from resolver.refused import Refused
from resolver.ruleset import Ruleset, Step
from resolver.steps import Outcome, amount_check, hit_check, ignore_check, save_check, wound_check

PIERCED = "pierced"
UNSAVED = "unsaved"


@dataclass(frozen=True)
class Needs:
    """The numbers as people write them; `hit` None is automatic, `wound` None a game without that roll."""

    hit: str | None
    wound: str | None
    save: tuple[str, ...]


@dataclass(frozen=True)
class Damage:
    """What an unsaved wound does: `amount`, halved rounding up, less `reduce`, then `ignore` rolls."""

    amount: Amount
    halve: bool = False
    reduce: int = 0
    ignore: Check | None = None
    spills: bool = False

    def lessened(self, rolled: int) -> int:
        """The points left of `rolled` after halving and reducing, at least 1 (ignore rolls not yet made)."""
        halved = (rolled + 1) // 2 if self.halve else rolled
        return max(1, halved - self.reduce)


@dataclass(frozen=True)
class GroupPlan:
    """One weapon group: `start` is fed before any die, then every check of `checks` in order.

    `counted` says after how many checks the things outstanding are the attacks, hits, wounds and unsaved
    wounds. With one target group the save is the last of `checks` (in a game of the usual order); with
    several it is not among them, and the things fed to "save" are saved one at a time. `saves` and `damages`
    have one item for each target group. No more attacks can be made than `most_attacks`, and no pool of this
    group can be larger than `most`. `more` are those of the reasons that tell why there are more attacks than the
    weapon has alone, `idle` those that tell what has no effect.
    """

    start: Feeds
    checks: tuple[Check, ...]
    counted: Mapping[str, int]
    saves: tuple[Check, ...]
    damages: tuple[Damage, ...]
    most_attacks: int
    most: int
    reasons: tuple[str, ...]
    more: tuple[str, ...] = ()
    idle: tuple[str, ...] = ()

    def check(self, name: str) -> Check | None:
        """The check of that name among `checks`, if there is one."""
        return next((check for check in self.checks if check.name == name), None)

    @property
    def needs(self) -> Needs:
        """The numbers needed by this weapon group."""
        hit, wound = self.check(Step.HIT), self.check(Step.WOUND)
        return Needs(_text(hit), _text(wound), tuple(save.text for save in self.saves))


@dataclass(frozen=True)
class Plan:
    """The whole attack: one GroupPlan for each weapon group, the target, the ruleset it is played under."""

    weapons: tuple[GroupPlan, ...]
    target: Target
    ruleset: Ruleset

    @property
    def needs(self) -> tuple[Needs, ...]:
        """The numbers needed, one item for each weapon group."""
        return tuple(group.needs for group in self.weapons)

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why each number is what it is, every reason once."""
        return tuple(dict.fromkeys(reason for group in self.weapons for reason in group.reasons))

    @property
    def idle(self) -> tuple[str, ...]:
        """Those of the reasons that tell what was said and has no effect."""
        return tuple(dict.fromkeys(reason for group in self.weapons for reason in group.idle))

    def called(self, groups: Sequence[str]) -> Plan:
        """The same plan with its target groups called by name in the reasons, if they have names."""
        if not groups:
            return self
        named = (
            replace(group, reasons=called(group.reasons, groups), idle=called(group.idle, groups))
            for group in self.weapons
        )
        return replace(self, weapons=tuple(named))


def plan(attack: Attack, ruleset: Ruleset) -> Plan:
    """The plan of `attack` under `ruleset`. Raises Refused for what the ruleset or the limits exclude."""
    check_weapons(len(attack.weapons))
    check_target(attack.target, ruleset)
    for weapon in attack.weapons:
        check_played(weapon, ruleset)
        check_numbers(weapon, ruleset)
    weapons = tuple(_group_plan(weapon, attack, ruleset) for weapon in attack.weapons)
    check_size(sum(group.most_attacks for group in weapons), sum(group.most for group in weapons))
    return Plan(weapons, attack.target, ruleset)


def _group_plan(weapon: WeaponGroup, attack: Attack, ruleset: Ruleset) -> GroupPlan:
    groups = attack.target.groups
    order = _order(weapon, ruleset, several=len(groups) > 1)
    start, rolled, near, more = _attacks(weapon, attack, order[0])
    checks = list(rolled)
    made = {Step.HIT: len(checks)}
    saves = tuple(save_check(group, weapon, {_after(order, Step.SAVE): 1}, ruleset) for group in groups)
    for step in order:
        if step != Step.SAVE:
            checks += _step_checks(step, weapon, attack, order, ruleset)
        elif len(groups) == 1:
            checks.append(saves[0])
        made[step] = len(checks)
    hits = made[Step.HIT]
    counted = {"attacks": len(rolled), "hits": hits, "wounds": made.get(Step.WOUND, hits), "unsaved": len(checks)}
    damages = tuple(_damage(weapon, group, ruleset) for group in groups)
    reasons = [*near, *more, *(reason for check in checks if check.name != Step.SAVE for reason in check.reasons)]
    idle = idle_reasons(weapon, attack.target, saves, ruleset.steps)
    automatic = ["hits automatically: no hit dice, so no critical hits"] if weapon.hit is None else []
    reasons += [*save_reasons(saves), *automatic, *idle, *damage_reasons(weapon, groups)]
    reasons += by_group([damage.ignore.reasons if damage.ignore else () for damage in damages])
    most_attacks = _most(start, rolled) if rolled else start[order[0]]
    most = _most(start, checks)
    told = tuple(reasons), tuple(more), idle
    return GroupPlan(start, tuple(checks), counted, saves, damages, most_attacks, most, *told)


def _text(check: Check | None) -> str | None:
    return None if check is None else check.text


def _order(weapon: WeaponGroup, ruleset: Ruleset, several: bool) -> tuple[Step, ...]:
    """The steps that throw dice; a game without a save step ends with a save that nothing reaches."""
    steps = tuple(step for step in ruleset.steps if step is not Step.HIT or weapon.hit is not None)
    if Step.SAVE not in steps:
        return (*steps, Step.SAVE)
    if steps[-1] is not Step.SAVE:
        if several:
            raise Refused("steps", f"{ruleset.title} saves before wounding: one target group only")
        if weapon.critical_hits_wound and weapon.hit is not None:
            raise Refused("critical hits", f"{ruleset.title} saves before wounding: critical hits can't wound")
    return steps


def _after(order: tuple[Step, ...], step: Step) -> str:
    """The name of what a success of `step` feeds."""
    later = order[order.index(step) + 1 :]
    return later[0].value if later else UNSAVED


def _attacks(weapon: WeaponGroup, attack: Attack, first: str) -> tuple[Feeds, list[Check], list[str], list[str]]:
    """What is fed before any hit die: the start, the checks of a rolled number, how near it is, why there are more."""
    near = weapon.range is not None and attack.distance is not None and 2 * attack.distance <= weapon.range
    near = near and weapon.has_half_bonus
    doubled = near and weapon.half_double
    each_rolls = f"each model rolls {weapon.attacks} attacks"
    parts = [amount_check("attacks", weapon.attacks, each_rolls, first, 2 if doubled else 1)]
    if near and weapon.half_plus is not None:
        parts.append(amount_check("bonus", weapon.half_plus, half_plus_reason(weapon), first))
    each = weapon.per_five * ((attack.target.models or 0) // 5)
    start = {first: each * weapon.models}
    for _, fed in parts:
        for name, count in fed.items():
            start[name] = start.get(name, 0) + count * weapon.models
    more = more_reasons(weapon, attack, near, each)
    return start, [check for check, _ in parts if check], range_reasons(weapon, attack, near), more


def _step_checks(
    step: Step, weapon: WeaponGroup, attack: Attack, order: tuple[Step, ...], ruleset: Ruleset
) -> list[Check]:
    after = _after(order, step)
    if step is Step.HIT:
        return _hit_checks(weapon, after, order, ruleset)
    pierces = weapon.critical_wounds_pierce and after == Step.SAVE
    number, why = _wound_number(weapon, attack.target, ruleset)
    said = ("a critical wound pierces: no save of any kind",) if pierces else ()
    outcome = Outcome({after: 1}, {PIERCED if pierces else after: 1}, said)
    return [wound_check(weapon, number, why, outcome, ruleset)]


def _hit_checks(weapon: WeaponGroup, after: str, order: tuple[Step, ...], ruleset: Ruleset) -> list[Check]:
    """The hit die, and the dice of extra hits if their number is rolled."""
    assert weapon.hit is not None
    outright = weapon.critical_hits_wound and after == Step.WOUND
    critical = {_after(order, Step.WOUND) if outright else after: 1}
    why = ["a critical hit wounds without a wound roll"] if outright else []
    extra = None
    if weapon.extra_hits is not None:
        why.append(f"a critical hit scores {many(weapon.extra_hits, 'extra hit')}")
        extra, fed = amount_check("extra", weapon.extra_hits, why[-1], after)
        for name, count in fed.items():
            critical[name] = critical.get(name, 0) + count
    hit = hit_check(weapon, weapon.hit, Outcome({after: 1}, critical, tuple(why)), ruleset)
    return [hit] if extra is None else [hit, extra]


def _wound_number(weapon: WeaponGroup, target: Target, ruleset: Ruleset) -> tuple[int, str]:
    if weapon.wound is not None:
        return weapon.wound, f"the wound number is given: {weapon.wound}+"
    if weapon.strength is None:
        raise Refused("strength", "strength is needed, such as S4, or a wound number, such as wound 4+")
    if target.toughness is None:
        raise Refused("toughness", "toughness is needed, such as T4, or a wound number, such as wound 4+")
    assert ruleset.wound_chart is not None
    return ruleset.wound_chart.needed(weapon.strength, target.toughness)


def _damage(weapon: WeaponGroup, group: TargetGroup, ruleset: Ruleset) -> Damage:
    ignore = None if group.ignore is None else ignore_check(group.ignore, ruleset)
    return Damage(weapon.damage, group.halve, group.reduce, ignore, weapon.spills)


def _most(start: Feeds, checks: Sequence[Check]) -> int:
    """The most things that can be outstanding before, between and after `checks`."""
    top: dict[str, int] = {}
    for check in reversed(checks):
        most = 1
        for row, _ in check.shares:
            most = max(most, _fed(row, top))
        top[check.name] = most
    return _fed(start, top)


def _fed(row: Feeds, top: Mapping[str, int]) -> int:
    fed = 0
    for name, count in row.items():
        fed += count * top.get(name, 1)
    return fed
