"""needs: the number one die needs and why, read off the same plan that attacks are rolled by."""

from __future__ import annotations

from typing import Any

from bot.asked import Asked
from bot.chances import fraction_words
from bot.house import House
from bot.reply import Block, Line, Note, Reply
from bot.requests.dice import Needs, SeveralNeeds
from resolver.amount import fixed
from resolver.attack import Attack, Target, TargetGroup, WeaponGroup
from resolver.check import Check
from resolver.plan import plan
from resolver.refused import Refused
from resolver.ruleset import Ruleset, Step


def answer(request: Needs, asked: Asked, house: House) -> Reply:
    """The needed number, its chance, its reasons."""
    ruleset = house.ruleset(asked.where)
    check = needed_check(request, ruleset)
    data = {**_data(request, check), "read": str(request), "ruleset": ruleset.id}
    return Reply("needs", str(request), (*_blocks(request, check), Note(f"ruleset: {ruleset.title}")), data)


def several(request: SeveralNeeds, asked: Asked, house: House) -> Reply:
    """The same for each of several dice."""
    ruleset = house.ruleset(asked.where)
    checks = [(one, needed_check(one, ruleset)) for one in request.options]
    data = {"needs": [_data(*one) for one in checks], "read": str(request), "ruleset": ruleset.id}
    blocks = (block for one in checks for block in _blocks(*one))
    return Reply("needs", str(request), (*blocks, Note(f"ruleset: {ruleset.title}")), data)


def _data(request: Needs, check: Check) -> dict[str, Any]:
    return {
        "check": request.check,
        "target": check.needed,
        "text": check.text,
        "chance": str(check.chance),
        "reasons": list(check.reasons),
    }


def _blocks(request: Needs, check: Check) -> tuple[Block, ...]:
    return (
        Line(f"{request.check} {check.text}: {fraction_words(check.chance)}", strong=True),
        *(Line(reason) for reason in check.reasons),
        *(Note(note) for note in request.notes),
    )


def needed_check(request: Needs, ruleset: Ruleset) -> Check:
    """The check that an attack with just these numbers would make."""
    if request.check not in ruleset.steps:
        raise Refused("check", f"{ruleset.title} has no {request.check} roll")
    group = plan(_attack(request, ruleset), ruleset).weapons[0]
    if request.check == Step.SAVE:
        return group.saves[0]
    return next(check for check in group.checks if check.name == request.check)


def _attack(request: Needs, ruleset: Ruleset) -> Attack:
    """The smallest attack in which the asked check stands."""
    wounding, hitting, saving = (request.check == step for step in (Step.WOUND, Step.HIT, Step.SAVE))
    given = request.number if wounding else None
    if not wounding and Step.WOUND in ruleset.steps:
        given = ruleset.die
    weapon = WeaponGroup(
        attacks=fixed(1),
        melee=request.melee,
        hit=request.number if hitting else None,
        strength=request.strength if wounding else None,
        wound=given,
        ap=request.ap,
        to_hit=request.modifier if hitting else 0,
        to_wound=request.modifier if wounding else 0,
        reroll_hit=request.reroll if hitting else None,
        reroll_wound=request.reroll if wounding else None,
        critical_hit=request.critical if hitting else None,
        critical_wound=request.critical if wounding else None,
    )
    group = TargetGroup(
        save=request.number if saving else None,
        fixed_save=request.fixed_save,
        cover=request.cover,
        reroll_save=request.reroll if saving else None,
    )
    return Attack(weapons=(weapon,), target=Target(groups=(group,), toughness=request.toughness if wounding else None))
