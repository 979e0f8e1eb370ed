"""recheck: the recorded faces replayed through today's rules; says whether anything comes out differently."""

from __future__ import annotations

from bot.asked import Asked
from bot.house import House
from bot.ledger import Entry
from bot.reply import Line, Note, Reply
from bot.requests.record import Recheck
from bot.retelling import the_entry
from bot.verbs.odds_answer import needs_data
from bot.verbs.replayed import Differs, Recorded, planned
from resolver.live import roll
from resolver.refused import Refused


def answer(request: Recheck, asked: Asked, house: House) -> Reply:
    """What differs, if anything: needs, dice, totals; and whether the row is as it was written."""
    entry = the_entry(house, asked.where, request.number)
    faults = house.ledger.faults(asked.where, entry.id)
    differences = _replay(entry, house) if "attack" in entry.data and not faults else []
    title = f"#{entry.id} {'differs' if differences or faults else 'comes out the same'}"
    lines = [Line(said, strong=True) for said in (*differences, *faults)]
    notes = _notes(entry) if not faults else (Note("not replayed: its row is not as it was written"),)
    return Reply("recheck", title, (*lines, *notes), _data(entry, differences, faults))


def _replay(entry: Entry, house: House) -> list[str]:
    try:
        attack = planned(entry, house)
        source = Recorded(entry.data["faces"])
        rolled = roll(attack, source)
        source.check_used()
    except (Differs, Refused) as differs:
        return [f"today's rules: {differs}"]
    pairs = {"needs": (entry.data["needs"], needs_data(attack))}
    pairs |= {name: (total, rolled.totals[name]) for name, total in entry.data["totals"].items()}
    return [f"{name}: recorded {old}, today {new}" for name, (old, new) in pairs.items() if old != new]


def _notes(entry: Entry) -> tuple[Note, ...]:
    if "attack" not in entry.data:
        how = "no attack, so nothing to replay" if entry.faces else "no dice"
        return (Note(f"{how}; its row in the record was checked"),)
    dice = sum(len(die) for group in entry.data["faces"] for step in group.values() for die in step)
    replayed = f"{dice} recorded dice replayed through ruleset {entry.ruleset} of today"
    return Note(replayed), Note("its row in the record is as it was written")


def _data(entry: Entry, differences: list[str], faults: list[str]) -> dict[str, object]:
    return {
        "id": entry.id,
        "same": not differences and not faults,
        "differences": differences,
        "faults": faults,
    }
