"""The battle report: round by round, casualties, turning points, luck; gathered from the record, as Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bot.game import apply, effective
from bot.house import House
from bot.lucky import has_luck, luck_line
from bot.misread import Misread
from bot.retelling import Told, told
from bot.standing import Game, Key
from bot.table.current import any_game, events
from bot.table.units import unit_words
from bot.table.words import listed, place_words
from bot.wording import plural

MOST_TURNING_POINTS = 5
FAR_FROM_EVEN = 0.25  # a percentile nearer to one half than this turned nothing
SETTING_UP = frozenset({"open", "roster", "units", "sit", "leave", "first", "own dice", "allocate"})
UNTOLD = frozenset({"step", "propose", "decline", "undo", "rest", "distance"})


@dataclass(frozen=True)
class Turn:
    """What happened in one turn, each with its number and what became of it."""

    round: int
    side: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Losses:
    """One unit: models at the start and now, wounds lost by those who stand, and what it did to others."""

    side: str
    unit: str
    models: int
    left: int
    hurt: int
    slew: int


@dataclass(frozen=True)
class TurningPoint:
    """A roll far from expectation."""

    entry: int
    said: str
    luck: str
    percentile: float


@dataclass(frozen=True)
class Report:
    """The whole report. `strength` has for each turn the models left of every side; `rolls` all percentiles."""

    title: str
    standing: str
    scores: tuple[tuple[str, int], ...]
    turns: tuple[Turn, ...]
    losses: tuple[Losses, ...]
    turning_points: tuple[TurningPoint, ...]
    lucks: tuple[str, ...]
    strength: tuple[tuple[str, tuple[int, ...]], ...]
    rolls: tuple[tuple[int, str, float], ...]
    notes: tuple[str, ...]


def battle_report(house: House, where: str, lucks: Sequence[str]) -> Report:
    """The report of the last table of a channel. `lucks` are the sides' luck in words."""
    game = any_game(house, where)
    if game is None:
        raise Misread("no table was ever opened here", hint="open table Saltmarsh Wardens against Kiln Guard")
    story = [item for item in told(house, where) if item.entry.id >= game.entry]
    attacks = [item for item in story if "luck" in item.entry.data and item.counts and item.on_table]
    lucky = [item for item in attacks if has_luck(item.entry)]
    return Report(
        title=" against ".join(side.name for side in game.sides) or "a table without sides",
        standing=place_words(game) + ("" if game.open else "; the table is closed"),
        scores=tuple((side.name, side.score) for side in game.sides),
        turns=tuple(_turns(story)),
        losses=tuple(_losses(game, attacks)),
        turning_points=_turning_points(lucky),
        lucks=tuple(lucks),
        strength=_strength(house, where, game),
        rolls=tuple((i.entry.id, _side(i), _percentile(i)) for i in lucky),
        notes=tuple(_notes(story)),
    )


def _turns(story: Sequence[Told]) -> Iterator[Turn]:
    """The turns in order; a turn that was stepped back into goes on as another part."""
    here: tuple[int, str] | None = None
    lines: list[str] = []
    for item in story:
        line = _line(item)
        if line is None or item.game is None:
            continue
        place = _place(item, item.game)
        if here is not None and place != here:
            yield Turn(*here, tuple(lines))
            lines = []
        here = place
        lines.append(line)
    if here is not None:
        yield Turn(*here, tuple(lines))


def _place(item: Told, game: Game) -> tuple[int, str]:
    """The round and turn; what sets up the table stands before the first."""
    event = item.entry.data.get("event", {})
    if not game.step and event.get("type") in SETTING_UP:
        return 0, ""
    return game.place.round, game.place.turn


def capital(text: str) -> str:
    """The text with a capital first letter."""
    return text[:1].upper() + text[1:]


def _line(item: Told) -> str | None:
    event = item.entry.data.get("event", {})
    if event.get("type") in UNTOLD or (not event and not _is_of_this_table(item)):
        return None
    said = item.entry.data.get("said") or item.entry.read
    told_of = [mark for mark in item.marks if not mark.startswith("the same request")]
    told_of += ["a loose roll, not counted below"] if item.loose else []
    marks = f" ({', '.join(told_of)})" if told_of else ""
    return f"#{item.entry.id} {said}{marks}"


