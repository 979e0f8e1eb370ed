"""How much of an answer a person sees: every reason, the dice and numbers, or the result alone.

Nothing is lost: the record and the machine form keep the whole answer, and `show #17` or `why` gives it.
What was said and has no effect is told to everybody.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bot.reply import Block, Dice, Note, Reply

FULL, SHORT, OFF = "full", "short", "off"
MOST_REASONS = 6  # more of them are a screenful beside the odds, and wait behind `why` until asked for in full
_LESSENED = frozenset({"attack", "odds", "needs"})


def explained(reply: Reply, how: str | None) -> Reply:
    """The reply as this person wants it."""
    if how is None and reply.kind == "odds" and len((reply.data or {}).get("reasons", ())) > MOST_REASONS:
        return replace(reply, blocks=(*_kept(reply, SHORT), Note("`why` gives the reasons")))
    if how not in (SHORT, OFF) or reply.kind not in _LESSENED:
        return reply
    return replace(reply, blocks=tuple(_kept(reply, how)))


def _kept(reply: Reply, how: str) -> Iterator[Block]:
    data = reply.data or {}
    reasons = set(data.get("reasons", ())) - set(data.get("idle", ()))
    for block in reply.blocks:
        if isinstance(block, Dice):
            if how == SHORT:
                yield replace(block, why="")
        elif isinstance(block, Note):
            if how == SHORT and block.text not in reasons:
                yield block
        elif getattr(block, "text", None) not in reasons:
            yield block
