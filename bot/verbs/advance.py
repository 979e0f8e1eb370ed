"""advance: how far a unit may run, or the run itself, rolled and recorded."""

from __future__ import annotations

from collections.abc import Sequence

from bot.asked import Asked
from bot.chances import fraction_words, number_words
from bot.house import House
from bot.ledger import Draft
from bot.reply import Bars, Block, Line, Note, Reply
from bot.requests.dice import AdvanceDice
from bot.verbs.charge_answer import inches
from bot.verbs.movement_dice import never, throw_movement
from resolver.allowed import check_moving
from resolver.movement import AdvanceOdds, advance
from resolver.ruleset import Ruleset


def answer(request: AdvanceDice, asked: Asked, house: House) -> Reply:
    """Tell the chances, or roll."""
    ruleset = house.ruleset(asked.where)
    check_moving(0, request.reroll, ruleset)
    odds = advance(ruleset.movement, request.move, reroll=request.reroll)
    if request.roll:
        return _roll(request, asked, house, ruleset, odds)
    data = {
        "move": inches(request.move),
        "distribution": {f"{inches:g}": str(chance) for inches, chance in odds.totals.items()},
        "mean": float(odds.mean),
        "reasons": list(odds.reasons),
        "read": str(request),
        "ruleset": ruleset.id,
    }
    rows = tuple((f'{inches:g}"', float(share), fraction_words(share)) for inches, share in odds.totals.items())
    blocks: tuple[Block, ...] = (
        Line(f'{number_words(odds.mean)}" on average{_beyond(request)}', strong=True),
        Bars("chance of exactly", rows),
        *map(Note, odds.reasons),
    )
    return Reply("advance", str(request), blocks, data, offers=(f"roll {request}",))


def _roll(request: AdvanceDice, asked: Asked, house: House, ruleset: Ruleset, odds: AdvanceOdds) -> Reply:
    dice = ruleset.movement.advance

    def low(faces: Sequence[int]) -> Sequence[int]:
        return range(len(faces)) if sum(faces) + dice.plus < dice.mean else ()

    def make(draft: Draft) -> Reply:
        moved = throw_movement(draft, "advance", dice, low if request.reroll else never)
        total = moved.total + (request.move or 0)
        draft.read, draft.ruleset = str(request), ruleset.id
        draft.data = {
            "id": draft.id,
            "move": inches(request.move),
            "faces": [list(die) for die in moved.dice],
            "total": inches(total),
            "reasons": list(odds.reasons),
            "read": draft.read,
            "ruleset": draft.ruleset,
        }
        line = Line(f'advances up to {total:g}"{_beyond(request)}', strong=True)
        return Reply("advance", f"#{draft.id} {request}", (*moved.blocks, line, *map(Note, odds.reasons)), draft.data)

    return house.ledger.record(asked, "advance", make)


def _beyond(request: AdvanceDice) -> str:
    return " beyond its move" if request.move is None else ""
