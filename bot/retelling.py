"""What the record says about its entries: whose they are, in which round, and what became of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bot.game import Happened, apply, changes_the_past, fold, undone
from bot.house import House
from bot.ledger import Entry
from bot.misread import Misread, Unsure
from bot.naming import matches, nearest
from bot.reply import Line
from bot.standing import Game
from bot.table.current import any_game, happened

FORGOTTEN = "someone (forgotten)"
LONGEST_LINE = 120
STEPS = ("lesson", "step")  # the kinds of entries that ask for a handful of an attack
LOOK_BACK = 50  # entries before the first shown that a repeated roll is compared with


def the_entry(house: House, where: str, number: int | None) -> Entry:
    """The entry of that number, or the last one; or a complaint that says which there are."""
    last = house.ledger.entries(where, last=1)
    entry = next(iter(last), None) if number is None else house.ledger.entry(where, number)
    if entry is not None:
        return entry
    there = f"the last one is #{last[0].id}" if last else "nothing is recorded in this channel yet"
    said = there if number is None else f"there is no #{number} here; {there}"
    raise Misread(said, hint="log" if last else "dice 2d6")


def number_of_entries(count: int) -> str:
    """ "1 entry", "2 entries"."""
    return "1 entry" if count == 1 else f"{count} entries"


def who(entry: Entry) -> str:
    """The name of the person, or that it was removed."""
    return entry.who or FORGOTTEN


def when(entry: Entry) -> str:
    """Day and time, in UTC as it is kept."""
    return f"{entry.when:%Y-%m-%d %H:%M} UTC"


def in_a_line(entry: Entry, marks: Sequence[str] = ()) -> str:
    """An entry in one line: number, person, what was read and what came of it."""
    said = str(entry.data.get("said") or "") or _title_and_result(entry)
    short = said if len(said) <= LONGEST_LINE else f"{said[: LONGEST_LINE - 1].rstrip()}…"
    beside = "".join(f" ({mark})" for mark in marks)
    return f"#{entry.id} {who(entry)}: {short}{beside}"


def _title_and_result(entry: Entry) -> str:
    title = entry.reply.title.removeprefix(f"#{entry.id} ")
    strong = [block.text for block in entry.reply.blocks if isinstance(block, Line) and block.strong]
    return f"{strong[0]} ({title})" if strong else title


@dataclass(frozen=True)
class Told:
    """An entry with the round, turn and table in which it stands (None without a table), and its marks."""

    entry: Entry
    round: int | None
    game: Game | None
    undone_by: int | None = None
    mended_by: int | None = None
    like: int | None = None

    @property
    def table(self) -> int | None:
        """The entry that opened the table."""
        return None if self.game is None else self.game.entry

    @property
    def counts(self) -> bool:
        return self.undone_by is None and self.mended_by is None

    @property
    def on_table(self) -> bool:
        """Whether a unit on the table did it; anything else at a table is a loose roll, and nobody's luck there."""
        return "unit" in self.entry.data.get("event", {})

    @property
    def loose(self) -> bool:
        """Whether it is an attack that no unit made, where there is a table."""
        return self.game is not None and "attack" in self.entry.data and not self.on_table

    @property
    def marks(self) -> tuple[str, ...]:
        """What a reader should know beside the result."""
        second = self.entry.data.get("second_try")
        mends = self.entry.data.get("mends")
        said = (
            self.undone_by and f"undone by #{self.undone_by}",
            self.mended_by and f"mended by #{self.mended_by}",
            mends and f"mends #{mends}",
            second and f"second try after #{second}",
            self.like and not second and not mends and f"the same request as #{self.like}",
            self.entry.declared and "own dice",
        )
        return tuple(mark for mark in said if mark)

    def belongs(self, kind: str, name: str) -> bool:
        """Whether it was done by that side, unit or person."""
        if kind == "person":
            return self.entry.who == name
        unit = self.entry.data.get("event", {}).get("unit")
        if unit:
            return bool(unit[0 if kind == "side" else 1] == name)
        return kind == "side" and self.game is not None and name in _seats(self.game, self.entry.who)


def _seats(game: Game, person: str) -> tuple[str, ...]:
    return tuple(side.name for side in game.sides if person in side.seats)


def told_since(house: House, where: str, number: int) -> list[Told]:
    """The entries from the opening of the table in which the number stands, or from a little before it."""
    game = any_game(house, where)
    opened = game.entry if game is not None else number
    return told(house, where, since=opened if opened < number else max(1, number - LOOK_BACK))


def told(house: House, where: str, *, since: int = 0, last: int | None = None) -> list[Told]:
    """Every entry of the channel (from a number on, or the last so many) with what became of it."""
    entries = house.ledger.entries(where, since=since, last=last)
    void = undone([event for event in map(happened, entries) if event is not None])
    mended = {e.data["mends"]: e.id for e in entries if e.data.get("mends") is not None and e.id not in void}
    story: list[Told] = []
    rolled: dict[tuple[str, str, str, int | None], int] = {}
    seen: list[Happened] = []
    game: Game | None = None
    for entry in entries:
        game = _after(game, seen, entry)
        round_ = game.place.round if game is not None and game.open else None
        same = (entry.who, entry.read, entry.page, round_)
        like = rolled.get(same)
        if entry.sides and "attack" in entry.data:  # loose dice are thrown again all evening
            rolled[same] = entry.id
        root = entry.data.get("mends", entry.id)
        newer = mended.get(root)
        undoing = void.get(entry.id) or void.get(root)
        story.append(Told(entry, round_, game, undoing, None if newer == entry.id else newer, like))
    return story


def _after(game: Game | None, seen: list[Happened], entry: Entry) -> Game | None:
    """The table after one more entry; `seen` are the events since it was opened, and grows."""
    item = happened(entry)
    if item is None:
        return game
    if item.event["type"] == "open":
        seen.clear()
    seen.append(item)
    return fold(seen) if changes_the_past(item.event, item.mends) else apply(game, item)


def named(story: Sequence[Told], words: str, message: str) -> tuple[str, str]:
    """Which side, unit or person the words mean: kind and name. `message` is what to say instead, with {}."""
    names = _names(story)
    found = matches(words, [(name, (kind, name)) for kind, name in names])
    kinds = [kind for kind in ("side", "unit", "person") if any(kind == other for other, _ in found)]
    if not kinds:
        near = nearest(words, [name for _, name in names])
        raise Misread(f'nobody called "{words}" is in this record', hint=near and message.format(near))
    best = [item for item in found if item[0] == kinds[0]]
    if len(best) > 1:
        raise Unsure(f'who is "{words}"?', tuple(message.format(name) for _, name in best))
    return best[0]


def _names(story: Sequence[Told]) -> list[tuple[str, str]]:
    """Sides and units of the last table, and everybody who recorded anything."""
    game = next((item.game for item in reversed(story) if item.game is not None), None)
    sides = [("side", side.name) for side in game.sides] if game else []
    units = [("unit", standing.name) for standing in game.units.values()] if game else []
    persons = [("person", name) for name in dict.fromkeys(item.entry.who for item in story) if name]
    return list(dict.fromkeys([*sides, *units, *persons]))
