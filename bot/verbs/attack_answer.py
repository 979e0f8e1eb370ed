"""A rolled attack as an answer: its machine form and its lines, made in the same breath as the dice."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bot.ledger import Draft
from bot.lucky import luck_line
from bot.reply import Block, Dice, Line, Note, Reply
from bot.verbs.odds_answer import needs_data
from bot.wording import plural
from resolver.attack import Attack
from resolver.check import Check
from resolver.exact import odds
from resolver.live import Rolled, roll
from resolver.plan import GroupPlan, Plan, plan
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
        "luck": {"of": "damage", "percentile": mid_p(odds(planned).damage, totals["damage"])},
        "read": read,
        "ruleset": planned.ruleset.id,
        "needs": needs_data(planned),
        "reasons": list(planned.reasons),
    }


def attack_blocks(
    planned: Plan, rolled: Rolled, data: dict[str, Any], notes: Sequence[str] = ()
) -> tuple[Block, ...]:
    """Dice in order of stages beside the numbers they needed, then who fell, then the luck."""
    blocks: list[Block] = []
    for number, (group, thrown) in enumerate(zip(planned.weapons, rolled.weapons, strict=True), 1):
        if len(planned.weapons) > 1:
            blocks.append(Note(f"weapon group {number}"))
        blocks += _step_blocks(group, thrown.faces)
    blocks.append(Line(result_line(planned, rolled), strong=True))
    blocks.append(Line(f"luck: {luck_line(data['luck']['percentile'])}"))
    blocks += [Note(note) for note in notes]
    blocks.append(Note(f"ruleset: {planned.ruleset.title}"))
    return tuple(blocks)


def result_line(planned: Plan, rolled: Rolled) -> str:
    """Who fell, who is hurt, what is left."""
    totals = rolled.totals
    said = [f"{plural(totals['unsaved'], 'wound')} unsaved"]
    if totals["damage"] != totals["unsaved"]:
        said.append(f"{totals['damage']} damage")
    said.append(f"{plural(totals['slain'], 'model')} slain" if totals["slain"] else "nobody slain")
    said += [f"one model has lost {lost}" for _, lost in rolled.left if lost]
    left = [models for models, _ in rolled.left]
    if None not in left:
        total = sum(models for models in left if models is not None)
        said.append(f"{plural(total, 'model')} left" if total else "the unit is gone")
    return ", ".join(said)


def _step_blocks(group: GroupPlan, faces: dict[str, list[list[int]]]) -> list[Block]:
    shown: list[Block] = []
    checks = {check.name: check for check in group.checks}
    for step, dice in faces.items():
        if not dice:
            continue
        saves = step == "save" and len({save.needed for save in group.saves}) > 1
        check = None if saves else checks.get(step) or (group.saves[0] if step == "save" else None)
        shown.append(_dice(step, check, dice))
    return shown


def _dice(step: str, check: Check | None, dice: Sequence[Sequence[int]]) -> Dice:
    graded = check is not None and check.needed > 0
    good = tuple(bool(graded and check and check.succeeds(die[-1])) for die in dice)
    return Dice(
        step=step,
        needed=check.text if graded and check else None,
        why="; ".join(check.reasons) if check else "",
        faces=tuple(tuple(die) for die in dice),
        good=good,
        outcome=_outcome(step, good, dice, graded),
    )


# What a success of each step is called; a word tells it, not a colour.
SUCCESS = {"hit": "hit", "wound": "wound", "save": "saved", "ignore": "ignored"}


def _outcome(step: str, good: Sequence[bool], dice: Sequence[Sequence[int]], graded: bool) -> str:
    """Successes; the sum of dice that are an amount; the bare count of saves that need different numbers."""
    if graded:
        return f"{sum(good)} of {len(dice)} {SUCCESS.get(step, '')}".rstrip()
    return f"{len(dice)} thrown" if step == "save" else f"total {sum(die[-1] for die in dice)}"
