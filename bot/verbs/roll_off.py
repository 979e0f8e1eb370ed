"""roll off: each side throws a die, the higher wins, equals are thrown again; recorded like every roll."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Draft
from bot.reply import Block, Line, Note, Reply
from bot.requests.dice import RollOff
from bot.rights import of_the_seated
from resolver.live import Throw
from resolver.refused import Refused

MOST_TIES = 100  # never reached by dice that are dice


def answer(request: RollOff, asked: Asked, house: House) -> Reply:
    """Throw until one die is higher; the first die of each pair is the asker's."""
    of_the_seated(house, asked)
    ruleset = house.ruleset(asked.where)

    def make(draft: Draft) -> Reply:
        pairs = _throw_until_decided(draft, ruleset.die)
        ours, theirs = pairs[-1]
        winner = asked.who if ours > theirs else "the other side"
        draft.read, draft.ruleset = str(request), ruleset.id
        draft.data = {
            "id": draft.id,
            "faces": [list(pair) for pair in pairs],
            "winner": "asker" if ours > theirs else "other",
            "read": draft.read,
            "ruleset": draft.ruleset,
        }
        lines = [Line(f"{asked.who}: {one}, the other side: {two}{_again(one, two)}") for one, two in pairs]
        blocks: tuple[Block, ...] = (
            *lines,
            Line(f"{winner} wins the roll-off", strong=True),
            Note(f"one d{ruleset.die} each"),
        )
        return Reply("roll off", f"#{draft.id} {request}", blocks, draft.data)

    return house.ledger.record(asked, "roll off", make)


def _throw_until_decided(draft: Draft, sides: int) -> list[tuple[int, int]]:
    pairs: list[tuple[int, int]] = []
    while len(pairs) < MOST_TIES:
        ours, theirs = draft.dice(Throw(step="roll off", sides=sides, count=2, again=bool(pairs)))
        pairs.append((ours, theirs))
        if ours != theirs:
            return pairs
    raise Refused("dice", f"{MOST_TIES} ties in a row: these are not dice")


def _again(ours: int, theirs: int) -> str:
    return "; equal, so again" if ours == theirs else ""
