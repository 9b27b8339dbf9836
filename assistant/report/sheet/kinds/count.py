"""A count on paper: the group, and a place for the number."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.facts.codes import Direction
from assistant.procedure.kinds import KINDS
from assistant.procedure.steps.count import CountStep
from assistant.report.sheet.listed import Listed, bolts_line
from assistant.report.sheet.part import SHEET, SheetKind


def _answer(listed: Listed, step: CountStep) -> str:
    way = "out" if step.direction is Direction.OUT else "in"
    return f"Counted {way} __________   (of {len(listed.groups[step.group].bolts)})"


def _facts(listed: Listed, step: CountStep) -> Iterator[tuple[str, str]]:
    group = listed.groups[step.group]
    yield "Bolts", f"{bolts_line(group.bolts)}; {group.size}{f'; {group.where}' if group.where else ''}"
    if group.single_use and step.direction is Direction.OUT:
        yield "Never used again", "new ones are fitted"
    for hidden in group.hidden:
        yield "Hidden", f"bolt {hidden.bolt}, {hidden.where}"
    if step.place:
        yield "Place", step.place


KINDS.add(CountStep, SHEET, SheetKind(_answer, _facts))
