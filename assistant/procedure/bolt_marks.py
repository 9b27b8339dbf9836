"""The marks of a bolt map as SVG: one shape and colour for each group, one filling and word for each state."""

from __future__ import annotations

import html
import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

INK, PAPER, QUIET = "#111111", "#ffffff", "#555555"
_SIDES = {"circle": 0, "square": 4, "diamond": 4, "triangle": 3, "hexagon": 6, "pentagon": 5}
_COLOURS = ("#0072b2", "#d55e00", "#009e73", "#cc79a7", "#56b4e9", "#e69f00")
"""Colours that people who are blind to some of them still tell apart (Okabe and Ito, Color Universal Design)."""
_TURN = {"square": 45.0, "diamond": 0.0, "triangle": 0.0, "hexagon": 30.0, "pentagon": 0.0}
_SCALE = {"circle": 1.0, "square": 1.2, "diamond": 1.35, "triangle": 1.6, "hexagon": 1.1, "pentagon": 1.2}
"""Corners lie further out, so that every shape has the same room for its number."""


class Mark(StrEnum):
    """How far a bolt is in the stage that is shown."""

    TO_DO = "to do"
    NOW = "now"
    DONE = "done"
    LEFT_OUT = "left out"


@dataclass(frozen=True, slots=True)
class Look:
    """How the bolts of a group are drawn."""

    shape: str
    colour: str


def look(place: int) -> Look:
    """Return the look of a group by its place among the groups of the map, from zero."""
    shapes = tuple(_SIDES)
    return Look(shapes[place % len(shapes)], _COLOURS[place % len(_COLOURS)])


def shape(
    style: Look, x: float, y: float, radius: float, *, fill: str = "none", line: float = 2, dash: str = ""
) -> str:
    """Return the outline of a group's shape around a place, with room for a number of ``radius`` [px]."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    paint = f'fill="{fill}" stroke="{style.colour}" stroke-width="{line:g}"{dashes}'
    if style.shape == "circle":
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" {paint}/>'
    sides, reach = _SIDES[style.shape], radius * _SCALE[style.shape]
    turns = [math.radians(_TURN[style.shape] + 360 * side / sides) for side in range(sides)]
    corners = " ".join(f"{x + reach * math.sin(turn):.1f},{y - reach * math.cos(turn):.1f}" for turn in turns)
    return f'<polygon points="{corners}" {paint} stroke-linejoin="round"/>'


def mark(style: Look, state: Mark | None, hidden: bool, x: float, y: float, radius: float, number: int) -> str:
    """Return one bolt: its shape, filled as its ``state`` asks for, and its number inside."""
    drawn = []
    if state is Mark.NOW:
        drawn.append(shape(Look(style.shape, INK), x, y, radius + 6, line=3))
    fill = style.colour if state is Mark.DONE else PAPER
    drawn.append(
        shape(style, x, y, radius, fill=fill, line=3 if state is Mark.NOW else 2, dash="4 3" if hidden else "")
    )
    if state is Mark.LEFT_OUT:
        reach = radius * 0.75
        cross = f"M{x - reach:.1f} {y - reach:.1f}L{x + reach:.1f} {y + reach:.1f}"
        drawn.append(f'<path d="{cross}" stroke="{INK}" stroke-width="2"/>')
    size = min(14.0, radius * (1.0 if number < 100 else 0.8))
    ink = PAPER if state is Mark.DONE else INK
    drawn.append(words(str(number), x, y + size * 0.36, size, anchor="middle", bold=True, colour=ink))
    return "".join(drawn)


def words(
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


def sheet(body: Sequence[str], width: float, height: float, about: str) -> str:
    """Return a whole drawing [px] on white; ``about`` says what it shows to those who do not see it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{height:.0f}"'
        f' viewBox="0 0 {width:.0f} {height:.0f}" font-family="DejaVu Sans, sans-serif" role="img">'
        f"<title>{escaped(about)}</title>"
        f'<rect width="100%" height="100%" fill="{PAPER}"/>{"".join(body)}</svg>\n'
    )
