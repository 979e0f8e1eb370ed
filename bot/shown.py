"""Which odds were shown last, to a channel and to a person: `why` is about them until something newer is recorded.

What everybody saw counts for everybody. What a person was shown apart counts for that person alone, until something
newer is shown to all. Rolls and steps stand in the record, which everybody sees.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.asked import Asked
from bot.ledger import Memory
from bot.loose import LOOSE_KINDS
from bot.reply import Line, Note, Reply

# Where it is remembered in its channel (no person can be called so), and among what is remembered of a person.
IN_CHANNEL, APART = "shown\n", "shown"


def remember_shown(memory: Memory, asked: Asked, reply: Reply) -> dict[str, Any]:
    """Keep odds that all see for the channel; those that the asker alone sees are given back, to be kept of the person.

    `after` is the last entry then, `count` how many odds all have seen, `said` what
    was said of loose dice.
    """
    loose = reply.kind in LOOSE_KINDS and "id" not in (reply.data or {})
    if reply.kind != "odds" and not loose:
        return {}
    count = memory.recall(asked.where, IN_CHANNEL).get("count", 0)
    shown = {"odds": (reply.data or {})["read"], "after": memory.last(asked.where)}
    if loose:
        shown["said"] = words_of(reply)
    if asked.private:
        return {APART: shown | {"count": count}}
    memory.remember(asked.where, IN_CHANNEL, shown | {"count": count + 1})
    return {}


def words_of(reply: Reply) -> list[str]:
    """What a reply says in sentences, without its dice and pictures: of loose dice that is all their reasons."""
    return [block.text for block in reply.blocks if isinstance(block, Line | Note)]


def shown_last(memory: Memory, asked: Asked) -> Mapping[str, Any]:
    """The `odds` that the asker saw last, as a message, and the entry `after` which that was; empty without any."""
    to_all = memory.recall(asked.where, IN_CHANNEL)
    apart: Mapping[str, Any] = memory.recall(asked.where, asked.who).get(APART, {})
    return apart if apart.get("count", -1) >= to_all.get("count", 0) else to_all
