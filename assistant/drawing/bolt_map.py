"""The bolt map: every bolt where it sits, with its number, its place in the order, and the values of the stages.

A pure drawing, as SVG text, for paper, screen and record. Groups are told apart by shape, colour and words, states by
filling, line and words, so that it can be read in black and white. All text of people is escaped.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from assistant.drawing.marks import BoltMark, Box, Look, beside, bolt_mark, canvas, escaped, look, text_line
from assistant.drawing.places import Panel, Point, least_distance, panels
from assistant.drawing.words import LETTER, LINE, map_rows, row_svg
from assistant.fastening.quantities import Torque, TorqueUnit
from assistant.procedure.model import Group, Layout, LayoutKind, Spot
from assistant.procedure.programme_text import ordinal
from assistant.procedure.steps.tighten import Run, Stage

_APART, _LARGEST, _SMALLEST = 76.0, 17.0, 8.0
"""Pixels between neighbours that labels need, and the radius of a mark."""
_MOST, _LEAST = 1200.0, 120.0
"""Pixels that the places of one panel may take, and take at least."""
_EDGE = 16.0
_TITLE = 11.5
"""Width of a letter of the title [px]."""
_BESIDE = 700.0
"""A map up to this width [px] has its words at its side; a wider one has them below."""
_NO_VALUE = Torque(Decimal(1), TorqueUnit.NEWTON_METRE)
"""Stands for a torque that nobody gave; a map without its words shows no value."""


@dataclass(frozen=True, slots=True)
class _Shown:
    """What is known of every bolt of the map: looks by group, place in the order, and its mark.

    ``order`` has the place in the first pass that takes a bolt, ``said`` its places in all passes of that stage.
    """

    looks: Mapping[str, Look]
    order: Mapping[tuple[str, int], int]
    said: Mapping[tuple[str, int], Sequence[str]]
    marks: Mapping[int, BoltMark] | None

    def state(self, bolt: int) -> BoltMark | None:
        """Return how far a bolt is; None when nobody asks."""
        return None if self.marks is None else self.marks.get(bolt, BoltMark.TO_DO)


def bolt_map_svg(
    groups: Sequence[Group],
    stages: Sequence[Stage],
    marks: Mapping[int, BoltMark] | None = None,
    *,
    stage: int | None = None,
    title: str = "",
    legend: bool = True,
) -> str:
    """Return the map of ``groups`` as SVG text.

    ``stages`` are all stages of the step. ``marks`` says by bolt number how far each one is; bolts that are not in it
    are to do, and without it none is told apart. ``stage`` (1 is the first) is the one whose order is numbered and
    whose values stand out; without it, each bolt has its place in the first stage that takes it. ``title`` stands
    above. Without ``legend``, the page around the map must say the values, the groups and which orders are drafted.
    """
    shown = _shown(groups, stages, marks, stage)
    drawn, width, height = _panels(panels(groups), shown)
    told = map_rows(groups, stages, shown.looks, shown.order, stage, told_apart=marks is not None)
    rows = told if legend else []
    wide = max((len(row.text) for row in rows), default=0) * LETTER + 40
    top = 36.0 if title else 8.0
    left, first = (width + 8, top + 8) if width <= _BESIDE else (24.0, top + height)
    right, bottom = (left + wide, first + len(rows) * LINE + 16) if rows else (width, top + height)
    body = [text_line(title, 16, 26, 17, bold=True)] if title else []
    body.append(f'<g transform="translate(0 {top:.1f})">{drawn}</g>')
    body += [row_svg(row, left, first + (line + 1) * LINE, wide) for line, row in enumerate(rows)]
    names = "; ".join(f"{len(group.bolts)} {group.name}" for group in groups)
    whole = max(width, right, 32 + len(title) * _TITLE)
    return canvas(body, whole, max(top + height, bottom), f"Bolt map. {title} {names}")


def order_map_svg(
    group: Group, places: Mapping[int, Point], order: Sequence[int], pattern: str, last: Torque | None
) -> str:
    """Return the map of ``group`` with the drafted ``order`` [bolt numbers] as SVG text.

    ``pattern`` is how it was made.

    Without a layout, the bolts sit at ``places`` [one unit]. ``last`` [torque] stands beside it, where it is known.
    """
    if group.layout is None:
        spots = tuple(Spot(bolt, Decimal(str(x)), Decimal(str(y))) for bolt, (x, y) in places.items())
        group = replace(group, layout=Layout(LayoutKind.FREE, spots=spots))
    stage = Stage.single((Run(group.id, tuple(order), last or _NO_VALUE, drafted=pattern),))
    return bolt_map_svg([group], [stage], title=f"Drafted order, not the maker's: {pattern}", legend=last is not None)


def _shown(
    groups: Sequence[Group], stages: Sequence[Stage], marks: Mapping[int, BoltMark] | None, stage: int | None
) -> _Shown:
    looks = {group.id: look(place) for place, group in enumerate(groups)}
    order: dict[tuple[str, int], int] = {}
    said: dict[tuple[str, int], Sequence[str]] = {}
    for one in stages if stage is None else stages[stage - 1 : stage]:
        here: dict[tuple[str, int], list[str]] = {}
        for part, written in enumerate(one.passes, start=1):
            taken = [(run, bolt) for run in written.runs for bolt in run.bolts]
            for place, (run, bolt) in enumerate(taken, start=1):
                key = (run.group, bolt)
                order.setdefault(key, place)
                name = f"pass {part}: " if len(one.passes) > 1 else ""
                here.setdefault(key, []).append(f"{name}{ordinal(place)}{'*' if run.drafted else ''}")
        said = {**here, **said}
    return _Shown(looks, order, said, marks)


def _panels(frames: Sequence[Panel], shown: _Shown) -> tuple[str, float, float]:
    """Draw the panels side by side, in as many lines as that takes; return the whole size [px] too."""
    drawn: list[str] = []
    left = top = width = height = 0.0
    for frame in frames:
        body, wide, high = _panel(frame, shown, named=len(frames) > 1)
        if left and left + wide > _MOST:
            left, top = 0.0, height
        drawn.append(f'<g transform="translate({left:.1f} {top:.1f})">{body}</g>')
        left += wide
        width, height = max(width, left), max(height, top + high)
    return "".join(drawn), width, height


def _panel(panel: Panel, shown: _Shown, *, named: bool) -> tuple[str, float, float]:
    """Draw one panel; return its size [px] too."""
    places, scale, radius = _scaled(panel)
    keys = [(group, bolt) for group in panel.groups for bolt in group.bolts if (group.id, bolt) in places]
    room = radius * 1.7
    boxes = [Box(x - room, y - room, x + room, y + room) for x, y in places.values()]
    drawn = [
        f'<circle cx="{middle[0] * scale:.1f}" cy="{-middle[1] * scale:.1f}" r="{size * scale:.1f}" fill="none"'
        f' stroke="#bbbbbb" stroke-width="1"/>'
        for middle, size in panel.circles
    ]
    for (x, y), size in panel.circles:
        boxes.append(Box((x - size) * scale, (-y - size) * scale, (x + size) * scale, (size - y) * scale))
    for group, bolt in keys:
        at, lines = places[group.id, bolt], _label(group, bolt, shown)
        drawn.append(_bolt(group, bolt, at, radius, shown))
        if lines:
            around = 8 if shown.state(bolt) is BoltMark.NOW else 4 if _hidden(group, bolt) else 0
            text, box = beside(lines, at, radius + around, list(places.values()))
            drawn.append(text)
            boxes.append(box)
    left, top = (min((box[side] for box in boxes), default=0.0) for side in (0, 1))
    right, bottom = (max((box[side] for box in boxes), default=0.0) for side in (2, 3))
    head, width, down = "", right - left, _EDGE
    if named or not panel.known:
        name = ", ".join(group.name for group in panel.groups)
        name += "" if panel.known else " (no layout: in the order of their numbers, not where they sit)"
        head, width, down = text_line(name, _EDGE, 18, bold=True), max(width, len(name) * (LETTER + 1)), _EDGE + 22
    body = f'{head}<g transform="translate({_EDGE - left:.1f} {down - top:.1f})">{"".join(drawn)}</g>'
    return body, width + 2 * _EDGE, bottom - top + down + _EDGE


def _scaled(panel: Panel) -> tuple[dict[tuple[str, int], Point], float, float]:
    """Return the places [px] with y downwards, pixels in a length of the layout, and the radius [px] of a mark."""
    nearest = least_distance(panel.points.values())
    if math.isinf(nearest):
        return dict.fromkeys(panel.points, (0.0, 0.0)), 1.0, _LARGEST
    xs, ys = ([point[axis] for point in panel.points.values()] for axis in (0, 1))
    size = max(max(xs) - min(xs), max(ys) - min(ys))
    scale = max(min(_APART / nearest, _MOST / size), _LEAST / size)
    radius = max(_SMALLEST, min(_LARGEST, nearest * scale * 0.3))
    return {key: (x * scale, -y * scale) for key, (x, y) in panel.points.items()}, scale, radius


def _label(group: Group, bolt: int, shown: _Shown) -> list[str]:
    """Return the words beside a bolt: its place in the order, how far it is, and whether it is hidden."""
    key = (group.id, bolt)
    state, lines = shown.state(bolt), list(shown.said.get(key, ()))
    mark = state.value if state in (BoltMark.NOW, BoltMark.LEFT_OUT) else "✓" if state is BoltMark.DONE else ""
    if mark:
        lines = [*lines[:-1], " ".join(filter(None, [*lines[-1:], mark]))]
    return [*lines, "hidden"] if _hidden(group, bolt) else lines


def _bolt(group: Group, bolt: int, at: Point, radius: float, shown: _Shown) -> str:
    state = shown.state(bolt)
    said = [f"Bolt {bolt}", group.name, *([state.value] if state else []), *_label(group, bolt, shown)]
    drawn = bolt_mark(shown.looks[group.id], state, _hidden(group, bolt), at, radius, bolt)
    return f"<g><title>{escaped(', '.join(said))}</title>{drawn}</g>"


def _hidden(group: Group, bolt: int) -> bool:
    return any(one.bolt == bolt for one in group.hidden)
