"""The game as a fold over events: the state is what the events say, in order, and nothing else.

The law of this file: events are only ever appended. An undo names an earlier event, which is then passed
over; a mend names an earlier event and takes its place. So the state can be folded again from the record
at any time, by anyone, and comes out the same. Events are plain JSON: {"type": …, …}; units are named [side, unit].
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from bot.happening import APPLY, Event, Happened, opened
from bot.standing import Game

__all__ = ["Event", "Happened", "answers", "apply", "changes_the_past", "effective", "fold", "undone"]


def fold(happened: Iterable[Happened]) -> Game | None:
    """The game that the events make, or None if no table was ever opened."""
    game: Game | None = None
    for item in effective(list(happened)):
        game = apply(game, item)
    return game


def effective(happened: list[Happened]) -> list[Happened]:
    """The events that count: without what was undone, and with mends in the place of what they mend.

    What was asked and then done is marked as settled: it stays so where a mend stands before it, or is undone.
    """
    void = undone(happened)
    counting = [item for item in happened if item.entry not in void]
    mended = {item.mends: item for item in counting if item.mends is not None}
    settled = {entry for item in happened for entry in answers(item.event)}
    return [_latest(_asked(item, settled), mended) for item in counting if item.mends is None]


def answers(event: Event) -> tuple[int, ...]:
    """The requests that are done with by what happened: the one that was agreed to, and those for the same."""
    agreed = (event["agreed"]["asked"],) if "agreed" in event else ()
    return (*agreed, *event.get("settles", ()))


def _asked(item: Happened, settled: set[int]) -> Happened:
    return replace(item, event={**item.event, "settled": True}) if item.entry in settled else item


def _latest(item: Happened, mended: Mapping[int, Happened]) -> Happened:
    """The event, or the last mend of it, in its place and under its number."""
    return replace(mended.get(item.entry, item), entry=item.entry)


def undone(happened: list[Happened]) -> dict[int, int]:
    """Which entries were undone, and by which; an undo that was itself undone counts for nothing."""
    void: dict[int, int] = {}
    for item in reversed(happened):
        if item.event["type"] == "undo" and item.entry not in void:
            void[item.event["undoes"]] = item.entry
    return void


def changes_the_past(event: Event, mends: int | None) -> bool:
    """Whether the fold must start again from the opening."""
    return event["type"] == "undo" or mends is not None


def apply(game: Game | None, item: Happened) -> Game | None:
    """The game after one more event."""
    if item.event["type"] == "open":
        return opened(item)
    if game is None:
        return None
    after = APPLY[item.event["type"]](game, item)
    settled = answers(item.event)
    proposals = tuple(proposal for proposal in after.proposals if proposal.entry not in settled)
    return replace(after, last=item.entry, resting=item.event["type"] == "rest", proposals=proposals)
