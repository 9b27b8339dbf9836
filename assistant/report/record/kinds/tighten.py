"""Tightening in the record: every action of a job, done or not, what is out of limits, and the bolt maps."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from assistant.drawing.bolt_map import bolt_map_svg
from assistant.drawing.marks import BoltMark
from assistant.facts import Bounds, Fact, Quantity, with_fields
from assistant.facts.asking import Deviated, DeviationWhat, Skipped, SkippedWhat
from assistant.facts.codes import Way
from assistant.facts.kinds.judged import BoltRead
from assistant.facts.kinds.tighten import (
    BoltAgain,
    BoltReplaced,
    BoltsAsBefore,
    BoltsLoosened,
    BoltsTakenBack,
    BoltsTightened,
    NewConfirmed,
    NewTakenBack,
    OutOfLimits,
    StageDone,
    ToolsChosen,
)
from assistant.facts.kinds.trouble import BoltFreed, BoltHeld, HoldTakenBack
from assistant.fastening.quantities import Angle, Torque
from assistant.journal.port import Entry
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Procedure
from assistant.procedure.steps.tighten import TightenStep
from assistant.report.record.kinds.judged import doubts
from assistant.report.record.kinds.tighten_words import target_words, turn_places, unit_of
from assistant.report.record.kinds.trouble_words import WHAT
from assistant.report.record.kinds.troubles import held_bolts, open_troubles, replaced_bolts, trouble_lines
from assistant.report.record.model import How, JobRecord, Open, Tightening
from assistant.report.record.part import RECORD, RecordKind
from assistant.report.record.values import (
    amount_text,
    limits_words,
    tolerated_words,
)
from assistant.session.chunks import chunks_of

_B = TypeVar("_B", BoltsTightened, Skipped)
_BACK = "TAKEN BACK"
BoltOf = tuple[str, int, str, int]
"""Step, pass, group and number of a bolt."""


def tightenings(
    procedure: Procedure | None, entries: Sequence[Entry], how: Mapping[int, How]
) -> tuple[Tightening, ...]:
    """Return all actions in the order of the procedure's steps, each with what was confirmed; then what was not."""
    rows: dict[str, list[Tightening]] = {}
    tight: dict[BoltOf, str] = {}
    gauges: dict[tuple[str, int], str] = {}
    held: dict[tuple[str, int], str] = {}
    beside: dict[BoltOf, str] = {}
    for entry in entries:
        match entry.fact:
            case ToolsChosen(gauge=str(gauge)) as fact:
                gauges[fact.step, fact.turn] = gauge
            case BoltRead() as fact:
                beside[fact.step, fact.turn, fact.group, fact.bolt] = amount_text(fact.reading)
            case BoltsTightened() as fact:
                gauge = gauges.get((fact.step, fact.turn), "")
                row = _action(fact, entry, how[entry.seq], gauge)
                read = [beside.pop(key, "") for key in bolts_of(fact)]
                rows.setdefault(fact.step, []).append(
                    replace(row, reading=row.reading or ", ".join(filter(None, read)))
                )
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
            case BoltHeld() as fact:
                taken = {(one.step, one.turn, fact.group, one.bolt) for one in fact.undone}
                tight = {key: state for key, state in tight.items() if key not in taken}
                held[fact.group, fact.bolt] = f"HELD OPEN: {WHAT[fact.what]}"
            case BoltFreed() as fact:
                held.pop((fact.group, fact.bolt), None)
            case HoldTakenBack() as fact:
                held.pop((fact.group, fact.bolt), None)
            case BoltsTakenBack() as fact:
                _take_back(rows.get(fact.step, []), fact)
                for bolt in fact.bolts:
                    tight.pop((fact.step, fact.turn, fact.group, bolt), None)
    found: list[Tightening] = []
    if procedure is not None:
        for step in _tighten_steps(procedure):
            places = turn_places(step, procedure)
            some = [*rows.pop(step.id, []), *_missing(step, procedure, tight, held)]
            found += [replace(row, place=places.get(row.turn, "")) for row in some]
    return (*found, *(row for left in rows.values() for row in left))


def _take_back(rows: list[Tightening], fact: BoltsTakenBack) -> None:
    """Say of the newest action that ``fact`` takes back that it does not count."""
    for at in range(len(rows) - 1, -1, -1):
        row = rows[at]
        if (row.turn, row.group, row.bolts) == (fact.turn, fact.group, fact.bolts) and not row.result.startswith(_BACK):
            turned = ", STILL TURNED" if fact.must_loosen else ""
            rows[at] = replace(row, result=f"{_BACK}{turned} (was: {row.result})")
            return


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
    for step in procedure.every_step:
        if isinstance(step, TightenStep):
            yield step


def _missing(
    step: TightenStep, procedure: Procedure, tight: Mapping[BoltOf, str], held: Mapping[tuple[str, int], str]
) -> Iterator[Tightening]:
    """Yield what was not tightened, a row for each run and reason; ``held`` says which bolts are held open, and why."""
    for chunk in chunks_of(step, procedure):
        states: dict[str, list[int]] = {}
        for bolt in chunk.bolts:
            state = tight.get((step.id, chunk.turn, chunk.group, bolt)) or held.get((chunk.group, bolt), "NOT DONE")
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


