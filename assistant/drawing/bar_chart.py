"""The bar chart of a plan: what is done when, on an axis of time. A pure drawing, as SVG text.

States are told apart by filling, line and words, so that it can be read in black and white. All text is escaped.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from assistant.drawing.marks import INK, PAPER, QUIET, canvas, escaped, text_line

MOST_TICKS = 6
"""Marks on the axis of time, beside the one at its begin."""
_STEPS = (1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 1440)
"""Minutes between marks [min]."""
_WIDE, _EDGE, _ROW, _BAR, _LETTER = 900.0, 16.0, 40.0, 14.0, 7.6
"""Width of the axis, edge, height of a row and of a bar, and width of a letter [px]."""


class BarKind(StrEnum):
    """What a bar of the chart is."""

    DONE = "done"
    NOW = "now"
    OPEN = "open"
    WAIT = "waits"


@dataclass(frozen=True, slots=True)
class Bar:
    """One row: from ``start`` to ``end`` [s], and whether it ``holds_up`` the end of the whole."""

    label: str
    kind: BarKind
    start: int
    end: int
    holds_up: bool = False


def ticks(seconds: int, most: int = MOST_TICKS) -> list[tuple[int, str]]:
    """Return the marks of an axis of so many ``seconds`` [s]: where they are [s], and what stands there.

    There are ``most`` of them, or fewer, beside the one at its begin.
    """
    minutes = max(1, -(-seconds // 60))
    step = next((one for one in _STEPS if minutes / one <= most), -(-minutes // most))
    return [(60 * minute, clock_text(60 * minute)) for minute in range(0, minutes + 1, step)]


def clock_text(seconds: int) -> str:
    """Return a length of time [s] as it stands on an axis: hours and minutes.

    >>> clock_text(5400), clock_text(240)
    ('1:30', '0:04')
    """
    minutes = round(seconds / 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def bar_chart_svg(bars: Sequence[Bar], *, title: str, told: str = "") -> str:
    """Return the chart of ``bars`` as SVG text, with a ``title`` above and a line of words, ``told``, below.

    >>> "<title>Plan" in bar_chart_svg([Bar("Glue it", BarKind.NOW, 0, 60)], title="Plan")
    True
    """
    end = max([60, *(bar.end for bar in bars)])
    scale = _WIDE / end
    top = 48.0
    bottom = top + len(bars) * _ROW
    drawn = [text_line(title, _EDGE, 26, 17, bold=True)]
    for at, label in ticks(end):
        x = _EDGE + at * scale
        drawn.append(f'<path d="M{x:.1f} {top:.1f}V{bottom + 4:.1f}" stroke="#bbbbbb" stroke-width="1"/>')
        drawn.append(text_line(label, x, bottom + 18, 12, anchor="middle" if at else "start", colour=QUIET))
    for number, bar in enumerate(bars):
        drawn.append(_bar(bar, top + number * _ROW, scale))
    legend = "Filled: done. Thick: now. Empty: to do. Striped: waits. ◆: holds up the end. Hours and minutes from now."
    lines = [line for line in (told, legend) if line]
    drawn += [text_line(line, _EDGE, bottom + 42 + 18 * at, colour=QUIET) for at, line in enumerate(lines)]
    wide = max(_WIDE, *(len(line) * _LETTER for line in (*lines, *(bar.label for bar in bars))), len(title) * 11.5)
    stripes = (
        '<defs><pattern id="waits" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        f'<rect width="6" height="6" fill="{PAPER}"/><rect width="2" height="6" fill="{QUIET}"/></pattern></defs>'
    )
    return canvas([stripes, *drawn], wide + 2 * _EDGE, bottom + 42 + 18 * len(lines), f"Plan. {title}")


def _bar(bar: Bar, top: float, scale: float) -> str:
    x, wide = _EDGE + bar.start * scale, max(3.0, (bar.end - bar.start) * scale)
    fill = {BarKind.DONE: INK, BarKind.WAIT: "url(#waits)"}.get(bar.kind, PAPER)
    line = 4 if bar.kind is BarKind.NOW else 1.5
    label = f"{'◆ ' if bar.holds_up else ''}{bar.label}"
    said = f"{bar.label}: {bar.kind.value}, {clock_text(bar.start)} to {clock_text(bar.end)}"
    said += ", holds up the end" if bar.holds_up else ""
    return (
        f"<g><title>{escaped(said)}</title>{text_line(label, _EDGE, top + 14, 13, bold=bar.holds_up)}"
        f'<rect x="{x:.1f}" y="{top + 20:.1f}" width="{wide:.1f}" height="{_BAR:g}" fill="{fill}" stroke="{INK}"'
        f' stroke-width="{line:g}"/></g>'
    )
