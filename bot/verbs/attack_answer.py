"""A rolled attack as an answer: its machine form and its lines, made in the same breath as the dice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from bot.ledger import Draft
from bot.lucky import luck_words
from bot.reply import BETWEEN, Block, Dice, Line, Note, Reply
from bot.verbs.odds_answer import needs_data
from bot.wording import plural
from resolver.attack import Attack
from resolver.check import Check
from resolver.exact import odds
from resolver.live import Rolled, Thrown, roll
from resolver.plan import GroupPlan, Plan, plan
from resolver.refused import Refused
from resolver.ruleset import Ruleset
from resolver.statistics import mid_p


def roll_attack(attack: Attack, ruleset: Ruleset, draft: Draft, read: str, notes: Sequence[str] = ()) -> Reply:
    """Roll the attack with the draft's dice and answer; the draft holds the machine form afterwards."""
    planned = plan(attack, ruleset)
    rolled = roll(planned, draft.dice)
    data = attack_data(planned, rolled, draft.id, read)
    draft.read, draft.ruleset, draft.data = read, ruleset.id, {"attack": read, **data}
    return Reply("attack", f"#{draft.id} {read}", attack_blocks(planned, rolled, data, notes), data)


def attack_data(planned: Plan, rolled: Rolled, number: int, read: str) -> dict[str, Any]:
    """The machine form of a rolled attack."""
    totals = dict(rolled.totals)
    return {
        "id": number,
        "faces": [dict(group.faces) for group in rolled.weapons],
        "totals": totals,
        "luck": {"of": "damage", "percentile": _percentile(planned, totals["damage"])},
        "read": read,
        "ruleset": planned.ruleset.id,
        "needs": needs_data(planned),
        "reasons": list(planned.reasons),
        "idle": list(planned.idle),
    }


def _percentile(planned: Plan, damage: int) -> float | None:
    """Where the damage lies among all that could have been done; None if the attack is too large to be reckoned."""
    try:
        return mid_p(odds(planned).damage, damage)
    except Refused:  # it is rolled all the same
        return None


def attack_blocks(
    planned: Plan,
    rolled: Rolled,
    data: dict[str, Any],
    notes: Sequence[str] = (),
    groups: Sequence[str] = (),
    left: str = "",
) -> tuple[Block, ...]:
    """Dice in order of stages beside the numbers they needed, then who fell, then the luck.

    `groups` are what the target groups are called, where they have names; `left` tells by name who is left.
    """
    blocks: list[Block] = []
    for number, thrown in enumerate(rolled.weapons, 1):
        if len(planned.weapons) > 1:
            blocks.append(Note(f"weapon group {number}"))
        blocks += _with_more(_step_blocks(thrown, planned.weapons[number - 1], groups), planned.weapons[number - 1])
    blocks += [Line(said, strong=True) for said in (_result(rolled, told_left=not left), left) if said]
    blocks.append(Line(luck_words(data)))
    blocks += [Note(note) for note in (*planned.idle, *notes)]
    blocks.append(Note(f"ruleset: {planned.ruleset.title}"))
    return tuple(blocks)


def _result(rolled: Rolled, told_left: bool) -> str:
    """Who fell; and who is hurt and what is left, unless a line by name tells that."""
    totals = rolled.totals
    said = [f"{plural(totals['unsaved'], 'wound')} unsaved"]
    if totals["damage"] != totals["unsaved"]:
        said.append(f"{totals['damage']} damage")
    said.append(f"{plural(totals['slain'], 'model')} slain" if totals["slain"] else "nobody slain")
    if not told_left:
        return ", ".join(said)
    hurt = "one model has lost {}" if totals["damage"] else "one model had lost {} before"
    said += [hurt.format(lost) for _, lost in rolled.left if lost]
    left = [models for models, _ in rolled.left]
    if None not in left:
        total = sum(models for models in left if models is not None)
        said.append(f"{plural(total, 'model')} left" if total else "the unit is gone")
    return ", ".join(said)


def _step_blocks(thrown: Thrown, weapon: GroupPlan, groups: Sequence[str]) -> list[Dice]:
    """One block for each step, and for each target group where they need different numbers for it."""
    shown: list[Dice] = []
    for step, dice in thrown.faces.items():
        checks = thrown.checks[step]
        if dice and not (checks and checks[0].needed):
            shown.append(_amount(step, _each_once(checks), dice))
            continue
        for check in _each_once(checks):
            of_it = [die for die, made in zip(dice, checks, strict=True) if made is check or made == check]
            shown.append(_graded(_whose(step, check, weapon, groups) + step, check, of_it, SUCCESS.get(step, "")))
    return shown


def _with_more(blocks: list[Dice], weapon: GroupPlan) -> list[Dice]:
    """The first dice of a weapon also tell why there are more of them than the weapon has alone."""
    if not blocks:
        return []
    said = [reason for reason in weapon.more if all(reason not in block.why for block in blocks)]
    return [replace(blocks[0], why=BETWEEN.join(filter(None, [*said, blocks[0].why]))), *blocks[1:]]


def _whose(step: str, check: Check, weapon: GroupPlan, groups: Sequence[str]) -> str:
    """Of which target groups it is, where not all need the same number."""
    own = weapon.saves if step == "save" else [damage.ignore for damage in weapon.damages] if step == "ignore" else ()
    names = [name for name, its in zip(groups, own, strict=False) if its == check]
    alike = len({its and its.needed for its in own}) < 2
    return "" if alike or not names else f"{' and '.join(names)} "


def _each_once(checks: Sequence[Check]) -> list[Check]:
    """The different checks, in the order in which dice were first thrown for them."""
    found: list[Check] = []
    for check in checks:
        if check not in found:
            found.append(check)
    return found


def _amount(step: str, checks: Sequence[Check], dice: Sequence[Sequence[int]]) -> Dice:
    """Dice that are added up."""
    faces = tuple(map(tuple, dice))
    why = BETWEEN.join(reason for check in checks for reason in check.reasons)
    return Dice(step, None, why, faces, (False,) * len(faces), f"total {sum(die[-1] for die in faces)}")


def _graded(step: str, check: Check, dice: Sequence[Sequence[int]], success: str) -> Dice:
    """Dice that succeed or fail."""
    faces = tuple(map(tuple, dice))
    good = tuple(check.succeeds(die[-1]) for die in faces)
    outcome = f"{sum(good)} of {len(faces)} {success}".rstrip()
    return Dice(step, check.text, BETWEEN.join(check.reasons), faces, good, outcome)


# What a success of each step is called; a word tells it, not a colour.
SUCCESS = {"hit": "hit", "wound": "wound", "save": "saved", "ignore": "ignored"}
