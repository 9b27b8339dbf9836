"""The one adapter of matplotlib: the times of the steps of a procedure as a picture, readable in black and white."""

from __future__ import annotations

import io
from collections.abc import Sequence

from assistant.report.history import Spread
from assistant.visible import visible

MOST_BARS = 60


def steps_picture(title: str, steps: Sequence[tuple[str, Spread]], form: str) -> bytes:
    """Return the ``steps`` (name and spread) in their order, from above, as ``form`` (png, svg or pdf).

    A dot is the median, the bar the middle half, the thin line from the least to the most; in minutes.
    """
    from matplotlib.backends.backend_agg import FigureCanvasAgg  # noqa: PLC0415 - slow to load, few commands need it
    from matplotlib.figure import Figure  # noqa: PLC0415

    shown = steps[:MOST_BARS]
    figure = Figure(figsize=(8.0, 1.2 + 0.24 * max(1, len(shown))), layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot()
    for place, (_, one) in enumerate(shown):
        axes.plot([one.least / 60, one.most / 60], [place, place], color="black", linewidth=0.6)
        axes.barh(
            place, (one.high - one.low) / 60, left=one.low / 60, height=0.5, color="0.7", edgecolor="black", lw=0.6
        )
        axes.plot([one.median / 60], [place], "o", color="black", markersize=4)
    names = [f"{visible(name)[:40]} ({one.count})" for name, one in shown]
    axes.set_yticks(range(len(shown)), names, fontsize=8, parse_math=False)
    axes.invert_yaxis()
    axes.set_xlim(left=0)
    axes.set_xlabel("minutes: dot median, bar middle half, line least to most; in brackets how often", fontsize=8)
    more = f", first {MOST_BARS} of {len(steps)} steps" if len(steps) > MOST_BARS else ""
    axes.set_title(f"{visible(title)[:60]}{more}", fontsize=10, parse_math=False)
    axes.grid(axis="x", color="0.85", linewidth=0.5)
    axes.set_axisbelow(True)
    out = io.BytesIO()
    figure.savefig(out, format=form, dpi=150, metadata={"Date": None} if form == "svg" else None)
    return out.getvalue()
