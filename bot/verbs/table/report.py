"""report: the battle report as Markdown in the channel, and as one HTML page for `drumhead report`."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.reply import Line, Reply, Shell
from bot.report import battle_report, markdown
from bot.requests.record import Luck
from bot.requests.table import Report
from bot.table.record import state_or_none
from bot.verbs import luck


def answer(request: Report, asked: Asked, house: House) -> Reply:
    """The report of the last table of this channel."""
    text = markdown(battle_report(house, asked.where, _lucks(house, asked.where)))
    heading, *rest = [line for line in text.splitlines() if line]
    lines = tuple(Line(line, strong=line.startswith("#")) for line in rest)
    data = {"said": text, "markdown": text, "state": state_or_none(house, asked)}
    note = Shell("`drumhead report --html FILE` makes a page of it, with pictures")
    return Reply("table", heading.removeprefix("# "), (*lines, note), data)


def html_report(house: House, where: str) -> str:
    """The report of a channel's last table as one self-contained page. Raises Misread if there was no table."""
    from bot.report_page import page  # imports the plotting library when it draws

    return page(battle_report(house, where, _lucks(house, where)))


def markdown_report(house: House, where: str) -> str:
    """The same as Markdown."""
    return markdown(battle_report(house, where, _lucks(house, where)))


def _lucks(house: House, where: str) -> list[str]:
    reply = luck.answer(Luck(), Asked(text="luck", who="", where=where), house)
    return [block.text for block in reply.blocks if isinstance(block, Line)]
