"""Every tightening action of a job, done or not, and the fasteners that came out and went back in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from assistant.drawing.bolt_map import bolt_map_svg
from assistant.drawing.marks import BoltMark
from assistant.fastening.readings import Side, compare, general_limits
from assistant.journal.port import Entry
from assistant.procedure.model import Group, Procedure
from assistant.procedure.steps.count import CountStep, Direction
from assistant.procedure.steps.tighten import TightenStep
from assistant.report.record.model import Fasteners, How, JobRecord, Tightening
from assistant.report.record.values import (
    limits_words,
    numbers,
    printed_value,
    quantity_of,
    target_words,
    tolerated_words,
    unit_of,
)
from assistant.session.engine import target_data
from assistant.session.places import chunks_of
from assistant.session.tooling import limits_data

TIGHTENED = ("run_tightened", "bolt_tightened")
Bolt = tuple[str, int, str, int]
"""Step, pass, group and number of a bolt."""


def tightenings(
    procedure: Procedure | None, entries: Sequence[Entry], how: Mapping[int, How]
) -> tuple[Tightening, ...]:
    """Return all actions in the order of the procedure's steps, each with what was confirmed; then what was not."""
    rows: dict[str, list[Tightening]] = {}
    tight: dict[Bolt, str] = {}
    gauges: dict[tuple[str, int], str] = {}
    for entry in entries:
        data = entry.data
        if entry.kind == "tools_chosen" and data.get("gauge"):
            gauges[str(data["step"]), int(data["turn"])] = str(data["gauge"])
        elif entry.kind in TIGHTENED:
            gauge = gauges.get((str(data["step"]), int(data.get("turn") or 0)), "")
            rows.setdefault(str(data["step"]), []).append(_action(entry, how[entry.seq], _result(data), gauge))
            tight.update(dict.fromkeys(bolt_keys(data), "done"))
        elif entry.kind == "out_of_limits":
            rows.setdefault(str(data["step"]), []).append(
                _action(entry, how[entry.seq], f"{str(data['verdict']).upper()} LIMITS")
            )
        elif entry.kind == "skipped" and data.get("what") == "bolts":
            tight.update((key, f"left out: {data['reason']}") for key in bolt_keys(data) if tight.get(key) != "done")
        elif entry.kind == "bolt_again":
            for key in bolt_keys(data):
                tight.pop(key, None)
        elif entry.kind in ("bolt_replaced", "bolts_loosened"):
            if entry.kind == "bolts_loosened":
                rows.setdefault(str(data["step"]), []).append(_action(entry, how[entry.seq], "loosened"))
            gone = {(str(data["group"]), int(bolt)) for bolt in data["bolts"]}
            tight = {key: state for key, state in tight.items() if key[2:] not in gone}
    found: list[Tightening] = []
    if procedure is not None:
        for step in _tighten_steps(procedure):
            found += [*rows.pop(step.id, []), *_missing(step, procedure, tight)]
    return (*found, *(row for left in rows.values() for row in left))


def bolt_keys(data: Mapping[str, Any]) -> list[Bolt]:
    """Return which bolts in which pass the values of an entry are about."""
    turn = int(data.get("turn") or data["stage"])
    return [(str(data["step"]), turn, str(data["group"]), int(bolt)) for bolt in data["bolts"]]


def _result(data: Mapping[str, Any]) -> str:
    verdict = data.get("verdict")
    if verdict in ("above", "below"):
        return f"{verdict.upper()} LIMITS, accepted"
    if verdict == "within":
        return "within limits"
    return "FAR FROM THE TARGET, NO LIMITS" if _contradicts(data) else "confirmed"


def _contradicts(data: Mapping[str, Any]) -> bool:
    """Return whether a reading that was never compared, as in jobs under older rules, is far from its target."""
    reading, target = (quantity_of(data.get(key)) for key in ("reading", "target"))
    if reading is None or target is None or type(reading) is not type(target):
        return False
    return compare(reading, *general_limits(target)) is not Side.WITHIN


def _action(entry: Entry, how: How, result: str, gauge: str = "") -> Tightening:
    """Return one action; ``gauge`` (an id) is what an angle was read off, when the stage named one."""
    data = entry.data
    unit = unit_of(data) or str((data.get("reading") or {}).get("unit", ""))
    drag = printed_value(data.get("drag"))
    way = str(data.get("way") or ("angle" if (data.get("target") or {}).get("further") else "torque"))
    tools = [str(data[key]) for key in ("tool", "adapter", "multiplier") if data.get(key)]
    if way == "angle" and gauge:
        tools.insert(0, gauge)
    return Tightening(
        step=str(data["step"]),
        stage=int(data["stage"]),
        turn=int(data.get("turn") or data["stage"]),
        way=way,
        group=str(data["group"]),
        bolts=tuple(int(bolt) for bolt in data["bolts"]),
        target=target_words(data) + (f" and {drag} drag" if drag else ""),
        limits=tolerated_words(data, unit),
        tool=" with ".join(tools),
        setting=printed_value(data.get("setting")),
        reading=printed_value(data.get("reading")),
        result=result,
        entry=entry.seq,
        at_ms=entry.at_ms,
        how=how,
        repeated=data.get("repeated") is True,
    )


