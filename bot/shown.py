"""Which attack or step was shown last, in a channel and to one person: what `why` is about.

What everybody saw counts for everybody. What a person was shown apart counts for that person alone, until something
newer is shown to all.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.asked import Asked
from bot.ledger import Memory
from bot.left_open import lesson_of
from bot.reply import Reply

# Where it is remembered in its channel (no person can be called so), and among what is remembered of a person.
IN_CHANNEL, APART = "shown\n", "shown"


def remember_shown(memory: Memory, asked: Asked, reply: Reply) -> dict[str, Any]:
    """Keep what all see for the channel; what the asker alone sees is given back, to be kept of that person."""
    shown = _attack_or_step(reply)
    if shown is None:
        return {}
    count = memory.recall(asked.where, IN_CHANNEL).get("count", 0)
    if asked.private and "odds" in shown:
        return {APART: {**shown, "count": count}}
    memory.remember(asked.where, IN_CHANNEL, {**shown, "count": count + 1})
    return {}


def shown_last(memory: Memory, asked: Asked) -> Mapping[str, Any]:
    """The `entry`, the `odds` as a message, or the `lesson` that the asker saw last; empty if none is remembered."""
    to_all = memory.recall(asked.where, IN_CHANNEL)
    apart: Mapping[str, Any] = memory.recall(asked.where, asked.who).get(APART, {})
    return apart if apart.get("count", -1) >= to_all.get("count", 0) else to_all


def _attack_or_step(reply: Reply) -> dict[str, Any] | None:
    data = reply.data or {}
    lesson = None if reply.asks is None else lesson_of(reply.asks)
    if lesson is not None:
        return {"lesson": lesson}
    if reply.kind == "attack":
        return {"entry": data["id"]}
    return {"odds": data["read"]} if reply.kind == "odds" else None
