"""cut: a player's own words, mixed into the dice of the page so that nobody can have chosen them."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.reply import Note, Reply
from bot.requests.record import Cut
from bot.rights import of_the_seated
from bot.verbs.page_answer import page_blocks, page_data, page_title


def answer(request: Cut, asked: Asked, house: House) -> Reply:
    """Add the words to the page, before its first roll."""
    of_the_seated(house, asked)
    page = house.ledger.cut(asked, request.words)
    said = Note("cut: every die of this page now depends on these words too")
    blocks = (*page_blocks(page, hint=False), said)
    return Reply("page", page_title(page), blocks, page_data(page), shared=True)
