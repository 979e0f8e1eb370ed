"""The battle report as one self-contained HTML page: nothing is fetched, pictures are inside, with alt texts."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator, Sequence
from html import escape

from bot.pictures import luck_png, strength_png
from bot.report import Report, capital

STYLE = """
:root { color-scheme: light dark; --ink: #1d2129; --paper: #fbfaf7; --rule: #c9c4b8; --quiet: #5c6068; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e9e6df; --paper: #17191d; --rule: #444850; --quiet: #a4a7ad; }
}
body { margin: 0 auto; max-width: 46rem; padding: 1.5rem 1rem 4rem; color: var(--ink); background: var(--paper);
       font: 1rem/1.5 Georgia, "Times New Roman", serif; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0 0 .3rem; }
h2 { font-size: 1.15rem; margin: 2rem 0 .5rem; border-bottom: 1px solid var(--rule); padding-bottom: .2rem; }
.score { font-size: 1.15rem; }
.quiet { color: var(--quiet); }
ol, ul { padding-left: 1.2rem; }
li { margin: .2rem 0; overflow-wrap: anywhere; }
.number { color: var(--quiet); font-variant-numeric: tabular-nums; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { text-align: left; padding: .25rem .6rem .25rem 0; border-bottom: 1px solid var(--rule); }
td.n, th.n { text-align: right; }
figure { margin: 1rem 0; }
img { max-width: 100%; height: auto; background: #fff; border: 1px solid var(--rule); }
figcaption { color: var(--quiet); font-size: .9rem; }
"""


def page(report: Report) -> str:
    """The whole page."""
    return "\n".join(_page(report)) + "\n"


def _page(report: Report) -> Iterator[str]:
    title = f"Battle report: {report.title}"
    yield "<!DOCTYPE html>"
    yield '<html lang="en"><head><meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{escape(title)}</title><style>{STYLE}</style></head><body>"
    yield f"<h1>{escape(title)}</h1>"
    yield f'<p class="quiet">{escape(capital(report.standing))}.</p>'
    scores = ", ".join(f"{name} {score}" for name, score in report.scores)
    yield f'<p class="score">Score: {escape(scores)}</p>'
    yield from _strength(report)
    for turn in report.turns:
        yield f"<h2>Round {turn.round}, {escape(turn.side)}</h2>" if turn.side else "<h2>Before the game</h2>"
        yield from _list(turn.lines)
    yield "<h2>Casualties</h2>"
    yield from _casualties(report)
    yield "<h2>Turning points</h2>"
    yield from _list([f"#{p.entry} {p.said}: {p.luck}" for p in report.turning_points])
    if not report.turning_points:
        yield "<p>No roll was far from what was to be expected.</p>"
    yield "<h2>Luck</h2>"
    yield from _list(report.lucks or ("no attack is on record",))
    yield from _luck(report)
    if report.notes:
        yield "<h2>Of the record</h2>"
        yield from _list(report.notes)
    yield "</body></html>"


def _list(lines: Sequence[str]) -> Iterator[str]:
    if not lines:
        return
    yield "<ul>"
    for line in lines:
        number, _, rest = line.partition(" ")
        if number.startswith("#") and number[1:].isdigit():
            yield f'<li><span class="number">{number}</span> {escape(rest)}</li>'
        else:
            yield f"<li>{escape(line)}</li>"
    yield "</ul>"


def _casualties(report: Report) -> Iterator[str]:
    heads = ("Models", "Left", "Wounds lost", "Slew")
    yield '<div class="scroll"><table><thead><tr><th>Side</th><th>Unit</th>'
    yield "".join(f'<th class="n">{head}</th>' for head in heads) + "</tr></thead><tbody>"
    for row in report.losses:
        numbers = "".join(f'<td class="n">{n}</td>' for n in (row.models, row.left, row.hurt, row.slew))
        yield f"<tr><td>{escape(row.side)}</td><td>{escape(row.unit)}</td>{numbers}</tr>"
    yield "</tbody></table></div>"


def _strength(report: Report) -> Iterator[str]:
    """Models left of each side at the end of every turn."""
    if len(report.strength) < 2 or not report.scores:
        return
    names = [name for name, _ in report.scores]
    series = [(name, tuple(counts[i] for _, counts in report.strength)) for i, name in enumerate(names)]
    alt = "; ".join(f"{name}: {', '.join(map(str, counts))}" for name, counts in series)
    turns = [turn for turn, _ in report.strength]
    yield _figure(strength_png(turns, series), f"Models left at the end of each turn. {alt}")


def _luck(report: Report) -> Iterator[str]:
    """Where each attack came out among all that it could have been."""
    if not report.rolls:
        return
    alt = "; ".join(f"#{number} {side} {percentile:.0%}" for number, side, percentile in report.rolls)
    yield _figure(
        luck_png(report.rolls), f"Luck of each attack: the share of such attacks that come out lower. {alt}"
    )


def _figure(image: bytes, alt: str) -> str:
    data = b64encode(image).decode("ascii")
    said = escape(alt, quote=True)
    caption = escape(alt.partition(". ")[0].partition(": ")[0])
    return f'<figure><img alt="{said}" src="data:image/png;base64,{data}"><figcaption>{caption}</figcaption></figure>'
