"""Supplies, spares, tools and timers of a job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from assistant.facts.bay import SupplyUsed
from assistant.facts.inputs import Opened, Resumed
from assistant.facts.steps import TimerEnded, TimerRunsOn, TimerStarted, TimerStopped
from assistant.facts.taking_back import TimerAsBefore, TimerWas
from assistant.fastening.calibration import calibration_day
from assistant.fastening.quantities import plain
from assistant.fastening.tools import ToolBox
from assistant.journal.port import Entry
from assistant.procedure.format.tool_file import read_kept_tools
from assistant.procedure.model import Item, Procedure, TimerKind
from assistant.report.record.model import Supply, TimerLine, ToolLine
from assistant.report.record.part import record_kinds


def supplies(procedure: Procedure | None, entries: Sequence[Entry]) -> tuple[Supply, ...]:
    """Return supplies and spares with what was fitted, and batch and expiry where they were given."""
    given = {fact.supply: fact for entry in entries if isinstance(fact := entry.fact, SupplyUsed)}
    fitted: dict[str, dict[str, int]] = {}
    for entry in entries:
        for part in record_kinds():
            if (found := part.fitted(entry.fact)) is not None:
                spare, step, count = found
                fitted.setdefault(spare, {})[step] = count
    rows: list[Supply] = []
    for kind, items in (("supply", procedure.supplies), ("spare", procedure.spares)) if procedure else ():
        for item in items:
            row = _supply(kind, item)
            counts = fitted.get(item.id)
            if counts is not None:
                row = replace(row, fitted=str(sum(counts.values())))
            if told := given.pop(item.id, None):
                row = replace(row, batch=told.batch, expires=told.expires)
            rows.append(row)
    rows += [
        Supply("other", name, name, "", "", batch=told.batch, expires=told.expires) for name, told in given.items()
    ]
    return tuple(rows)


def _supply(kind: str, item: Item) -> Supply:
    quantity = "" if item.quantity is None else f"{plain(item.quantity)} {item.unit}".strip()
    return Supply(kind, item.id, item.name, quantity, item.specification)


def tools(procedure: Procedure | None, entries: Sequence[Entry]) -> tuple[ToolLine, ...]:
    """Return the tools that were used, with their calibration at the end of the job; then those the procedure names."""
    clicks: dict[str, int] = {}
    used: dict[str, None] = {}
    for entry in entries:
        for name, done in (one for kind in record_kinds() for one in kind.used(entry.fact)):
            used[name] = None
            if done:
                clicks[name] = clicks.get(name, 0) + done
    box, before = _box(entries)
    day = calibration_day(entries[-1].at_ms)
    rows: list[ToolLine] = []
    wrenches = {tool.id: tool for tool in box.with_clicks(before).with_clicks(clicks).wrenches} if box else {}
    others: dict[str, str] = {}
    if box is not None:
        others |= {tool.id: tool.name for tool in box.multipliers}
        others |= {tool.id: tool.name for tool in box.adapters}
        others |= {tool.id: tool.name for tool in box.gauges}
    for name in used:
        if wrench := wrenches.get(name):
            due = wrench.due(day)
            on = wrench.calibrated.isoformat() if wrench.calibrated else "not known"
            until = f"in date until {due.on.isoformat()}" if due.on else "in date"
            state = (
                f"OUT OF CALIBRATION: {due.why}" if due.why else f"{until}, {wrench.uses} of {wrench.most_uses} uses"
            )
            rows.append(ToolLine(name, wrench.name, True, clicks.get(name, 0), on, state))
        else:
            known = others.get(name) or others.get(name.split(" at ")[0], name)
            rows.append(ToolLine(name, known, True, 0, "", "no calibration is kept for it"))
    rows += [
        ToolLine(item.id, item.name, False, 0, "", "asked for by the procedure; which one was taken is not known")
        for item in (procedure.support_equipment if procedure else ())
        if item.id not in used
    ]
    return tuple(rows)


def _box(entries: Sequence[Entry]) -> tuple[ToolBox | None, Mapping[str, int]]:
    """Return the tool box that was used last, and the clicks that other jobs had done by then."""
    kept = [fact.tools for entry in entries if isinstance(fact := entry.fact, Opened | Resumed) and fact.tools]
    if not kept:
        return None, {}
    last = kept[-1]
    return read_kept_tools(last.yaml.encode(), last.name), last.clicks


def timers(procedure: Procedure | None, entries: Sequence[Entry]) -> tuple[TimerLine, ...]:
    """Return every run of every timer, and those that were never started."""
    rows: list[TimerLine] = []
    running: dict[str, int] = {}
    known = {timer.id: timer for timer in procedure.timers} if procedure else {}
    for entry in entries:
        match entry.fact:
            case TimerStarted(timer=name, seconds=seconds):
                if name in running:
                    rows[running[name]] = replace(rows[running[name]], ended_ms=entry.at_ms, result="started again")
                running[name] = len(rows)
                timer = known.get(name)
                called, kind = (timer.name, timer.kind.value) if timer else (name, "")
                rows.append(TimerLine(name, called, kind, seconds, entry.at_ms, None, "still runs"))
            case TimerEnded(timer=name) if name in running:
                at = running.pop(name)
                late = rows[at].kind == TimerKind.OPEN.value
                result = "ran out before its work was done" if late else "ran to its end"
                rows[at] = replace(rows[at], ended_ms=entry.at_ms, result=result)
            case TimerStopped(timer=name, left_out=left_out) if name in running:
                at = running.pop(name)
                result = "stopped: its work was left out" if left_out else "stopped in time"
                rows[at] = replace(rows[at], ended_ms=entry.at_ms, result=result)
            case TimerAsBefore(timer=name, was=was):
                _as_before(rows, running, name, was, entry.at_ms)
            case TimerRunsOn(timer=name) if name not in running:
                for at in [at for at, row in enumerate(rows) if row.id == name][-1:]:
                    running[name] = at
                    rows[at] = replace(rows[at], ended_ms=None, result="still runs")
    begun = {row.id for row in rows}
    rows += [
        TimerLine(timer.id, timer.name, timer.kind.value, timer.seconds, None, None, "never started")
        for timer in (procedure.timers if procedure else ())
        if timer.id not in begun
    ]
    return tuple(rows)


def _as_before(
    rows: list[TimerLine], running: dict[str, int], name: str, was: TimerWas | None, at_ms: int
) -> None:  # fmt: skip
    """Let a run that was taken back end, or one that was stopped or begun again go on."""
    mine = [at for at, row in enumerate(rows) if row.id == name and row.result != "taken back"]
    last = mine.pop() if mine else None
    if last is not None and (was is None or was.ends_ms != _ends_ms(rows[last])):
        rows[last] = replace(rows[last], ended_ms=at_ms, result="taken back")
        running.pop(name, None)
        last = mine.pop() if mine else None
    if last is not None and was is not None and not was.over and not was.stopped:
        running[name] = last
        rows[last] = replace(rows[last], ended_ms=None, result="still runs")


def _ends_ms(row: TimerLine) -> int:
    return (row.started_ms or 0) + row.seconds * 1000
