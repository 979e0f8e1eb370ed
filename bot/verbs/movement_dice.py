"""The dice of a charge or an advance, thrown from the record's stream, some of them a second time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bot.ledger import Draft
from bot.reply import Block, Dice
from resolver.amount import Amount
from resolver.live import Throw

Again = Callable[[Sequence[int]], Sequence[int]]  # the faces first thrown -> which dice to throw again


@dataclass(frozen=True)
class Moved:
    """Every die with its faces, and the total of the faces that stand and the added number."""

    step: str
    amount: Amount
    dice: tuple[tuple[int, ...], ...]
    total: int

    @property
    def blocks(self) -> tuple[Block, ...]:
        """The dice as they fell, if there were any."""
        if not self.dice:
            return ()
        plus = f" {self.amount.plus:+d}" if self.amount.plus else ""
        good = (False,) * len(self.dice)
        return (Dice(self.step, None, "", self.dice, good, f"{self.amount.dice}d{self.amount.sides}{plus}"),)


def never(faces: Sequence[int]) -> Sequence[int]:
    """No die is thrown again."""
    return ()


def throw_movement(draft: Draft, step: str, amount: Amount, again: Again = never) -> Moved:
    """Throw the amount with the draft's dice, then once more the dice that `again` picks."""
    dice = [[face] for face in _throw(draft, step, amount.sides, amount.dice, False)]
    picked = again([face for (face,) in dice])
    for which, face in zip(picked, _throw(draft, step, amount.sides, len(picked), True), strict=True):
        dice[which].append(face)
    total = sum(die[-1] for die in dice) + amount.plus
    return Moved(step, amount, tuple(map(tuple, dice)), total)


def _throw(draft: Draft, step: str, sides: int, count: int, again: bool) -> Sequence[int]:
    return draft.dice(Throw(step=step, sides=sides, count=count, again=again)) if count else ()
