"""dice: loose dice, rolled from the same sealed page as attacks and recorded like them."""

from __future__ import annotations

from bot.asked import Asked
from bot.chances import number_words
from bot.house import House
from bot.ledger import Draft
from bot.reply import Line, Note, Reply
from bot.requests.dice import RollDice
from resolver.live import Throw


def answer(request: RollDice, asked: Asked, house: House) -> Reply:
    """Roll and record."""

    def make(draft: Draft) -> Reply:
        amount = request.amount
        faces = list(draft.dice(Throw(step="dice", sides=amount.sides, count=amount.dice))) if amount.dice else []
        total = sum(faces) + amount.plus
        draft.read = str(request)
        draft.data = {"id": draft.id, "faces": faces, "total": total, "mean": amount.mean, "read": str(request)}
        shown = " ".join(map(str, faces)) + (f" {amount.plus:+d}" if amount.plus else "")
        blocks = (
            Line(f"{shown} = {total}", strong=True),
            Note(f"average {number_words(amount.mean)}, from {amount.low:,} to {amount.high:,}"),
        )
        return Reply("dice", f"#{draft.id} {request}", blocks, draft.data)

    return house.ledger.record(asked, "dice", make)