def _tighten_steps(procedure: Procedure) -> Iterator[TightenStep]:
    for step in (*procedure.steps, *procedure.closing):
        if isinstance(step, TightenStep):
            yield step


def _missing(step: TightenStep, procedure: Procedure, tight: Mapping[Bolt, str]) -> Iterator[Tightening]:
    """Yield what was not tightened, a row for each run and reason."""
    for chunk in chunks_of(step, procedure):
        states: dict[str, list[int]] = {}
        for bolt in chunk.bolts:
            state = tight.get((step.id, chunk.turn, chunk.group, bolt), "NOT DONE")
            if state != "done":
                states.setdefault(state, []).append(bolt)
        for state, bolts in states.items():
            target = None if chunk.target is None else target_data(chunk.target)
            data = {"target": target, "way": chunk.way.value}
            limits = limits_words(limits_data(chunk), unit_of(data))
            words = target_words(data)
            yield Tightening(
                step.id, chunk.stage, chunk.turn, chunk.way.value, chunk.group, tuple(bolts),
                words, limits, "", "", "", state,
            )  # fmt: skip


def fasteners(procedure: Procedure | None, entries: Sequence[Entry]) -> tuple[Fasteners, ...]:
    """Return the count of each group: planned, out, back in, renewed and scrapped."""
    if procedure is None:
        return ()
    counts: dict[str, int] = {
        str(entry.data["step"]): int(entry.data["count"]) for entry in entries if entry.kind == "counted"
    }
    everything = (*procedure.steps, *procedure.closing)
    steps = [step for step in everything if isinstance(step, CountStep)]
    return tuple(_group(group, [step for step in steps if step.group == group.id], counts, entries)
                 for group in procedure.groups)  # fmt: skip


def _group(group: Group, steps: Sequence[CountStep], counts: Mapping[str, int], entries: Sequence[Entry]) -> Fasteners:
    renewed: set[int] = set()
    loose: set[int] = set()
    replaced = 0
    fitted: dict[str, int] = {}
    for entry in entries:
        data = entry.data
        if entry.kind in ("new_confirmed", "bolt_replaced") and data["group"] == group.id:
            renewed |= {int(bolt) for bolt in data["bolts"]}
            replaced += len(data["bolts"]) if entry.kind == "bolt_replaced" else len(loose & set(data["bolts"]))
            loose -= set(data["bolts"])
        elif entry.kind == "bolts_loosened" and data["group"] == group.id and group.single_use:
            loose |= set(data["bolts"])
        elif entry.kind == "part_fitted" and group.spare and data["spare"] == group.spare:
            fitted[str(data["step"])] = int(data["count"])
    new = max(len(renewed), min(sum(fitted.values()), len(group.bolts)))
    ways = {way: [step for step in steps if step.direction is way] for way in Direction}
    total = {
        way: sum(counts.get(step.id, 0) for step in row) if any(step.id in counts for step in row) else None
        for way, row in ways.items()
    }
    out, back = total[Direction.OUT], total[Direction.IN]
    missing = [step for step in steps if step.id not in counts]
    if not steps:
        result = "agrees" if not group.single_use else "no count asked for"
    elif missing:
        result = "COUNT MISSING"
    elif ways[Direction.OUT] and ways[Direction.IN] and out != back:
        result = f"DOES NOT AGREE: {out} out, {back} in"
    else:
        off = [one for one, row in ((out, ways[Direction.OUT]), (back, ways[Direction.IN])) if row]
        same = all(one == len(group.bolts) for one in off)
        result = "agrees" if same else f"DIFFERS FROM THE PROCEDURE: {numbers(off)} of {len(group.bolts)}"
    if group.single_use and new < len(group.bolts):
        missing_new = f"new ones for {len(group.bolts) - new} of {len(group.bolts)} NOT CONFIRMED"
        result = missing_new if result in ("agrees", "no count asked for") else f"{result}; {missing_new}"
    elif result == "no count asked for":
        result = "agrees"
    # What may be used only once is scrap once it came out and new ones were confirmed.
    scrapped = (out or 0) if group.single_use and new else 0
    return Fasteners(
        group.name, group.size, len(group.bolts), out, back, tuple(sorted(renewed)), new, scrapped + replaced, result
    )  # fmt: skip


def maps(procedure: Procedure | None, record: JobRecord) -> dict[str, str]:
    """Return the bolt map of each tightening step as SVG, with what was tightened and what was not."""
    if procedure is None:
        return {}
    drawn: dict[str, str] = {}
    for step in _tighten_steps(procedure):
        used = {run.group for stage in step.stages for run in stage.runs}
        marks: dict[int, BoltMark] = {}
        for row in record.tightenings:
            if row.step == step.id and row.entry is not None and not row.result.endswith("LIMITS"):
                marks.update((bolt, BoltMark.DONE) for bolt in row.bolts)
        for row in record.tightenings:
            if row.step == step.id and row.entry is None:
                state = BoltMark.LEFT_OUT if row.result.startswith("left out") else BoltMark.TO_DO
                marks.update((bolt, state) for bolt in row.bolts)
        groups = [group for group in procedure.groups if group.id in used]
        drawn[step.id] = bolt_map_svg(groups, step.stages, marks)
    return drawn
