"""A tightening on paper: the map of its bolts, and a table for each stage."""

from __future__ import annotations

from assistant.drawing.bolt_map import bolt_map_svg
from assistant.drawing.marks import look, shape
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Group
from assistant.procedure.programme_text import extras_text, stage_text, target_text
from assistant.procedure.steps.tighten import Run, Stage, TightenStep
from assistant.report.sheet.listed import Listed, bolts_line
from assistant.report.sheet.part import SHEET, Drawn, GroupKey, RunLine, SheetKind, StageTable


def _drawn(listed: Listed, step: TightenStep) -> Drawn:
    named = dict.fromkeys(run.group for stage in step.stages for run in stage.runs)
    groups = [listed.groups[name] for name in named]
    tables = tuple(_stage(listed, number, stage) for number, stage in enumerate(step.stages, 1))
    if sum(len(group.bolts) for group in groups) < 2:
        return Drawn(stages=tables)
    keys = tuple(_key(place, group) for place, group in enumerate(groups))
    return Drawn(bolt_map_svg(groups, step.stages, legend=False), keys, tables)


def _key(place: int, group: Group) -> GroupKey:
    """Return the line about the group that has this ``place`` on a map, which is its shape there."""
    mark = shape(look(place), (9.0, 9.0), 7.0)
    what = ", ".join(part for part in (group.size, group.thread, group.strength, group.where) if part)
    return GroupKey(
        f'<svg width="18" height="18" viewBox="0 0 18 18">{mark}</svg>',
        f"{group.name}, {bolts_line(group.bolts)}: {what}.",
        tuple(f"bolt {one.bolt}, {one.where}" for one in group.hidden),
    )


def _stage(listed: Listed, number: int, stage: Stage) -> StageTable:
    notes = (stage.note, stage.exception)
    tool = listed.names.get(stage.tool or "", "")
    runs = tuple(_run(listed, stage, run) for run in stage.runs)
    return StageTable(stage_text(number, stage), tool, tuple(filter(None, notes)), runs)


def _run(listed: Listed, stage: Stage, run: Run) -> RunLine:
    reads = run.low is not None or run.high is not None
    return RunLine(listed.groups[run.group].name, target_text(stage, run), extras_text(run), run.bolts, reads)


KINDS.add(TightenStep, SHEET, SheetKind(drawn=_drawn))
