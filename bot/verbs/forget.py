"""forget me: a person's name and messages leave the channel's record; the dice stay verifiable."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.reply import Line, Note, Reply
from bot.requests.record import ForgetMe
from bot.retelling import number_of_entries
from bot.table.current import read_again


def answer(request: ForgetMe, asked: Asked, house: House) -> Reply:
    """Remove, and say what was removed and what stays."""
    count = house.ledger.forget(asked)
    read_again(house, asked.where)
    blocks = (
        Line(f"your name and messages are gone from {number_of_entries(count)} of this channel", strong=True),
        Note("dice, numbers and results stay, so that the page can still be verified; cuts stay, unnamed"),
        Note("it cannot reach backups, exports and what the channel itself keeps"),
    )
    return Reply("forgotten", "forgotten", blocks, {"entries": count}, private=True)
