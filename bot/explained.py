"""How much of an answer a person sees: every reason, the dice and numbers, or the result alone.

Who did not ask for either is spared of an attack what says no more than the number beside the dice; who asked for less
also its luck.
Nothing is lost: the record and the machine form keep the whole answer, and `show #17` or `why` gives it.
What was said and has no effect is told to everybody.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from bot.lucky import luck_words
from bot.reply import BETWEEN, Block, Dice, Line, Note, Reply

FULL, SHORT, OFF = "full", "short", "off"
MOST_REASONS = 6  # more of them are a screenful beside the odds, and wait behind `why` until asked for in full
_LESSENED = frozenset({"attack", "odds", "needs"})


def explained(reply: Reply, how: str | None) -> Reply:
    """The reply as this person wants it."""
    if how is None and reply.kind == "odds" and len((reply.data or {}).get("reasons", ())) > MOST_REASONS:
        return replace(reply, blocks=(*_kept(reply, SHORT), Note("`why` gives the reasons")))
    if how == FULL or reply.kind not in _LESSENED:
        return reply
    blocks = _usual(reply) if how is None else _without_luck(reply, _kept(reply, how))
    return replace(reply, blocks=tuple(blocks))


def _usual(reply: Reply) -> Iterator[Block]:
    for block in reply.blocks:
        yield replace(block, why=_telling(block)) if isinstance(block, Dice) else block


def _telling(dice: Dice) -> str:
    """The reasons, but for one that only says again which number is needed."""
    return BETWEEN.join(why for why in dice.why.split(BETWEEN) if not why.endswith(f" on {dice.needed}"))


def _without_luck(reply: Reply, blocks: Iterable[Block]) -> Iterator[Block]:
    luck = luck_words(reply.data) if reply.data and "luck" in reply.data else ""
    return (block for block in blocks if not (isinstance(block, Line) and block.text == luck))


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
