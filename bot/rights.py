"""Who may change what the people at a table share, where a table is open in the channel; its rooms are loaded then."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.reply import Reply


def of_the_opener(house: House, asked: Asked, what: str) -> None:
    """Complain unless there is no table, or the asker opened it or is a moderator; `what` says what only they do."""
    if house.memory.holds(asked.where, "table"):
        from bot.table.seats import check_opener

        check_opener(house, asked, what)


def of_the_seated(house: House, asked: Asked) -> None:
    """Complain if people sit at a table here and the asker only watches."""
    if house.memory.holds(asked.where, "table"):
        from bot.table.seats import check_seated

        check_seated(house, asked)


def question_to_the_others(house: House, asked: Asked, request: object) -> Reply | None:
    """What is for all sides of a table, put to those who play the others, and recorded.

    None if there are none, if one of them agreed, or if the asker runs the table and plays no side.
    """
    if not house.memory.holds(asked.where, "table"):
        return None
    from bot.table.current import any_game
    from bot.table.record import ask_leave
    from bot.table.seats import Consented, may_run, seated_against, sides_of

    game = any_game(house, asked.where)
    if game is None or not game.open or isinstance(asked, Consented):
        return None
    sides = seated_against(game, asked.who)
    if not sides or (may_run(game, asked) and not sides_of(game, asked.who)):
        return None
    return ask_leave(request, asked, house, sides)


def consent(house: House, asked: Asked, request: object) -> tuple[Mapping[str, Any], tuple[str, ...]]:
    """The event of a table's house rule with the consent it rests on, and who gave it; none without a consent."""
    if not house.memory.holds(asked.where, "table"):
        return {}, ()
    from bot.table.record import consented
    from bot.table.seats import Consented

    if not isinstance(asked, Consented):
        return {}, ()
    return consented(house, asked, request, {"type": "rule"})[0], (asked.by,)
