"""The step-by-step attack that a person is in: remembered until it is done, left, or over with its phase."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Entry
from bot.left_open import LESSON
from bot.table.again import last_step
from bot.table.current import any_game, events, game_before


def begun(house: House, asked: Asked) -> Entry | None:
    """The entry that began the asker's step-by-step attack, if they are in one."""
    number = house.memory.recall(asked.where, asked.who).get(LESSON)
    return house.ledger.entry(asked.where, number) if number else None


def handfuls(house: House, begun: Entry) -> list[Entry]:
    """The entries of the handfuls thrown for it, without those that were put right by later ones."""
    later = house.ledger.entries(begun.channel, since=begun.id)
    steps = [entry for entry in later if entry.kind == "step" and entry.data.get("lesson") == begun.id]
    replaced = {entry.data.get("replaces") for entry in steps}
    return [entry for entry in steps if entry.id not in replaced]


def by_name(begun: Entry) -> bool:
    """Whether units of the table are in it, so that it belongs to its phase; a typed attack belongs to none."""
    return not begun.data["meant"].startswith("roll ")


def ended(house: House, begun: Entry) -> bool:
    """Whether it was left lying until its phase was over."""
    if not by_name(begun):
        return False
    now = any_game(house, begun.channel)
    if now is None or not now.open or now.entry > begun.id:
        return True
    return now.step != game_before(house, begun.channel, begun.id).step


def left_before(house: House, where: str, meant: str, this: int | None) -> int | None:
    """The entry that began the same attack in this phase (not `this`), if it was left with dice thrown for it."""
    game = any_game(house, where)
    opened = 0 if game is None else game.entry
    entries = house.ledger.entries(where, since=max(opened, last_step(events(house, where))))
    thrown = {entry.data["lesson"] for entry in entries if entry.kind == "step"}
    done = {entry.data.get("lesson") for entry in entries if entry.kind == "attack"} | {this}
    begun = [entry.id for entry in entries if entry.kind == "lesson" and entry.data["meant"] == meant]
    return max((number for number in begun if number in thrown - done), default=None)


def left_words(again: int) -> str:
    """How a second try after such a one is told."""
    return f"second try: #{again} was left when dice had been thrown, and both stay in the record"


def forget(house: House, asked: Asked) -> None:
    """The asker is in no step-by-step attack any more."""
    memory = house.memory.recall(asked.where, asked.who)
    house.memory.remember(asked.where, asked.who, {key: value for key, value in memory.items() if key != LESSON})


def ended_words(begun: Entry) -> str:
    """That it is over with its phase."""
    return f"the step-by-step attack #{begun.id} ended with its phase; nothing was taken off"
