"""reveal: close the page and show its secret, so that anyone can check its dice; the next page opens."""

from __future__ import annotations

from shlex import quote

from bot.asked import Asked
from bot.house import House
from bot.reply import Line, Note, Reply, Shell
from bot.requests.record import Reveal
from bot.rights import of_the_seated
from bot.verbs.page_answer import page_blocks, page_data, page_title


def answer(request: Reveal, asked: Asked, house: House) -> Reply:
    """The closed page with its secret, and the next with its commitment."""
    of_the_seated(house, asked)
    page = house.ledger.reveal(asked)
    after = next(item for item in house.ledger.pages(asked.where) if item.number == page.number + 1)
    export = f"drumhead export --channel {quote(asked.where)} --page {page.id}"
    how = (
        Shell(f"to check every die: {export} > page.json; drumhead verify page.json"),
        Note(
            "whoever hosts the umpire holds the secret and could look ahead; cuts keep dice from being chosen"
        ),
    )
    opened = Line(f"now open: page {after.id}, commitment {after.commitment}")
    data = {**page_data(page), "next": page_data(after)}
    blocks = (*page_blocks(page, whole=True), opened, *how)
    return Reply("page", f"{page_title(page)}, closed", blocks, data, shared=True)
