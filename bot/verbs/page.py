"""page: the page that rolls are written on now, and what binds its dice."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.reply import Note, Reply
from bot.requests.record import ShowPage
from bot.verbs.page_answer import page_blocks, page_data, page_title


def answer(request: ShowPage, asked: Asked, house: House) -> Reply:
    """Id, commitment and cuts; never the secret of an open page."""
    page = house.ledger.page(asked.where)
    hint = () if request.whole else (Note("`page whole` shows the commitment in full"),)
    blocks = (*page_blocks(page, request.whole), *hint)
    offers = () if request.whole else ("page whole",)
    return Reply("page", page_title(page), blocks, page_data(page), offers, shared=True)
