"""Bars to PNG: the only place that knows the plotting library, which is imported when the first picture is asked."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING

from bot.chances import chance_words
from bot.reply import Picture

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Told apart by hatching as well as by colour, so that nothing hangs on seeing colours.
FILLS = (("#3b6ea5", ""), ("#c98b2b", "///"), ("#5b8c5a", "..."), ("#8c5b7a", "xxx"))
WIDTH_INCHES, ROW_INCHES, DOTS = 6.0, 2.6, 110
DASHES = (("-", "o"), ("--", "s"), (":", "^"), ("-.", "D"))
SMALLEST_SHOWN = 0.0005
MOST_NUMBERED = 14  # bars that leave room for their numbers
LINE = 76  # characters in a line of words


def png(picture: Picture) -> bytes:
    """The picture as PNG, one row for each series; rows that count the same thing stand over one scale."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    rows = len(picture.series)
    figure = Figure(figsize=(WIDTH_INCHES, ROW_INCHES * max(rows, 1)), dpi=DOTS, layout="constrained")
    FigureCanvasAgg(figure)
    figure.suptitle(_wrapped(picture.title, 3), fontsize=11, parse_math=False)
    alike = len({name.rpartition(": ")[2] for name, _ in picture.series}) == 1
    above: Axes | None = None
    for number, (name, shares) in enumerate(picture.series):
        axes = figure.add_subplot(rows, 1, number + 1, sharex=above, sharey=above)
        _bars(axes, name, shares, *FILLS[number % len(FILLS)])
        above = axes if alike else None
    if above is not None:
        above.set_xlim(*_one_scale([shown(shares) for _, shares in picture.series]))
    out = BytesIO()
    figure.savefig(out, format="png")
    return out.getvalue()


def _bars(axes: Axes, name: str, shares: tuple[float, ...], colour: str, hatch: str) -> None:
    from matplotlib.ticker import MaxNLocator

    low, high = shown(shares)
    counts = range(low, high + 1)
    bars = axes.bar(counts, [100 * shares[count] for count in counts], color=colour, hatch=hatch, edgecolor="white")
    if len(bars) <= MOST_NUMBERED:
        axes.bar_label(bars, [chance_words(shares[count], short=True) for count in counts], fontsize=8, padding=1)
        axes.margins(y=0.12)
    what, _, counted = name.rpartition(": ")
    axes.set_title(_wrapped(what, 2), fontsize=9, parse_math=False)
    axes.set_xlabel(counted)
    axes.set_ylabel("chance in %")
    axes.set_xlim(*_one_scale([(low, high)]))
    axes.xaxis.set_major_locator(MaxNLocator(integer=True, min_n_ticks=1))
    axes.spines[["top", "right"]].set_visible(False)


def _wrapped(text: str, lines: int) -> str:
    """The text in lines as wide as the picture, with a box for each sign that its letters lack."""
    from matplotlib.font_manager import FontProperties, findfont, get_font

    font = get_font(findfont(FontProperties()))
    drawn = "".join(sign if font.get_char_index(ord(sign)) else "□" for sign in text)
    return "\n".join(textwrap.wrap(drawn, LINE, max_lines=lines, placeholder=" …"))


def _one_scale(stretches: Sequence[tuple[int, int]]) -> tuple[float, float]:
    """Where the axis begins and ends so that it holds every stretch of counts."""
    return min(low for low, _ in stretches) - 0.6, max(high for _, high in stretches) + 0.6


def shown(shares: tuple[float, ...]) -> tuple[int, int]:
    """The first and last count worth a bar: the ends that nobody could see are left out."""
    likely = [count for count, share in enumerate(shares) if share >= SMALLEST_SHOWN]
    if not likely:
        return 0, max(len(shares) - 1, 0)
    return likely[0], likely[-1]


def strength_png(turns: Sequence[str], series: Sequence[tuple[str, Sequence[int]]]) -> bytes:
    """Models left of each side at the end of each turn, as steps; sides told apart by dashes and marks too."""
    figure, axes = _one_plot()
    places = range(len(turns))
    for number, (name, counts) in enumerate(series):
        colour, _ = FILLS[number % len(FILLS)]
        dash, mark = DASHES[number % len(DASHES)]
        axes.plot(places, counts, dash, marker=mark, color=colour, label=name, drawstyle="steps-mid")
    axes.set_xticks(places, [turn.partition(" ")[0] for turn in turns])
    axes.set_xlabel("turn, by round")
    axes.set_ylabel("models left")
    axes.set_ylim(bottom=0)
    axes.legend(frameon=False)
    return _saved(figure)


def luck_png(rolls: Sequence[tuple[int, str, float]]) -> bytes:
    """The percentile of every attack in the order of the record, one mark for each side."""
    figure, axes = _one_plot()
    for number, side in enumerate(dict.fromkeys(side for _, side, _ in rolls)):
        mine = [(place, share) for place, (_, name, share) in enumerate(rolls) if name == side]
        colour, _ = FILLS[number % len(FILLS)]
        _, mark = DASHES[number % len(DASHES)]
        axes.plot([p for p, _ in mine], [100 * share for _, share in mine], mark, color=colour, label=side)
    axes.axhline(50, color="#888888", linewidth=1, linestyle="--")
    axes.set_xticks(range(len(rolls)), [f"#{number}" for number, _, _ in rolls], rotation=60)
    axes.set_ylabel("% of such attacks lower")
    axes.set_ylim(-3, 103)
    axes.legend(frameon=False)
    return _saved(figure)


def _one_plot() -> tuple[Figure, Axes]:
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(WIDTH_INCHES, ROW_INCHES), dpi=DOTS, layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot(1, 1, 1)
    axes.spines[["top", "right"]].set_visible(False)
    return figure, axes


def _saved(figure: Figure) -> bytes:
    out = BytesIO()
    figure.savefig(out, format="png")
    return out.getvalue()
