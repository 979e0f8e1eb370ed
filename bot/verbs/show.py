"""show: one entry whole, as a dispute needs it: message, reading, reasons, faces, who, when, ruleset."""

from __future__ import annotations

import re
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.ledger import Entry
from bot.reply import Block, Dice, Line, Note, Reply
from bot.requests.record import Show
from bot.retelling import Told, the_entry, told_since, when, who

_GROUP = re.compile(r"group \d+")  # what a target group without a name is called


def answer(request: Show, asked: Asked, house: House) -> Reply:
    """Everything that is recorded under the number."""
    entry = the_entry(house, asked.where, request.number)
    story = next(item for item in told_since(house, asked.where, entry.id) if item.entry.id == entry.id)
    title = f"#{entry.id} by {who(entry)}, {when(entry)}"
    offers = (f"why #{entry.id}", f"recheck #{entry.id}") if "attack" in entry.data else ()
    return Reply("show", title, tuple(_blocks(entry, story)), _data(entry, story), offers)


def _blocks(entry: Entry, story: Told) -> list[Block]:
    typed = entry.text or "(removed at the person's wish)"
    blocks: list[Block] = [Line(f"typed: {typed}")]
    if entry.read != entry.text:
        blocks.append(Line(f"read as: {entry.read}"))
    blocks += [Line(mark, strong=True) for mark in story.marks]
    blocks += entry.reply.blocks
    beside = " ".join(block.why for block in entry.reply.blocks if isinstance(block, Dice))
    blocks += [Note(reason) for reason in entry.data.get("reasons", ()) if _bare(reason, entry) not in beside]
    if entry.faces:
        blocks.append(Note(f"dice in the order drawn: {' '.join(map(str, entry.faces))}"))
    ruleset = f"ruleset {entry.ruleset}, " if entry.ruleset else ""
    round_ = f"round {story.round}, " if story.round is not None else ""
    blocks.append(Note(f"{ruleset}{round_}page {entry.page}"))
    return blocks


def _bare(reason: str, entry: Entry) -> str:
    """The reason as it stands beside the dice: without the target group that it is of."""
    head, colon, rest = reason.partition(": ")
    named = set(head.split(" and ")) <= set(entry.data.get("groups", ()))
    return rest if colon and (named or _GROUP.fullmatch(head)) else reason


def _data(entry: Entry, story: Told) -> dict[str, Any]:
    return {
        "id": entry.id,
        "who": entry.who,
        "when": entry.when.isoformat(),
        "text": entry.text,
        "read": entry.read,
        "ruleset": entry.ruleset,
        "page": entry.page,
        "sides": list(entry.sides),
        "faces": list(entry.faces),
        "declared": entry.declared,
        "needs": entry.data.get("needs", []),
        "reasons": entry.data.get("reasons", []),
        "undone_by": story.undone_by,
        "mended_by": story.mended_by,
        "mends": entry.data.get("mends"),
        "second_try": entry.data.get("second_try"),
        "answer": entry.reply.machine,
    }
