"""Every tightening action of a job, done or not, and the fasteners that came out and went back in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from assistant.drawing.bolt_map import bolt_map_svg
from assistant.drawing.marks import BoltMark
from assistant.facts import Bounds, Quantity
from assistant.facts.asking import Skipped, SkippedWhat
from assistant.facts.codes import Direction, Way
from assistant.facts.kinds.count import Counted
from assistant.facts.kinds.fit import PartFitted
from assistant.facts.kinds.tighten import (
    BoltAgain,
    BoltReplaced,
    BoltsLoosened,
    BoltsTightened,
    NewConfirmed,
    OutOfLimits,
    ToolsChosen,
)
from assistant.fastening.quantities import Angle, Torque
from assistant.journal.port import Entry
from assistant.procedure.model import Group, Procedure
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.tighten import TightenStep
from assistant.report.record.model import Fasteners, How, JobRecord, Tightening
from assistant.report.record.values import (
    amount_text,
    limits_words,
    numbers,
    target_words,
    tolerated_words,
    unit_of,
)
from assistant.session.chunks import chunks_of

BoltOf = tuple[str, int, str, int]
"""Step, pass, group and number of a bolt."""


def tightenings(
    procedure: Procedure | None, entries: Sequence[Entry], how: Mapping[int, How]
) -> tuple[Tightening, ...]:
    """Return all actions in the order of the procedure's steps, each with what was confirmed; then what was not."""
    rows: dict[str, list[Tightening]] = {}
    tight: dict[BoltOf, str] = {}
    gauges: dict[tuple[str, int], str] = {}
    for entry in entries:
        match entry.fact:
            case ToolsChosen(gauge=str(gauge)) as fact:
                gauges[fact.step, fact.turn] = gauge
            case BoltsTightened() as fact:
                gauge = gauges.get((fact.step, fact.turn), "")
                rows.setdefault(fact.step, []).append(_action(fact, entry, how[entry.seq], gauge))
                tight.update(dict.fromkeys(bolts_of(fact), "done"))
            case OutOfLimits() as fact:
                rows.setdefault(fact.step, []).append(_off(fact, entry, how[entry.seq]))
            case Skipped(what=SkippedWhat.BOLTS) as fact:
                tight.update((key, f"left out: {fact.reason}") for key in bolts_of(fact) if tight.get(key) != "done")
            case BoltAgain() as fact:
                tight.pop((fact.step, fact.turn, fact.group, fact.bolt), None)
            case BoltReplaced() | BoltsLoosened() as fact:
                if isinstance(fact, BoltsLoosened):
                    rows.setdefault(fact.step, []).append(_loosened(fact, entry, how[entry.seq]))
                gone = {(fact.group, bolt) for bolt in fact.bolts}
                tight = {key: state for key, state in tight.items() if key[2:] not in gone}
    found: list[Tightening] = []
    if procedure is not None:
        for step in _tighten_steps(procedure):
            found += [*rows.pop(step.id, []), *_missing(step, procedure, tight)]
    return (*found, *(row for left in rows.values() for row in left))


def bolts_of(fact: BoltsTightened | Skipped | OutOfLimits | BoltAgain) -> list[BoltOf]:
    """Return which bolts in which pass a fact is about."""
    step = fact.place if isinstance(fact, Skipped) else fact.step
    bolts = (fact.bolt,) if isinstance(fact, OutOfLimits | BoltAgain) else fact.bolts
    return [(step, fact.turn or 0, fact.group, bolt) for bolt in bolts]


def _result(fact: BoltsTightened) -> str:
    if fact.verdict in ("above", "below"):
        return f"{fact.verdict.upper()} LIMITS, accepted"
    return "within limits" if fact.verdict == "within" else "confirmed"


