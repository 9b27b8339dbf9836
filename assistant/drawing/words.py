"""The words beside a bolt map: cautions, stages with their values, groups, hidden bolts, how to read it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from enum import Enum
from typing import NamedTuple

from assistant.drawing.marks import Look, shape, text_line
from assistant.language.values import StageAt
from assistant.procedure.format.values import bolts_text
from assistant.procedure.model import Group
from assistant.procedure.programme_text import extras_text, stage_text, target_text
from assistant.procedure.steps.tighten import Run, Stage

LETTER, LINE = 7.6, 19.0
"""Width of a letter and height of a line [px]."""
_LETTERS = 52
"""Letters in a line."""


class Kind(Enum):
    """How a line of words is set."""

    TEXT, HEAD, BOXED = range(3)


class WordRow(NamedTuple):
    """One line of words; a ``style`` draws the shape of a group before it."""

    text: str = ""
    kind: Kind = Kind.TEXT
    style: Look | None = None


def map_rows(
    groups: Sequence[Group],
    stages: Sequence[Stage],
    looks: Mapping[str, Look],
    order: Mapping[tuple[str, int], int],
    stage: int | None,
    *,
    told_apart: bool,
) -> list[WordRow]:
    """Return the lines beside a map; ``order`` has the place of each bolt by group and number."""
    rows: list[WordRow] = []
    patterns = dict.fromkeys(run.drafted for one in stages for run in one.runs if run.drafted)
    if patterns:
        caution = f"* DRAFTED ORDER ({'; '.join(patterns)}): a general pattern, not the maker's."
        rows += [
            *_folded(caution, kind=Kind.BOXED),
            WordRow("Check it against the maker's procedure.", Kind.BOXED),
            WordRow(),
        ]
    known = {group.id: group for group in groups}
    for number, written in enumerate(stages, start=1):
        for part, one in enumerate(written.passes, start=1):
            at = StageAt(number, len(stages), written.number, written.label, part, len(written.passes))
            head = stage_text(at, written) + (", shown here" if number == stage else "")
            rows += _folded(head, kind=Kind.HEAD)
            for run in one.runs:
                extras = extras_text(replace(run, drafted=""), tool=written.tool_of(one, run) or "")
                text = f"{target_text(one, run)}: {_whose(run, known.get(run.group), order)}"
                rows += _folded(text + (f" ({extras})" if extras else ""), looks.get(run.group))
            rows += _folded(one.note)
        for said in (written.note, written.exception):
            rows += _folded(said)
    if stages:
        rows.append(WordRow())
    for group in groups:
        what = ", ".join(part for part in (group.name, group.size, group.thread, group.strength) if part)
        rows += _folded(f"{len(group.bolts)} {what}", looks[group.id])
        for bolt in group.hidden:
            rows += _folded(f"hidden (broken line around it): {bolt.bolt}, {bolt.where}")
    first = "the first stage that takes it" if stage is None else f"stage {stages[stage - 1].number or stage}"
    several = ", pass by pass" if any(len(one.passes) > 1 for one in stages) else ""
    told = f"In the mark: number of the bolt. Beside it: its place in the order of {first}{several}."
    rows += [WordRow(), *_folded(told)]
    if told_apart:
        rows += _folded("Dark with ✓: done. Second line around it: now. Struck through: left out.")
    return rows


def row_svg(row: WordRow, left: float, base: float, wide: float) -> str:
    """Return a row as SVG; ``left`` and ``base`` [px] are where it begins, ``wide`` [px] is the room of a box."""
    drawn = []
    if row.kind is Kind.BOXED:
        box = f'x="{left - 6:.1f}" y="{base - 14:.1f}" width="{wide:.1f}" height="{LINE:g}"'
        drawn.append(f'<rect {box} fill="#e6e6e6"/>')
    if row.style is not None:
        drawn.append(shape(row.style, (left + 8, base - 4), 6))
    indent = 22 if row.kind is Kind.TEXT else 0
    drawn.append(text_line(row.text, left + indent, base, bold=row.kind is not Kind.TEXT))
    return "".join(drawn)


def _whose(run: Run, group: Group | None, order: Mapping[tuple[str, int], int]) -> str:
    """Return the bolts of a run in short: all of them where they come as they are numbered on the map."""
    name = group.name if group is not None else run.group
    places = [order.get((run.group, bolt), 0) for bolt in run.bolts]
    if group is not None and sorted(run.bolts) == list(group.bolts) and places == sorted(places):
        return f"all {len(run.bolts)} {name}" if len(run.bolts) > 1 else name
    return f"{name} {bolts_text(run.bolts)}"


def _folded(text: str, style: Look | None = None, *, kind: Kind = Kind.TEXT) -> Iterator[WordRow]:
    for place, line in enumerate(textwrap.wrap(text, _LETTERS)):
        yield WordRow(line, kind, None if place else style)
