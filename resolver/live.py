"""The live roll: walk the face tables of a plan with faces that somebody else supplies, keeping every die.

The faces come from a source: the sealed stream, a player's own dice, or a list in a test. None is drawn here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from resolver.check import Check
from resolver.models import Standing
from resolver.plan import PIERCED, UNSAVED, Damage, GroupPlan, Plan
from resolver.refused import Refused
from resolver.ruleset import Step

COUNTS = ("attacks", "hits", "wounds", "unsaved", "damage", "slain")
STEPS = ("attacks", "hit", "extra", "wound", "save", "damage", "ignore")
MOST_IGNORES = 100_000  # dice to ignore damage in one roll


@dataclass(frozen=True, kw_only=True)
class Throw:
    """A handful asked for at once: `count` dice of `sides` faces for one step of one weapon group.

    `check` is what the dice are compared with (None for damage), `again` marks a re-roll of dice just thrown.
    """

    step: str
    sides: int
    count: int
    check: Check | None = None
    weapon: int = 0
    again: bool = False


Source = Callable[[Throw], Sequence[int]]


@dataclass(frozen=True)
class Thrown:
    """The dice of one weapon group: step -> dice, each a list of its face and, if thrown again, the next.

    `checks` has the check that each of these dice was thrown for: target groups may need different numbers.
    """

    faces: dict[str, list[list[int]]]
    checks: dict[str, list[Check]]


@dataclass(frozen=True)
class Rolled:
    """A whole attack rolled: dice of each weapon group, the six totals, what is left of each target group.

    `left` has (models left, or None if the group is large enough; wounds lost by its first model).
    """

    weapons: tuple[Thrown, ...]
    totals: dict[str, int]
    left: tuple[tuple[int | None, int], ...]


def roll(plan: Plan, source: Source) -> Rolled:
    """Roll the attack with the faces of `source`.

    Raises Refused if a face is not on its die, or if more than MOST_IGNORES dice might be thrown to ignore damage.
    """
    _check_ignores(plan)
    standing = Standing(plan.target.groups)
    totals: Counter[str] = Counter()
    thrown = []
    for weapon, group in enumerate(plan.weapons):
        hand = _Hand(source, weapon)
        totals.update(_roll_group(group, hand, standing))
        thrown.append(Thrown(hand.faces, hand.checks))
    totals.update(damage=standing.damage, slain=standing.slain)
    return Rolled(tuple(thrown), {name: totals[name] for name in COUNTS}, standing.left)


def _check_ignores(plan: Plan) -> None:
    points = [
        group.most * max((each.lessened(each.amount.high) for each in group.damages if each.ignore), default=0)
        for group in plan.weapons
    ]
    if sum(points) > MOST_IGNORES:
        message = f"up to {sum(points):,} dice might be thrown to ignore damage; the limit is {MOST_IGNORES:,}"
        raise Refused("ignore", message)


@dataclass
class _Hand:
    """Asks the source for handfuls of one weapon group and keeps what it gives."""

    source: Source
    weapon: int
    faces: dict[str, list[list[int]]] = field(default_factory=lambda: {step: [] for step in STEPS})
    checks: dict[str, list[Check]] = field(default_factory=lambda: {step: [] for step in STEPS})

    def throw(self, check: Check, count: int, one_again: bool = True) -> list[int]:
        """The standing faces of `count` dice, thrown again where the check says so."""
        step = "attacks" if check.name == "bonus" else check.name
        first = Throw(step=step, sides=check.sides, count=count, check=check, weapon=self.weapon)
        dice = self._ask(first)
        again = [die for die in dice if die[0] in check.again]
        if one_again:
            again += [die for die in dice if die[0] in check.one_again][:1]
        second = replace(first, count=len(again), again=True)
        for die, (face,) in zip(again, self._ask(second), strict=True):
            die.append(face)
        self.faces[step] += dice
        self.checks[step] += [check] * count
        return [die[-1] for die in dice]

    def amount(self, damage: Damage) -> int:
        """The damage of one wound, rolled if it is dice."""
        amount = damage.amount
        dice = self._ask(Throw(step="damage", sides=amount.sides, count=amount.dice, weapon=self.weapon))
        self.faces["damage"] += dice
        return sum(face for (face,) in dice) + amount.plus

    def _ask(self, throw: Throw) -> list[list[int]]:
        if not throw.count:
            return []
        faces = list(self.source(throw))
        if len(faces) != throw.count:
            raise Refused("dice", f"the {throw.step} step needs {throw.count} dice, got {len(faces)}")
        for face in faces:
            if not 1 <= face <= throw.sides:
                raise Refused("dice", f"a die of the {throw.step} step shows 1 to {throw.sides}, got {face}")
        return [[face] for face in faces]


def _roll_group(group: GroupPlan, hand: _Hand, standing: Standing) -> dict[str, int]:
    """Roll one weapon group onto what is standing; the counts of attacks, hits, wounds and unsaved wounds."""
    fed = Counter(group.start)
    counts = _count(group, 0, fed)
    for done, check in enumerate(group.checks, 1):
        _feed(check, fed.pop(check.name, 0), fed, hand)
        counts |= _count(group, done, fed)
    if len(group.saves) > 1:
        counts["unsaved"] = _one_at_a_time(group, fed, hand, standing)
    else:
        for _ in range(fed.total()):
            _wound(group.damages[0], hand, standing)
    return counts


def _count(group: GroupPlan, done: int, fed: Counter[str]) -> dict[str, int]:
    return {name: fed.total() for name, checks in group.counted.items() if checks == done}


def _feed(check: Check, count: int, fed: Counter[str], hand: _Hand) -> None:
    """Make `count` dice of the check, or let it fail where no face passes, and feed what follows."""
    faces = hand.throw(check, count) if check.thrown else [1] * count
    for face in faces:
        fed.update(check.feeds(face))


def _one_at_a_time(group: GroupPlan, fed: Counter[str], hand: _Hand, standing: Standing) -> int:
    """Save wound by wound with the save of the model that takes it; the number unsaved while one is left."""
    unsaved, in_hand = 0, True  # one die of the whole step may be thrown again, whichever group's it is
    for _ in range(fed[Step.SAVE]):
        if standing.group is None:
            break
        saved, in_hand = _saved(group.saves[standing.group], hand, in_hand)
        if not saved:
            unsaved += 1
            _wound(group.damages[standing.group], hand, standing)
    for _ in range(fed[PIERCED]):
        if standing.group is None:
            break
        unsaved += 1
        _wound(group.damages[standing.group], hand, standing)
    return unsaved


def _saved(save: Check, hand: _Hand, in_hand: bool) -> tuple[bool, bool]:
    """One save, and whether a single re-roll is still in hand: the first failure that may spends it."""
    if not save.thrown:
        return False, in_hand
    (face,) = hand.throw(save, 1, one_again=in_hand)
    spent = hand.faces[Step.SAVE][-1][0] in save.one_again
    return UNSAVED not in save.feeds(face), in_hand and not spent


def _wound(damage: Damage, hand: _Hand, standing: Standing) -> None:
    """The damage of one unsaved wound on the model that takes it, if one is left."""
    if standing.group is None:
        return
    points = damage.lessened(hand.amount(damage))
    if damage.ignore is not None:
        faces = hand.throw(damage.ignore, points)
        points = sum(damage.ignore.feeds(face).get("lost", 0) for face in faces)
    standing.take(points, damage.spills)
