"""Supplies, spares, tools and timers of a job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from assistant.fastening.calibration import calibration_day
from assistant.fastening.quantities import plain
from assistant.fastening.tools import ToolBox
from assistant.journal.port import Entry
from assistant.procedure.format.tool_file import read_kept_tools
from assistant.procedure.model import Item, Procedure, TimerKind
from assistant.report.record.bolts import TIGHTENED
from assistant.report.record.model import Supply, TimerLine, ToolLine


def supplies(procedure: Procedure | None, entries: Sequence[Entry]) -> tuple[Supply, ...]:
    """Return supplies and spares with what was fitted, and batch and expiry where they were given."""
    given = {str(entry.data["supply"]): entry.data for entry in entries if entry.kind == "supply_used"}
    fitted: dict[str, dict[str, int]] = {}
    for entry in entries:
        if entry.kind == "part_fitted":
            fitted.setdefault(str(entry.data["spare"]), {})[str(entry.data["step"])] = int(entry.data["count"])
    rows: list[Supply] = []
    for kind, items in (("supply", procedure.supplies), ("spare", procedure.spares)) if procedure else ():
        for item in items:
            row = _supply(kind, item)
            counts = fitted.get(item.id)
            if counts is not None:
                row = replace(row, fitted=str(sum(counts.values())))
            if told := given.pop(item.id, None):
                row = replace(row, batch=str(told.get("batch", "")), expires=str(told.get("expires", "")))
            rows.append(row)
    rows += [
        Supply("other", name, name, "", "", batch=str(told.get("batch", "")), expires=str(told.get("expires", "")))
        for name, told in given.items()
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
        if entry.kind in TIGHTENED:
            used |= dict.fromkeys(
                str(entry.data[key]) for key in ("tool", "adapter", "multiplier") if entry.data.get(key)
            )
            if tool := entry.data.get("tool"):
                clicks[str(tool)] = clicks.get(str(tool), 0) + int(entry.data.get("clicks") or 0)
        elif entry.kind == "tools_chosen" and entry.data.get("gauge"):
            used[str(entry.data["gauge"])] = None
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
    last = next((entry.data for entry in reversed(entries) if entry.data.get("tools_yaml")), None)
    if last is None:
        return None, {}
    clicks = {str(tool): int(count) for tool, count in (last.get("tool_clicks") or {}).items()}
    return read_kept_tools(str(last["tools_yaml"]).encode(), str(last.get("tools_file", ""))), clicks


def timers(procedure: Procedure | None, entries: Sequence[Entry]) -> tuple[TimerLine, ...]:
    """Return every run of every timer, and those that were never started."""
    rows: list[TimerLine] = []
    running: dict[str, int] = {}
    for entry in entries:
        data = entry.data
        if entry.kind == "timer_started":
            name = str(data["timer"])
            if name in running:
                rows[running[name]] = replace(rows[running[name]], ended_ms=entry.at_ms, result="started again")
            running[name] = len(rows)
            kind = str(data["kind"])
            rows.append(
                TimerLine(name, str(data["name"]), kind, int(data["seconds"]), entry.at_ms, None, "still runs")
            )  # fmt: skip
        elif entry.kind in ("timer_ended", "timer_stopped") and str(data["timer"]) in running:
            at = running.pop(str(data["timer"]))
            late = entry.kind == "timer_ended" and rows[at].kind == TimerKind.OPEN.value
            result = "ran out before its work was done" if late else "ran to its end"
            if entry.kind == "timer_stopped":
                result = "stopped: its work was left out" if data.get("left_out") else "stopped in time"
            rows[at] = replace(rows[at], ended_ms=entry.at_ms, result=result)
        elif entry.kind == "timer_runs_on" and str(data["timer"]) not in running:
            name = str(data["timer"])
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
