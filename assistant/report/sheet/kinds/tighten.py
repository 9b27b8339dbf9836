"""A tightening on paper: the map of its bolts, and a table for each stage."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.drawing.bolt_map import bolt_map_svg
from assistant.drawing.marks import look, shape
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Group
from assistant.procedure.programme_text import extras_text, stage_place, stage_text, target_text
from assistant.procedure.steps.tighten import Pass, Run, TightenStep
from assistant.report.sheet.listed import Listed, bolts_line
from assistant.report.sheet.part import SHEET, Drawn, GroupKey, RunLine, SheetKind, StageTable


def _drawn(listed: Listed, step: TightenStep) -> Drawn:
    named = dict.fromkeys(run.group for stage in step.stages for run in stage.runs)
    groups = [listed.groups[name] for name in named]
    tables = tuple(_tables(listed, step))
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


def _tables(listed: Listed, step: TightenStep) -> Iterator[StageTable]:
    """Yield a table for each pass, and for each time that it is done."""
    for number, stage in enumerate(step.stages, 1):
        for part, one in enumerate(stage.passes, 1):
            for time in range(1, one.repeat + 1):
                at = stage_place(step, number, part, time)
                first = part == 1 and time == 1
                notes = (stage.note if first else "", stage.exception if first else "", one.note if time == 1 else "")
                tool = one.tool or stage.tool
                runs = tuple(_run(listed, one, run, tool) for run in one.runs)
                head = stage_text(at, stage, each=True)
                yield StageTable(head, listed.names.get(tool or "", ""), tuple(filter(None, notes)), runs)


def _run(listed: Listed, one: Pass, run: Run, tool: str | None) -> RunLine:
    """Return the line of a run; its tool where that is not the one of its pass."""
    reads = run.low is not None or run.high is not None
    own = f"with the {listed.names.get(run.tool, run.tool)}" if run.tool and run.tool != tool else ""
    extras = "; ".join(
        filter(None, [own, extras_text(run, tool=f"{run.tool or tool} {listed.names.get(run.tool or tool or '', '')}")])
    )
    return RunLine(listed.groups[run.group].name, target_text(one, run), extras, run.bolts, reads)


KINDS.add(TightenStep, SHEET, SheetKind(drawn=_drawn))
