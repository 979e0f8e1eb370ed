"""Who may change what the people at a table share, where a table is open in the channel; its rooms are loaded then."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House


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
