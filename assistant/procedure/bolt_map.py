"""The bolt map: every bolt where it sits, with its number, its place in the order, and the values of the stages.

A pure drawing, as SVG text, for paper, screen and record. Groups are told apart by shape, colour and words, states by
filling, line and words, so that it can be read in black and white. All text of people is escaped.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from assistant.procedure.bolt_marks import INK, QUIET, Look, Mark, escaped, look, mark, shape, sheet, words
from assistant.procedure.bolt_places import Panel, Point, least_distance, panels
from assistant.procedure.model import Group, Stage
from assistant.procedure.programme_text import extras_text, ordinal, stage_text, target_text
from assistant.procedure.values import bolts_text

__all__ = ["Mark", "bolt_map_svg"]

_APART, _LARGEST, _SMALLEST = 76.0, 17.0, 8.0
"""Pixels between neighbours that labels need, and the radius of a mark."""
_MOST, _LEAST = 1200.0, 120.0
"""Pixels that the places of one panel may take, and take at least."""
_MARGIN, _LINE = 56.0, 19.0
_BESIDE = 520.0
"""A map up to this width [px] has its words at its side; a wider one has them below."""
_LETTERS, _LETTER = 52, 7.6
"""Letters in a line of words, and the width of one [px] in the size that they have."""


@dataclass(frozen=True, slots=True)
class _Row:
    """One line of words; a ``style`` draws the shape of a group before it."""

    text: str = ""
    bold: bool = False
    style: Look | None = None
    boxed: bool = False


@dataclass(frozen=True, slots=True)
class _Shown:
    """What is known of every bolt of the map: looks by group, place in the order, drafted or not, and its mark."""

    looks: Mapping[str, Look]
    order: Mapping[tuple[str, int], int]
    drafted: frozenset[tuple[str, int]]
    marks: Mapping[int, Mark] | None


def bolt_map_svg(
    groups: Sequence[Group],
    stages: Sequence[Stage],
    marks: Mapping[int, Mark] | None = None,
    *,
    stage: int | None = None,
    title: str = "",
) -> str:
    """Return the map of ``groups`` as SVG text.

    ``stages`` are all stages of the step. ``marks`` says by bolt number how far each one is; bolts that are not in it
    are to do, and without it none is told apart. ``stage`` (1 is the first) is the one whose order is numbered and
    whose values stand out; without it, each bolt has its place in the first stage that takes it. ``title`` stands
    above.
    """
    shown = _shown(groups, stages, marks, stage)
    drawn, width, height = _drawn_panels(panels(groups), shown)
    rows = list(_rows(groups, stages, shown, stage))
    wide = max((len(row.text) for row in rows), default=0) * _LETTER + 40
    top = 36.0 if title else 8.0
    beside = width <= _BESIDE
    left, first = (width + 8, top + 8) if beside else (24.0, top + height + 8)
    whole = (left + wide, max(top + height, first + len(rows) * _LINE + 16)) if beside else (
        max(width, left + wide), first + len(rows) * _LINE + 16)  # fmt: skip
    body = [words(title, 16, 26, 17, bold=True)] if title else []
    body.append(f'<g transform="translate(0 {top:.1f})">{"".join(drawn)}</g>')
    body += [_written(row, left, first + (line + 1) * _LINE, wide) for line, row in enumerate(rows)]
    names = "; ".join(f"{len(group.bolts)} {group.name}" for group in groups)
    return sheet(body, whole[0], whole[1], f"Bolt map. {title} {names}")


def _shown(
    groups: Sequence[Group], stages: Sequence[Stage], marks: Mapping[int, Mark] | None, stage: int | None
) -> _Shown:
    looks = {group.id: look(place) for place, group in enumerate(groups)}
    order: dict[tuple[str, int], int] = {}
    drafted: set[tuple[str, int]] = set()
    for one in stages if stage is None else stages[stage - 1 : stage]:
        place = 0
        for run in one.runs:
            for bolt in run.bolts:
                place += 1
                order.setdefault((run.group, bolt), place)
            drafted |= {(run.group, bolt) for bolt in run.bolts if run.drafted}
    return _Shown(looks, order, frozenset(drafted), marks)


def _drawn_panels(frames: Sequence[Panel], shown: _Shown) -> tuple[list[str], float, float]:
    """Draw the panels side by side, in as many lines as that takes; return the whole size [px] too."""
    drawn: list[str] = []
    left = top = width = height = 0.0
    for frame in frames:
        body, wide, high = _drawn_panel(frame, shown, named=len(frames) > 1)
        if left and left + wide > _MOST:
            left, top = 0.0, height
        drawn.append(f'<g transform="translate({left:.1f} {top:.1f})">{body}</g>')
        left += wide
        width, height = max(width, left), max(height, top + high)
    return drawn, width, height


def _drawn_panel(panel: Panel, shown: _Shown, *, named: bool) -> tuple[str, float, float]:
    xs, ys = ([point[axis] for point in panel.points.values()] or [0.0] for axis in (0, 1))
    across, up = max(xs) - min(xs), max(ys) - min(ys)
    nearest = least_distance(panel.points.values())
    scale = 1.0 if math.isinf(nearest) else min(_APART / nearest, _MOST / max(across, up))
    if across or up:
        scale = max(scale, _LEAST / max(across, up))
    radius = max(_SMALLEST, min(_LARGEST, 17.0 if math.isinf(nearest) else nearest * scale * 0.3))
    head = 24.0 if named or not panel.known else 0.0
    width, height = across * scale + 2 * _MARGIN, up * scale + 2 * _MARGIN + head

    def at(point: Point) -> Point:
        return (point[0] - min(xs)) * scale + _MARGIN, (max(ys) - point[1]) * scale + _MARGIN + head

    drawn = [
        f'<circle cx="{at(middle)[0]:.1f}" cy="{at(middle)[1]:.1f}" r="{size * scale:.1f}" fill="none"'
        f' stroke="#bbbbbb" stroke-width="1"/>'
        for middle, size in panel.circles
    ]
    if head:
        name = ", ".join(group.name for group in panel.groups)
        note = "" if panel.known else " (no layout: in the order of their numbers, not where they sit)"
        width = max(width, (len(name) + len(note)) * _LETTER + 24)
        drawn.append(words(name + note, 16, 18, 13, bold=True))
    places = {key: at(point) for key, point in panel.points.items()}
    for group in panel.groups:
        hidden = {one.bolt for one in group.hidden}
        for bolt in (bolt for bolt in group.bolts if (group.id, bolt) in places):
            drawn.append(_bolt(group, bolt, bolt in hidden, places, radius, shown))
    return "".join(drawn), width, height


def _bolt(
    group: Group,
    bolt: int,
    hidden: bool,
    places: Mapping[tuple[str, int], Point],
    radius: float,
    shown: _Shown,
) -> str:
    key = (group.id, bolt)
    x, y = places[key]
    state = None if shown.marks is None else shown.marks.get(bolt, Mark.TO_DO)
    place = shown.order.get(key)
    label = [] if place is None else [ordinal(place) + ("*" if key in shown.drafted else "")]
    if state is Mark.DONE:
        label.append("✓")
    elif state in (Mark.NOW, Mark.LEFT_OUT):
        label.append(state.value)
    lines = [" ".join(label)] if label else []
    lines += ["hidden"] if hidden else []
    said = ", ".join([f"Bolt {bolt}", group.name, *([state.value] if state else []), *lines[:1], *lines[1:]])
    return (
        f"<g><title>{escaped(said)}</title>"
        f"{mark(shown.looks[group.id], state, hidden, x, y, radius, bolt)}"
        f"{_label(lines, x, y, radius, _away(key, places))}</g>"
    )


def _away(key: tuple[str, int], places: Mapping[tuple[str, int], Point]) -> Point:
    """Return the direction from a bolt in which its label is furthest from the other marks."""
    x, y = places[key]
    right = down = 0.0
    for point in places.values():
        square = (point[0] - x) ** 2 + (point[1] - y) ** 2
        if square:
            right += (x - point[0]) / square**1.5
            down += (y - point[1]) / square**1.5
    size = math.hypot(right, down)
    return (right / size, down / size) if size > 1e-9 else (0.0, 1.0)


def _label(lines: Sequence[str], x: float, y: float, radius: float, away: Point) -> str:
    """Return words beside a mark, on the side that is free."""
    if not lines:
        return ""
    sideways = abs(away[0]) > 0.75
    anchor = ("start" if away[0] > 0 else "end") if sideways else "middle"
    reach = radius * 1.35 + 8
    left = x + away[0] * reach if sideways else x
    high = 12.0 * len(lines)
    top = y - high / 2 if sideways else (y + reach - 3 if away[1] >= 0 else y - reach - high + 4)
    return "".join(
        words(line, left, top + 10 + 12 * number, 11, anchor=anchor, colour=INK if number == 0 else QUIET)
        for number, line in enumerate(lines)
    )


def _rows(groups: Sequence[Group], stages: Sequence[Stage], shown: _Shown, stage: int | None) -> Iterator[_Row]:
    """Yield the words of the map: cautions, stages with their values, groups, hidden bolts, how to read it."""
    patterns = dict.fromkeys(run.drafted for one in stages for run in one.runs if run.drafted)
    if patterns:
        yield from _folded(f"* DRAFTED ORDER ({'; '.join(patterns)}): a general pattern, not the maker's.", boxed=True)
        yield from _folded("Check it against the maker's procedure.", boxed=True)
        yield _Row()
    names = {group.id: group.name for group in groups}
    for number, one in enumerate(stages, start=1):
        now = ", shown here" if number == stage else ""
        yield _Row(stage_text(number, one) + now, bold=stage is None or number == stage)
        for run in one.runs:
            extras = extras_text(run)
            text = f"{target_text(one, run)}: {names.get(run.group, run.group)} {bolts_text(run.bolts)}"
            yield from _folded(text + (f" ({extras})" if extras else ""), shown.looks.get(run.group))
    if stages:
        yield _Row()
    for group in groups:
        what = ", ".join(part for part in (group.size, group.thread, group.strength) if part)
        yield from _folded(f"{len(group.bolts)} {group.name}, {what}", shown.looks[group.id])
        for bolt in group.hidden:
            yield from _folded(f"hidden (broken line): {bolt.bolt}, {bolt.where}", indent=True)
    yield _Row()
    first = "the first stage that takes it" if stage is None else f"stage {stage}"
    yield from _folded(f"In the mark: number of the bolt. Beside it: its place in the order of {first}.")
    if shown.marks is not None:
        yield from _folded("Filled and ✓: done. Second line around it: now. Struck through: left out.")


def _folded(text: str, style: Look | None = None, *, boxed: bool = False, indent: bool = False) -> Iterator[_Row]:
    for place, line in enumerate(textwrap.wrap(text, _LETTERS)):
        yield _Row(
            f"    {line}" if indent or (style is None and place) else line, boxed, style if not place else None, boxed
        )


def _written(row: _Row, left: float, base: float, wide: float) -> str:
    drawn = []
    if row.boxed:
        drawn.append(
            f'<rect x="{left - 4:.1f}" y="{base - 15:.1f}" width="{wide - 16:.1f}" height="{_LINE:g}" fill="#eeeeee"/>'
        )
    if row.style is not None:
        drawn.append(shape(row.style, left + 8, base - 4, 6))
    indent = 0 if row.bold or row.boxed else 22
    drawn.append(words(row.text.lstrip(), left + indent, base, bold=row.bold))
    return "".join(drawn)
