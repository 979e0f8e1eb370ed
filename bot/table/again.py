"""What became of recorded events: undone, mended, tried a second time. Both tries stay in sight."""

from __future__ import annotations

from bot.game import Event, undone
from bot.house import House
from bot.table.current import events


def second_try(house: House, where: str, event: Event) -> int | None:
    """The entry of the same action by the same unit that was undone in this phase, if there is one."""
    happened = events(house, where)
    void = undone(happened)
    steps = [item.entry for item in happened if item.event["type"] == "step" and item.entry not in void]
    since = steps[-1] if steps else 0
    same = [item.entry for item in happened if item.entry > since and _alike(item.event, event)]
    if not same or same[-1] not in void:
        return None
    return same[-1]


def _alike(one: Event, other: Event) -> bool:
    return all(one.get(key) == other.get(key) for key in ("type", "action", "unit")) and one["type"] in (
        "act",
        "attack",
    )


def fate(house: House, where: str, entry: int) -> str | None:
    """What became of an entry later, in words: "undone by #45", "mended by #50"."""
    happened = events(house, where)
    void = undone(happened)
    if entry in void:
        return f"undone by #{void[entry]}"
    mends = [item.entry for item in happened if item.mends == entry and item.entry not in void]
    return f"mended by #{mends[-1]}" if mends else None
