"""What became of recorded events: undone, mended, tried a second time. Both tries stay in sight."""

from __future__ import annotations

from bot.game import Event, Happened, undone
from bot.house import House
from bot.table.current import events

_THROWN = ("advance", "charge")  # the actions that throw dice


def second_words(again: int) -> str:
    """How a second try is told."""
    return f"second try: #{again} was undone, and both stay in the record"


def second_try(house: House, where: str, event: Event) -> int | None:
    """The entry of the same action by the same unit (or the same roll-off) that was undone in this phase, if any."""
    happened = events(house, where)
    void = undone(happened)
    since = last_step(happened)
    same = [item.entry for item in happened if item.entry > since and _alike(item.event, event)]
    if not same or same[-1] not in void:
        return None
    return same[-1]


def may_be_tried_again(house: House, where: str, item: Happened) -> bool:
    """Whether a second try would be marked as that, once this is undone."""
    return _throws(item.event) and item.mends is None and item.entry > last_step(events(house, where))


def _throws(event: Event) -> bool:
    """Whether dice decide it: nothing else would come out otherwise at a second try."""
    return event["type"] == "attack" or event.get("action") in _THROWN or event.get("rolled_off", False)


def last_step(happened: list[Happened]) -> int:
    """The entry by which the phase came that is played now; 0 in the first."""
    void = undone(happened)
    return max((item.entry for item in happened if item.event["type"] == "step" and item.entry not in void), default=0)


def _alike(one: Event, other: Event) -> bool:
    return _throws(one) and all(one.get(key) == other.get(key) for key in ("type", "action", "unit", "rolled_off"))


def fate(house: House, where: str, entry: int) -> str | None:
    """What became of an entry later, in words: "undone by #45", "mended by #50"."""
    happened = events(house, where)
    void = undone(happened)
    if entry in void:
        return f"undone by #{void[entry]}"
    mends = [item.entry for item in happened if item.mends == entry and item.entry not in void]
    return f"mended by #{mends[-1]}" if mends else None
