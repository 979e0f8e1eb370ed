"""A page as an answer: its id, its commitment, its cuts, and its secret once it is closed."""

from __future__ import annotations

from typing import Any

from bot.ledger import Page
from bot.reply import Block, Line, Note
from bot.wording import plural

SHORT = 16  # digits of the commitment that are shown unless all are asked for


def page_data(page: Page) -> dict[str, Any]:
    """The machine form of a page."""
    return {
        "page": page.id,
        "commitment": page.commitment,
        "rolls": page.rolls,
        "cuts": list(page.cuts),
        "secret": page.secret,
    }


def page_title(page: Page) -> str:
    """Which page, and how much is on it."""
    return f"page {page.id}: {plural(page.rolls, 'roll')}"


def page_blocks(page: Page, whole: bool = False, hint: bool = True) -> tuple[Block, ...]:
    """What anyone may know about the page."""
    shown = page.commitment if whole else f"{page.commitment[:SHORT]}…"
    blocks: list[Block] = [Line(f"commitment {shown}")]
    blocks += [Line(f"cut {number}: {words}") for number, words in enumerate(page.cuts, 1)]
    if page.secret is not None:
        blocks.append(Line(f"secret {page.secret}", strong=True))
    elif page.closed is not None:
        blocks.append(Note("the secret of this page stayed with the record it was imported from"))
    elif hint and not page.rolls:
        blocks.append(Note("before the first roll each player may add a line of their own: cut WORDS"))
    return tuple(blocks)
