"""The charge, advance or dice alone that a person spoke of last: "roll it" means them until an attack is spoken of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.misread import Misread, Unsure
from bot.reply import Reply

LOOSE = "loose"  # under which they are remembered of a person
LOOSE_KINDS = frozenset({"charge", "charges", "reach", "advance", "dice odds", "dice"})
_ATTACKS = frozenset({"odds", "attack"})


def with_loose(memory: Mapping[str, Any], reply: Reply) -> dict[str, Any]:
    """What is remembered, with the rolls that the reply offers, or with the one that it tells of."""
    if reply.kind in LOOSE_KINDS:
        return {**memory, LOOSE: _rolls(reply)}
    return {key: value for key, value in memory.items() if key != LOOSE or reply.kind not in _ATTACKS}


def roll_meant(loose: Mapping[str, Any], at: tuple[int, int], *, again: bool, own: bool) -> str:
    """The roll that "roll it" means, or `again` where it was made already; or what is asked back."""
    rolls = tuple(loose["rolls"])
    if not rolls:
        raise Misread("nothing of that can be rolled as it is: say what to roll", at, hint="roll charge from 9")
    if own:
        raise Misread("dice of your own are told with an attack", at, hint="roll it")
    if loose["rolled"] and not again:
        raise Misread("that is rolled already, and nothing else was asked", at, hint="what now")
    if loose["rolled"] or len(rolls) > 1:
        raise Unsure("that is rolled already; roll it again?" if loose["rolled"] else "which of them?", rolls)
    return str(rolls[0])


def _rolls(reply: Reply) -> dict[str, Any]:
    data = reply.data or {}
    if "id" in data:
        return {"rolls": [data["read"]], "rolled": True}
    return {"rolls": [offer for offer in reply.offers if not offer.startswith("what is ")], "rolled": False}
