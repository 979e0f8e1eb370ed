"""rolls of: what a side, a unit or a person rolled, in this round or ever; repeated rolls are pointed out."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.misread import Misread
from bot.reply import Line, Note, Reply
from bot.requests.record import RollsOf
from bot.retelling import Told, named, told
from bot.table.current import any_game
from bot.verbs.log import log_data, log_lines
from bot.wording import plural


def answer(request: RollsOf, asked: Asked, house: House) -> Reply:
    """The rolls in order, and how many of them repeat another."""
    game = any_game(house, asked.where) if request.this_round else None
    story = told(house, asked.where, since=game.entry if game else 0)
    rolls = [item for item in story if item.entry.sides]
    said = "everybody"
    if request.this_round:
        now = _now(story)
        rolls = [item for item in rolls if (item.table, item.round) == now]
    if request.name is not None:
        kind, said = named(story, request.name, str(RollsOf("{}", request.this_round)))
        rolls = [item for item in rolls if item.belongs(kind, said)]
    title = f"{plural(len(rolls), 'roll')} of {said}{' this round' if request.this_round else ''}"
    lines: tuple[Line | Note, ...] = log_lines(rolls) or (Note("none"),)
    again = [f"#{item.entry.id} (like #{item.like})" for item in rolls if item.like]
    if again:
        lines = (*lines, Note(f"repeated: {', '.join(again)}; all of them count unless they were undone"))
    return Reply("rolls", title, lines, log_data(rolls))


def _now(story: list[Told]) -> tuple[int | None, int | None]:
    """The open table and its round."""
    if not story or story[-1].round is None:
        raise Misread("no table is open here, so there is no round", hint="rolls")
    return story[-1].table, story[-1].round
