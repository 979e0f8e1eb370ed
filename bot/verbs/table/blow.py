"""An attack by name, rolled: the dice, who falls, the event, and the answer; all in one breath."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from bot.asked import Asked
from bot.game import Event, Happened
from bot.house import House
from bot.ledger import Draft
from bot.reply import Block, Note, Reply
from bot.requests.action import Strike
from bot.standing import Game, Key
from bot.table.again import second_try, second_words
from bot.table.permit import DEED
from bot.table.record import consented, game_after, state_data
from bot.table.strike import Aimed, hurt
from bot.table.under_way import left_before, left_words
from bot.table.units import unit_words
from bot.table.words import left_line, listed
from bot.verbs.attack_answer import attack_blocks, attack_data
from bot.verbs.odds import keep_in_mind
from bot.wording import attack_text, plural
from resolver.live import Rolled, Source, roll
from resolver.plan import Plan, plan
from resolver.ruleset import Ruleset


@dataclass(frozen=True, kw_only=True)
class Blow:
    """Everything about one attack by name but the dice. `extra` goes into the event, `kept` into the record."""

    request: Strike
    key: Key
    target: Key
    aimed: Aimed
    extra: Mapping[str, Any] = field(default_factory=dict)
    kept: Mapping[str, Any] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    mends: int | None = None


def strike_blow(blow: Blow, draft: Draft, source: Source, asked: Asked, house: House, game: Game) -> Reply:
    """Roll with the source's faces and fill in the draft; `game` is the table as the attack found it."""
    ruleset = house.ruleset(asked.where)
    planned = planned_blow(blow.aimed, ruleset)
    rolled = roll(planned, source)
    event, agreed = consented(house, asked, blow.request, _event(blow, rolled))
    after = game_after(house, asked, Happened(draft.id, asked.who, event, blow.mends))
    data = attack_data(planned, rolled, draft.id, str(blow.request))
    lost = list(_casualties(blow, game, rolled))
    again, second = _tried_before(blow, event, asked, house)
    said = f"{said_words(blow, game)}: {fallen_words(blow, after, lost)}{agreed}"
    marks = {"second_try": again} if again is not None else {}
    kept = {
        "attack": attack_text(blow.aimed.attack),
        "weapons": list(blow.aimed.weapons),
        "groups": list(blow.aimed.names),
        **blow.kept,
        **marks,
    }
    draft.read, draft.ruleset = str(blow.request), ruleset.id
    draft.data = {**kept, **data, "event": event, "said": said}
    if blow.mends is None:
        _keep_in_mind(blow.request, asked, house)
    else:
        draft.data["mends"] = blow.mends
    whole = (
        data
        | marks
        | {
            "casualties": lost,
            "weapons": list(blow.aimed.weapons),
            "said": said,
            "state": state_data(house, asked.where, after),
        }
    )
    if blow.mends is not None:
        whole["mends"] = blow.mends
    left = f"{unit_words(after, blow.target)}: {left_line(after, blow.target)}"
    shown = attack_blocks(planned, rolled, data, (*blow.aimed.notes, *blow.notes, *second), blow.aimed.names, left)
    blocks = tuple(_named_weapons(shown, blow.aimed.weapons))
    mends = "" if blow.mends is None else f"mends #{blow.mends}: "
    return Reply("attack", f"#{draft.id} {mends}{blow.request}", blocks, whole, _offers(blow, after))


def _keep_in_mind(request: Strike, asked: Asked, house: House) -> None:
    """So that `why` is about this attack."""
    keep_in_mind(house, asked, str(replace(request, odds=True, faces=None)), rolled=True)


def _event(blow: Blow, rolled: Rolled) -> dict[str, Any]:
    return {
        "type": "attack",
        "action": blow.request.action,
        "unit": list(blow.key),
        "target": list(blow.target),
        "deed": DEED[blow.request.action],
        "hurt": hurt(blow.aimed, rolled.left),
        "slain": rolled.totals["slain"],
        **blow.extra,
    }


def _casualties(blow: Blow, game: Game, rolled: Rolled) -> Iterator[dict[str, Any]]:
    """One item for each group of the target that lost anything."""
    unit = game.units[blow.target].unit
    for index, before, (models, lost) in zip(
        blow.aimed.groups, blow.aimed.attack.target.groups, rolled.left, strict=True
    ):
        left = models or 0
        slain = (before.models or 0) - left
        if slain or lost != before.lost:
            item = {
                "unit": unit.name,
                "group": unit.groups[index].name,
                "slain": slain,
                "left": left,
                "lost": lost,
            }
            yield item


def said_words(blow: Blow, game: Game) -> str:
    """Who did what to whom."""
    unit, target = unit_words(game, blow.key), unit_words(game, blow.target)
    distance = blow.aimed.attack.distance
    at = "" if distance is None else f' at {distance:g}"'
    return f"{unit} {'fight' if blow.request.action == 'fight' else 'shoot'} {target}{at}"


def fallen_words(blow: Blow, after: Game, lost: Sequence[Mapping[str, Any]]) -> str:
    """Who is gone, and what is left."""
    alone = {group.name for group in after.units[blow.target].unit.groups if group.models == 1}
    fallen = [
        f"the {item['group']}" if item["group"] in alone else f"{item['slain']} of the {item['group']}"
        for item in lost
        if item["slain"]
    ]
    several = len(after.units[blow.target].unit.groups) > 1
    slain = sum(item["slain"] for item in lost)
    gone = listed(fallen) if several and fallen else plural(slain, "model") if slain else "nobody"
    return f"{gone} slain, {left_line(after, blow.target)}"


def _tried_before(blow: Blow, event: Event, asked: Asked, house: House) -> tuple[int | None, tuple[str, ...]]:
    """The entry of the same attack that was undone, or left half thrown, and how that is told."""
    if blow.mends is not None:
        return None, ()
    undone = second_try(house, asked.where, event)
    if undone is not None:
        return undone, (second_words(undone),)
    left = left_before(house, asked.where, str(blow.request), blow.kept.get("lesson"))
    return left, () if left is None else (left_words(left),)


def _named_weapons(blocks: Sequence[Block], weapons: Sequence[str]) -> Iterator[Block]:
    """The blocks, with weapons in the place of bare numbers of weapon groups."""
    names = {f"weapon group {number}": name for number, name in enumerate(weapons, 1)}
    for block in blocks:
        yield Note(names[block.text]) if isinstance(block, Note) and block.text in names else block


def _offers(blow: Blow, after: Game) -> tuple[str, ...]:
    """The target fights back with what is left, if it has not fought yet."""
    if blow.request.action == "fight" and after.units[blow.target].models and "fought" not in after.did(blow.target):
        return (f"{unit_words(after, blow.target)} fight {unit_words(after, blow.key)}",)
    return ()


def planned_blow(aimed: Aimed, ruleset: Ruleset) -> Plan:
    """The plan of an attack by name, whose reasons name the target's groups."""
    return plan(aimed.attack, ruleset).called(aimed.names)
