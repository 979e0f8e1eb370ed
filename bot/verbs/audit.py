"""audit: are these dice fair? Chi-square, runs and pairs, and what so few dice could have shown."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from bot.asked import Asked
from bot.house import House
from bot.ledger import Entry
from bot.misread import Misread
from bot.reply import Bars, Block, Line, Note, Reply, Shell
from bot.requests.record import Audit
from resolver.fairness import (
    LEAST_EXPECTED,
    Finding,
    enough_for_faces,
    even_faces,
    face_counts,
    frequency,
    high_and_low,
    runs,
    serial,
    smallest_bias,
)

MANY = 100  # bits that the frequency test asks for (its source recommends them)
MOST_BARS = 20  # faces that are drawn
ODD = 0.01  # fair dice look this odd once in a hundred pages


@dataclass(frozen=True)
class Sample:
    """All dice of one kind: how many faces they have, and whether players declared them."""

    sides: int
    declared: bool
    faces: tuple[int, ...]

    @property
    def name(self) -> str:
        whose = "declared" if self.declared else "sealed"
        dice = "die" if len(self.faces) == 1 else "dice"
        return f"{len(self.faces)} {whose} {dice} of {self.sides} faces"

    @cached_property
    def findings(self) -> dict[str, Finding]:
        """The tests that so many dice allow, by what they look at."""
        found: dict[str, Finding] = {}
        if enough_for_faces(len(self.faces), self.sides):
            halves = high_and_low(self.faces, self.sides)
            found["faces"] = even_faces(self.faces, self.sides)
            found["runs"] = runs(halves)
            if len(halves) >= MANY:
                found["halves"] = frequency(halves)
        if enough_for_faces(len(self.faces), self.sides**2):
            found["pairs"] = serial([face - 1 for face in self.faces], self.sides, 2)[0]
        return found

    @property
    def odd(self) -> bool:
        """Whether any test is odder than ODD, shared among the tests made (Bonferroni)."""
        return any(finding.chance < ODD / len(self.findings) for finding in self.findings.values())


def answer(request: Audit, asked: Asked, house: House) -> Reply:
    """Each kind of dice by itself, declared ones apart; honest about what it cannot show."""
    where, entries = _entries(request, asked, house)
    samples = list(_samples(entries))
    if not samples:
        raise Misread("there are no dice to audit yet", hint="dice 10d6")
    odd = [sample.name for sample in samples if sample.odd]
    tested = any(sample.findings for sample in samples)
    verdict = "too few dice to say anything" if not tested else "nothing here speaks against fair dice"
    if odd:
        verdict = f"odd: {', '.join(odd)}; fair dice look so less than once in {round(1 / ODD)} audits"
    blocks = [Line(verdict, strong=True)]
    data = {"pages": where, "samples": [_data(sample) for sample in samples], "odd": bool(odd)}
    parts = [block for sample in samples for block in _blocks(sample)]
    notes = (
        Note("an audit sees lasting bias; that nobody chose the faces is shown by the seal of a revealed page"),
        Shell("`drumhead verify FILE` checks that seal"),
    )
    return Reply("audit", f"audit of {', '.join(where)}", (*blocks, *parts, *notes), data)


def _entries(request: Audit, asked: Asked, house: House) -> tuple[list[str], list[Entry]]:
    """The entries with dice of the newest page that has any, or of all pages."""
    pages = [page for page in house.ledger.pages(asked.where) if page.rolls]
    wanted = [page.id for page in (pages if request.whole else pages[-1:])]
    since = pages[-1].first if pages and not request.whole else 0
    entries = house.ledger.entries(asked.where, since=since)
    return wanted, [entry for entry in entries if entry.sides and entry.page in wanted]


def _samples(entries: Sequence[Entry]) -> Iterator[Sample]:
    """Sealed dice first, then declared ones; each number of faces by itself."""
    for declared in (False, True):
        some = [entry for entry in entries if entry.declared is declared]
        for sides in sorted({side for entry in some for side in entry.sides}):
            yield Sample(sides, declared, tuple(_faces(some, sides)))


def _faces(entries: Iterable[Entry], sides: int) -> Iterator[int]:
    for entry in entries:
        yield from (face for face, side in zip(entry.faces, entry.sides, strict=True) if side == sides)


def _blocks(sample: Sample) -> list[Block]:
    blocks = [_counted(sample)]
    blocks += [Line(_said(name, finding)) for name, finding in sample.findings.items()]
    if not sample.findings:
        need = LEAST_EXPECTED * sample.sides
        blocks.append(Line(f"too few to test: at least {need} dice are needed, {LEAST_EXPECTED} for each face"))
    blocks.append(Note(_power(sample)))
    return blocks


def _counted(sample: Sample) -> Block:
    """How often each face came; the faces themselves where there are fewer dice than a die has faces."""
    if len(sample.faces) < sample.sides:
        return Line(f"{sample.name}: {' '.join(map(str, sorted(sample.faces, reverse=True)))}")
    if sample.sides > MOST_BARS:
        return Line(sample.name)
    counts, total = face_counts(sample.faces, sample.sides), len(sample.faces)
    return Bars(sample.name, tuple((str(face), count / total, str(count)) for face, count in enumerate(counts, 1)))


def _said(name: str, finding: Finding) -> str:
    words = {
        "faces": f"faces: chi-square {finding.value:.2f} on {finding.freedom} degrees of freedom",
        "runs": f"runs of high and low: {finding.value:g}",
        "halves": f"high against low: {finding.value:.2f} standard deviations from even",
        "pairs": f"pairs in a row: {finding.value:.2f} on {finding.freedom} degrees of freedom",
    }
    return f"{words[name]}; fair dice look at least this odd {_times(finding.chance)}"


def _times(chance: float) -> str:
    if chance < 0.001:
        return "less than once in 1,000 times"
    if chance < 0.1:
        return f"{round(chance * 1000)} times in 1,000"
    return f"{round(chance * 100)} times in 100"


def _power(sample: Sample) -> str:
    dice, fair = len(sample.faces), 1 / sample.sides
    bias = smallest_bias(dice, sample.sides)
    said = "1 die" if dice == 1 else f"{dice} dice"
    if bias is None:
        return f"{said} cannot show any bias"
    return (
        f"{said} cannot show a small bias: a face that comes {100 * fair:.1f}% of the time "
        f"would have to come {100 * (fair + bias):.1f}% to be noticed 4 times in 5"
    )


def _data(sample: Sample) -> dict[str, Any]:
    bias = smallest_bias(len(sample.faces), sample.sides)
    return {
        "sides": sample.sides,
        "declared": sample.declared,
        "dice": len(sample.faces),
        "counts": face_counts(sample.faces, sample.sides),
        "tests": {
            name: {"value": finding.value, "freedom": finding.freedom, "chance": finding.chance}
            for name, finding in sample.findings.items()
        },
        "smallest_bias": bias,
    }
