"""Bars to PNG: the only place that knows the plotting library, which is imported when the first picture is asked."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from bot.reply import Picture

if TYPE_CHECKING:
    from matplotlib.axes import Axes

# Told apart by hatching as well as by colour, so that nothing hangs on seeing colours.
FILLS = (("#3b6ea5", ""), ("#c98b2b", "///"), ("#5b8c5a", "..."), ("#8c5b7a", "xxx"))
WIDTH_INCHES, ROW_INCHES, DOTS = 6.0, 2.6, 110
SMALLEST_SHOWN = 0.0005


def png(picture: Picture) -> bytes:
    """The picture as PNG, one row for each series, sharing nothing but the look."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    rows = len(picture.series)
    figure = Figure(figsize=(WIDTH_INCHES, ROW_INCHES * max(rows, 1)), dpi=DOTS, layout="constrained")
    FigureCanvasAgg(figure)
    figure.suptitle(picture.title, fontsize=11)
    for number, (name, shares) in enumerate(picture.series):
        axes = figure.add_subplot(rows, 1, number + 1)
        _bars(axes, name, shares, *FILLS[number % len(FILLS)])
    out = BytesIO()
    figure.savefig(out, format="png")
    return out.getvalue()


def _bars(axes: Axes, name: str, shares: tuple[float, ...], colour: str, hatch: str) -> None:
    from matplotlib.ticker import MaxNLocator

    low, high = shown(shares)
    counts = range(low, high + 1)
    axes.bar(counts, [100 * shares[count] for count in counts], color=colour, hatch=hatch, edgecolor="white")
    axes.set_xlabel(name)
    axes.set_ylabel("chance in %")
    axes.set_xlim(low - 0.6, high + 0.6)
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    axes.spines[["top", "right"]].set_visible(False)


def shown(shares: tuple[float, ...]) -> tuple[int, int]:
    """The first and last count worth a bar: the ends that nobody could see are left out."""
    likely = [count for count, share in enumerate(shares) if share >= SMALLEST_SHOWN]
    if not likely:
        return 0, max(len(shares) - 1, 0)
    return likely[0], likely[-1]
