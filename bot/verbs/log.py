"""log: the last entries of the channel, one line each, with what became of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.reply import Block, Line, Note, Reply
from bot.requests.record import Log
from bot.retelling import LOOK_BACK, Told, in_a_line, number_of_entries, told


def answer(request: Log, asked: Asked, house: House) -> Reply:
    """The last entries, the newest at the end."""
    story = told(house, asked.where, last=request.count + LOOK_BACK)[-request.count :]
    if not story:
        return Reply("log", "nothing is recorded here yet", (), {"entries": []}, offers=("dice 2d6",))
    title = "the last entry" if len(story) == 1 else f"the last {number_of_entries(len(story))}"
    blocks: tuple[Block, ...] = (*log_lines(story), Note(f"`show #{story[-1].entry.id}` gives one whole"))
    return Reply("log", title, blocks, log_data(story))


def log_lines(story: Sequence[Told]) -> tuple[Line, ...]:
    """One line for each entry."""
    return tuple(Line(in_a_line(item.entry, item.marks)) for item in story)


def log_data(story: Sequence[Told]) -> dict[str, Any]:
    """The machine form: one object for each entry."""
    return {
        "entries": [
            {
                "id": item.entry.id,
                "kind": item.entry.kind,
                "who": item.entry.who,
                "when": item.entry.when.isoformat(),
                "read": item.entry.read,
                "faces": list(item.entry.faces),
                "round": item.round,
                "undone_by": item.undone_by,
                "mended_by": item.mended_by,
                "like": item.like,
            }
            for item in story
        ]
    }
