"""The marks of a bolt map as SVG: one shape and colour for each group, one filling and word for each state."""

from __future__ import annotations

import html
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from assistant.drawing.places import Point

INK, PAPER, QUIET, FULL = "#111111", "#ffffff", "#555555", "#333333"
_CORNERS = {"circle": 0, "square": 4, "diamond": 4, "triangle": 3, "hexagon": 6, "pentagon": 5}
_COLOURS = ("#0072b2", "#d55e00", "#009e73", "#cc79a7", "#56b4e9", "#e69f00")
"""Colours that people who are blind to some of them still tell apart (Okabe and Ito, Color Universal Design)."""
_TURN = {"square": 45.0, "hexagon": 30.0}
_REACH = {"circle": 1.0, "square": 1.2, "diamond": 1.35, "triangle": 1.6, "hexagon": 1.1, "pentagon": 1.2}
"""Corners lie further out, so that every shape has the same room for its number."""
_SIDES = ((0, 1), (0, -1), (1, 0), (-1, 0))
"""Below, above, right and left of a mark."""
_SIZE = re.compile(r'<svg [^>]*?width="(\d+)" height="(\d+)"')


class BoltMark(StrEnum):
    """How far a bolt is in the stage that is shown."""

    TO_DO = "to do"
    NOW = "now"
    DONE = "done"
    LEFT_OUT = "left out"


class Box(NamedTuple):
    """What something takes of the drawing [px]."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Look:
    """How the bolts of a group are drawn."""

    shape: str
    colour: str


def look(place: int) -> Look:
    """Return the look of a group by its place among the groups of the map, from zero."""
    shapes = tuple(_CORNERS)
    return Look(shapes[place % len(shapes)], _COLOURS[place % len(_COLOURS)])


def shape(style: Look, at: Point, radius: float, *, fill: str = "none", line: float = 2, dash: str = "") -> str:
    """Return the outline of a group's shape around a place, with room for a number of ``radius`` [px]."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    paint = f'fill="{fill}" stroke="{style.colour}" stroke-width="{line:g}"{dashes}'
    if style.shape == "circle":
        return f'<circle cx="{at[0]:.1f}" cy="{at[1]:.1f}" r="{radius:.1f}" {paint}/>'
    corners, reach, first = _CORNERS[style.shape], radius * _REACH[style.shape], _TURN.get(style.shape, 0.0)
    turns = [math.radians(first + 360 * corner / corners) for corner in range(corners)]
    points = " ".join(f"{at[0] + reach * math.sin(turn):.1f},{at[1] - reach * math.cos(turn):.1f}" for turn in turns)
    return f'<polygon points="{points}" {paint} stroke-linejoin="round"/>'


def bolt_mark(style: Look, state: BoltMark | None, hidden: bool, at: Point, radius: float, number: int) -> str:
    """Return one bolt: its shape, filled as its ``state`` asks for, and its number inside."""
    around = Look(style.shape, INK)
    drawn = [shape(around, at, radius + 8, line=3)] if state is BoltMark.NOW else []
    if hidden:
        drawn.append(shape(around, at, radius + 4, line=1.5, dash="4 3"))
    drawn.append(shape(style, at, radius, fill=FULL if state is BoltMark.DONE else PAPER, line=3))
    if state is BoltMark.LEFT_OUT:
        near, far = radius * 0.72, radius * 1.3  # the number between the ends stays free
        ends = (
            f"M{at[0] + s * near:.1f} {at[1] - s * near:.1f}L{at[0] + s * far:.1f} {at[1] - s * far:.1f}"
            for s in (-1, 1)
        )
        drawn.append(f'<path d="{"".join(ends)}" stroke="{INK}" stroke-width="4"/>')
    size = min(14.0, radius * (1.0 if number < 100 else 0.8))
    ink = PAPER if state is BoltMark.DONE else INK
    drawn.append(text_line(str(number), at[0], at[1] + size * 0.36, size, anchor="middle", bold=True, colour=ink))
    return "".join(drawn)


def beside(lines: Sequence[str], at: Point, radius: float, others: Sequence[Point]) -> tuple[str, Box]:
    """Return words beside the mark at a place, on the side that is freest of the ``others``, and their box [px]."""
    wide, high = max(len(line) for line in lines) * 6.8, 12.0 * len(lines)
    away = _away(at, others)
    side = max(_SIDES, key=lambda side: side[0] * away[0] + side[1] * away[1] - _cost(side, at, radius, others, wide))
    reach = radius * 1.35 + 8
    x = at[0] + side[0] * reach
    top = at[1] - high / 2 + side[1] * (reach + high / 2 - 4)
    anchor = {-1: "end", 0: "middle", 1: "start"}[side[0]]
    text = "".join(
        text_line(line, x, top + 10 + 12 * number, 11, anchor=anchor, colour=INK if number == 0 else QUIET)
        for number, line in enumerate(lines)
    )
    left = x - {-1: wide, 0: wide / 2, 1: 0.0}[side[0]]
    return text, Box(left, top, left + wide, top + high)


def _cost(side: tuple[int, int], at: Point, radius: float, others: Sequence[Point], wide: float) -> float:
    """Return how bad it is to write at a side: very, where the words come near another mark."""
    if side[0]:
        far = 4 * radius + wide
        return 3.0 if any(abs(y - at[1]) < 1.6 * radius and 0 < side[0] * (x - at[0]) < far for x, y in others) else 0.3
    far, half = 3.6 * radius, radius + wide / 2 - 4
    return 3.0 if any(abs(x - at[0]) < half and 0 < side[1] * (y - at[1]) < far for x, y in others) else 0.0


def _away(at: Point, others: Sequence[Point]) -> Point:
    """Return the direction from a mark that leads away from the others, as a vector of length one."""
    right = down = 0.0
    for x, y in others:
        square = (x - at[0]) ** 2 + (y - at[1]) ** 2
        if square:
            right += (at[0] - x) / square**1.5
            down += (at[1] - y) / square**1.5
    size = math.hypot(right, down)
    return (right / size, down / size) if size > 1e-9 else (0.0, 1.0)


def text_line(
    text: str, x: float, y: float, size: float = 13, *, anchor: str = "start", bold: bool = False, colour: str = INK
) -> str:
    """Return a line of text, escaped, at its baseline [px]."""
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="{colour}"{weight}>'
        f"{escaped(text)}</text>"
    )


def escaped(text: str) -> str:
    """Return text of people as it may stand in SVG: one line, without control characters."""
    return html.escape("".join(letter if letter.isprintable() else " " for letter in text))


def canvas(body: Sequence[str], width: float, height: float, about: str) -> str:
    """Return a whole drawing [px] on white; ``about`` says what it shows to those who do not see it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{height:.0f}"'
        f' viewBox="0 0 {width:.0f} {height:.0f}" font-family="DejaVu Sans, sans-serif" role="img">'
        f"<title>{escaped(about)}</title>"
        f'<rect width="100%" height="100%" fill="{PAPER}"/>{"".join(body)}</svg>\n'
    )


def stacked(drawings: Sequence[str]) -> str:
    """Return whole drawings of :func:`canvas` below each other, as one."""
    body, width, height = [], 0.0, 0.0
    for drawing in drawings:
        size = _SIZE.match(drawing)
        if size is None:
            raise ValueError("This is no drawing of a bolt map.")
        body.append(drawing.replace("<svg ", f'<svg y="{height:.0f}" ', 1).rstrip("\n"))
        width, height = max(width, float(size[1])), height + float(size[2])
    return canvas(body, width, height, f"{len(drawings)} bolt maps")