def maps(procedure: Procedure, record: JobRecord) -> dict[str, str]:
    """Return the bolt map of each tightening step as SVG, with what was tightened and what was not."""
    drawn: dict[str, str] = {}
    for step in _tighten_steps(procedure):
        used = {run.group for stage in step.stages for run in stage.runs}
        marks: dict[int, BoltMark] = {}
        for row in record.tightenings:
            if row.step == step.id and row.entry is not None and _counts(row):
                marks.update((bolt, BoltMark.DONE) for bolt in row.bolts)
        for row in record.tightenings:
            if row.step == step.id and row.entry is None:
                state = BoltMark.LEFT_OUT if row.result.startswith(("left out", "HELD OPEN")) else BoltMark.TO_DO
                marks.update((bolt, state) for bolt in row.bolts)
        groups = [group for group in procedure.groups if group.id in used]
        drawn[step.id] = bolt_map_svg(groups, step.stages, marks)
    return drawn


def _counts(row: Tightening) -> bool:
    """Return whether a row is an action that stands, and no reading out of limits by itself."""
    return not row.result.startswith(_BACK) and not row.result.endswith("LIMITS")


def off_values(entries: Sequence[Entry]) -> Iterator[Open]:
    """Yield the bolts whose last reading is out of limits, accepted or not."""
    off: dict[BoltOf, Open] = {}
    reasons: dict[BoltOf, str] = {}
    for entry in entries:
        match entry.fact:
            case Deviated(what=DeviationWhat.BOLT_READING) as fact:
                keys = [(fact.step or "", fact.turn or 0, fact.group, bolt) for bolt in fact.bolts]
                reasons.update(dict.fromkeys(keys, fact.reason))
            case BoltReplaced() | BoltsLoosened() as fact:
                gone = {(fact.group, bolt) for bolt in fact.bolts}
                off = {key: one for key, one in off.items() if key[2:] not in gone}
            case BoltHeld() as fact:
                off = {key: one for key, one in off.items() if key[2:] != (fact.group, fact.bolt)}
            case BoltsTightened() | OutOfLimits() | BoltAgain() | Skipped(what=SkippedWhat.BOLTS) as fact:
                for key in bolts_of(fact):
                    off.pop(key, None)
                    if isinstance(fact, BoltsTightened | OutOfLimits) and fact.verdict in ("above", "below"):
                        what = f"{key[2]} {key[3]}, stage {fact.stage}: {amount_text(fact.reading)}"
                        off[key] = Open(f"{what} is {fact.verdict.upper()} LIMITS", key[0], reasons.get(key, ""))
    yield from off.values()


def _stands(fact: Fact, back: Fact) -> Fact | None:
    """Return what still stands of a fact about bolts when ``back`` takes some of them back."""
    match back, fact:
        case NewTakenBack(step=step, group=group, worn=worn), NewConfirmed():
            same = (fact.step, fact.group, fact.in_place_of_worn) == (step, group, bool(worn))
            return None if same else fact
        case BoltsAsBefore(group=group, bolts=bolts), BoltsLoosened() | BoltReplaced():
            return None if (fact.group, fact.bolts) == (group, bolts) else fact
        case BoltsTakenBack(), StageDone():
            return None if (fact.step, fact.turn) == (back.step, back.turn) else fact
        case BoltsTakenBack(), OutOfLimits():
            return None if _place(fact) == _place(back) and fact.bolt in back.bolts else fact
        case BoltsTakenBack(), BoltsTightened():
            return _left(fact, set(fact.bolts) - set(back.bolts)) if _place(fact) == _place(back) else fact
        case BoltsTakenBack(), Skipped(what=SkippedWhat.BOLTS):
            place = (fact.place, fact.turn, fact.run)
            return _left(fact, set(fact.bolts) - set(back.bolts)) if place == _place(back) else fact
    return fact


def _place(fact: BoltsTightened | BoltsTakenBack | OutOfLimits) -> tuple[str, int, int]:
    return fact.step, fact.turn, fact.run


def _left(fact: _B, bolts: Collection[int]) -> _B | None:
    """Return a fact for those of its bolts alone that are among ``bolts``; None when there are none."""
    rest = tuple(bolt for bolt in fact.bolts if bolt in bolts)
    return with_fields(fact, bolts=rest) if rest else None


def _used(fact: Fact) -> list[tuple[str, int]]:
    """Return the tools that a fact says were used, with the clicks of the wrench."""
    match fact:
        case BoltsTightened(tool=tool, adapter=adapter, multiplier=multiplier, clicks=clicks):
            return [(one, clicks if one == tool else 0) for one in (tool, adapter, multiplier) if one]
        case ToolsChosen(gauge=str(gauge)):
            return [(gauge, 0)]
    return []


KINDS.add(
    TightenStep,
    RECORD,
    RecordKind(
        tightenings=tightenings,
        troubles=trouble_lines,
        off=lambda entries: (*open_troubles(entries), *off_values(entries), *doubts(entries)),
        falls_short=lambda fact: isinstance(fact, StageDone) and bool(fact.not_tightened),
        held=held_bolts,
        new_bolts=replaced_bolts,
        used=_used,
        takes_back=(BoltsTakenBack, BoltsAsBefore, NewTakenBack),
        stands=_stands,
        maps=maps,
    ),
)