def _action(fact: BoltsTightened, entry: Entry, how: How, gauge: str) -> Tightening:
    """Return one action; ``gauge`` (an id) is what an angle was read off, when the stage named one."""
    drag = amount_text(fact.drag)
    tools = [one for one in (fact.tool, fact.adapter, fact.multiplier) if one]
    if fact.way == Way.ANGLE and gauge:
        tools.insert(0, gauge)
    return Tightening(
        step=fact.step,
        stage=fact.stage,
        turn=fact.turn,
        way=fact.way,
        group=fact.group,
        bolts=fact.bolts,
        target=target_words(fact.target, fact.way) + (f" and {drag} drag" if drag else ""),
        limits=tolerated_words(fact.limits, fact.tolerance, unit_of(fact)),
        tool=" with ".join(tools),
        setting=amount_text(fact.setting),
        reading=amount_text(fact.reading),
        result=_result(fact),
        entry=entry.seq,
        at_ms=entry.at_ms,
        how=how,
        repeated=fact.repeated,
    )


def _off(fact: OutOfLimits, entry: Entry, how: How) -> Tightening:
    """Return a reading out of limits, which is no action of its own."""
    limits = tolerated_words(fact.limits, fact.tolerance, fact.reading.unit)
    way = Way.ANGLE.value if fact.reading.unit == "°" else Way.TORQUE.value
    return Tightening(
        fact.step, fact.stage, fact.turn, way, fact.group, (fact.bolt,), "", limits, "", "", amount_text(fact.reading),
        f"{fact.verdict.upper()} LIMITS", entry.seq, entry.at_ms, how,
    )  # fmt: skip


def _loosened(fact: BoltsLoosened, entry: Entry, how: How) -> Tightening:
    return Tightening(
        fact.step, fact.stage, fact.turn, Way.LOOSEN.value, fact.group, fact.bolts, "", "", "", "", "", "loosened",
        entry.seq, entry.at_ms, how,
    )  # fmt: skip


def _quantity(value: Torque | Angle | None) -> Quantity | None:
    return None if value is None else Quantity(value.value, value.unit.value)


def _tighten_steps(procedure: Procedure) -> Iterator[TightenStep]:
    for step in (*procedure.steps, *procedure.closing):
        if isinstance(step, TightenStep):
            yield step


def _missing(step: TightenStep, procedure: Procedure, tight: Mapping[BoltOf, str]) -> Iterator[Tightening]:
    """Yield what was not tightened, a row for each run and reason."""
    for chunk in chunks_of(step, procedure):
        states: dict[str, list[int]] = {}
        for bolt in chunk.bolts:
            state = tight.get((step.id, chunk.turn, chunk.group, bolt), "NOT DONE")
            if state != "done":
                states.setdefault(state, []).append(bolt)
        for state, bolts in states.items():
            target = _quantity(chunk.target)
            low, high = (None if end is None else end.value for end in (chunk.of.low, chunk.of.high))
            limits = limits_words(Bounds(low, high), target.unit if target else "")
            words = target_words(target, chunk.way)
            yield Tightening(
                step.id, chunk.stage, chunk.turn, chunk.way.value, chunk.group, tuple(bolts),
                words, limits, "", "", "", state,
            )  # fmt: skip


def fasteners(procedure: Procedure | None, entries: Sequence[Entry]) -> tuple[Fasteners, ...]:
    """Return the count of each group: planned, out, back in, renewed and scrapped."""
    if procedure is None:
        return ()
    counts = {fact.step: fact.count for entry in entries if isinstance(fact := entry.fact, Counted)}
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
        match entry.fact:
            case NewConfirmed(group=group.id, bolts=bolts):
                renewed |= set(bolts)
                replaced += len(loose & set(bolts))
                loose -= set(bolts)
            case BoltReplaced(group=group.id, bolts=bolts):
                renewed |= set(bolts)
                replaced += len(bolts)
                loose -= set(bolts)
            case BoltsLoosened(group=group.id, bolts=bolts) if group.single_use:
                loose |= set(bolts)
            case PartFitted(spare=group.spare) as fact if group.spare:
                fitted[fact.step] = fact.count
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
        result = (
            "agrees"
            if same
            else f"DIFFERS FROM THE PROCEDURE: {numbers([one for one in off if one is not None])} of {len(group.bolts)}"
        )
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