def _is_of_this_table(item: Told) -> bool:
    """Whether it is a loose attack that was rolled while the table was open."""
    return item.loose and item.game is not None and item.game.open


def _losses(game: Game, attacks: Sequence[Told]) -> Iterator[Losses]:
    slew: dict[Key, int] = {}
    for item in attacks:
        event = item.entry.data["event"]
        side, unit = event["unit"]
        slew[side, unit] = slew.get((side, unit), 0) + event["slain"]
    for key, standing in game.units.items():
        hurt = sum(lost for _, lost in standing.left)
        name = unit_words(game, key)
        yield Losses(key[0], name, standing.unit.models, standing.models, hurt, slew.get(key, 0))


def _turning_points(attacks: Sequence[Told]) -> tuple[TurningPoint, ...]:
    """The attacks furthest from the middle of what they could have been, the furthest first."""
    far = [item for item in attacks if abs(_percentile(item) - 0.5) >= FAR_FROM_EVEN]
    far.sort(key=lambda item: -abs(_percentile(item) - 0.5))
    return tuple(
        TurningPoint(
            item.entry.id,
            str(item.entry.data.get("said") or item.entry.read),
            luck_line(_percentile(item)),
            _percentile(item),
        )
        for item in far[:MOST_TURNING_POINTS]
    )


def _percentile(item: Told) -> float:
    return float(item.entry.data["luck"]["percentile"])


def _side(item: Told) -> str:
    return str(item.entry.data["event"]["unit"][0])


def _strength(house: House, where: str, game: Game) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """At the start and for every turn begun since, the models left of each side at its end, as it stands now."""
    now: Game | None = None
    turns: dict[str, tuple[int, ...]] = {}
    for item in effective(events(house, where)):
        now = apply(now, item)
        if now is None or not now.units or now.over:
            continue
        here = now.place
        if not now.step and item.event["type"] in SETTING_UP:
            turns["start"] = tuple(_models(now, side.name) for side in game.sides)
        else:
            turns[f"{here.round} {here.turn}"] = tuple(_models(now, side.name) for side in game.sides)
    return tuple(turns.items())


def _models(game: Game, side: str) -> int:
    return sum(standing.models for key, standing in game.units.items() if key[0] == side)


def _notes(story: Sequence[Told]) -> Iterator[str]:
    declared = [item.entry.id for item in story if item.entry.declared]
    undone = [item.entry.id for item in story if item.undone_by]
    if declared:
        yield f"own dice in {plural(len(declared), 'entry') if len(declared) == 1 else f'{len(declared)} entries'}"
    if undone:
        yield f"undone, and left in the record: {listed([f'#{number}' for number in undone])}"


def markdown(report: Report) -> str:
    """The report as Markdown."""
    return "\n".join(_markdown(report)) + "\n"


def _markdown(report: Report) -> Iterator[str]:
    yield f"# Battle report: {_plain(report.title)}"
    yield ""
    scores = ", ".join(f"{name} {score}" for name, score in report.scores)
    yield f"{_plain(capital(report.standing))}. Score: {_plain(scores)}."
    for turn in report.turns:
        yield ""
        yield f"## Round {turn.round}, {_plain(turn.side)}" if turn.side else "## Before the game"
        yield ""
        yield from (f"- {_plain(line)}" for line in turn.lines)
    yield from (
        "",
        "## Casualties",
        "",
        "| Side | Unit | Models | Left | Wounds lost | Slew |",
        "|---|---|--:|--:|--:|--:|",
    )
    for row in report.losses:
        yield f"| {_plain(row.side)} | {_plain(row.unit)} | {row.models} | {row.left} | {row.hurt} | {row.slew} |"
    yield from ("", "## Turning points", "")
    if not report.turning_points:
        yield "No roll was far from what was to be expected."
    yield from (f"- #{p.entry} {_plain(p.said)}: {p.luck}" for p in report.turning_points)
    yield from ("", "## Luck", "")
    yield from (f"- {_plain(line)}" for line in report.lucks or ("no attack is on record",))
    if report.notes:
        yield from ("", "## Of the record", "")
        yield from (f"- {_plain(note)}" for note in report.notes)


def _plain(text: str) -> str:
    """Text of players with the signs of Markdown and HTML made harmless."""
    flat = " ".join(text.split())
    return re.sub(r"([\\`*_\[\]|<>~])", r"\\\1", flat)
