"""The rules about the course of a programme: what its stages are for, and whether they follow from each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from assistant.facts.codes import Way
from assistant.fastening.programme import Programme
from assistant.fastening.programme_check import PassFault, programme_faults
from assistant.fastening.quantities import Angle, Torque
from assistant.fastening.turning import stroke_angles
from assistant.faults import Fault
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.rules.kinds.courses import Course, CoursePass, courses
from assistant.procedure.rules.kinds.tighten import one_target_kind, stages_of
from assistant.procedure.steps.tighten import Pass, Stage, StagePurpose

_LEAP = 6
"""Times that the torque may grow from one stage to the next. Common practice begins at a fifth to a third of the target
(ASME PCC-1, from memory), so that no step is more than fivefold."""
_WIDE = Fraction(1, 2)
"""Part of a target that its limits may lie away from it; a general manual allows a tenth (US Army TM
9-2320-362-14&P, appendix F)."""


@rule
def stage_purpose(draft: Draft) -> Iterator[Complaint]:
    """Loosen by an angle, check at a torque; drag is for torques, swing for angles; repeat only stages before."""
    for step, number, stage in stages_of(draft):
        if not draft.places.sound(stage):
            continue
        for one in stage.passes:
            yield from _of_kind(draft, one)
        key = "reseat" if draft.places.under(stage, "reseat") is not None else "repeat_from"
        at, place = draft.places.of(stage, key), step.place_of(stage.reseat)
        if stage.reseat and any(one.purpose is not StagePurpose.LOOSEN for one in stage.passes):
            text = "Only a stage that loosens repeats those before it"
            yield Complaint(at, text, f"write purpose: loosen, or take {key}: out")
        elif stage.reseat and place is None:
            text = (
                f"This is {_called(stage, number)}, which cannot repeat from stage {stage.reseat}, which is not there"
            )
            yield Complaint(at, text, "name one that comes before it")
        elif place is not None and place >= number:
            text = f"This is {_called(stage, number)}, which cannot repeat from stage {stage.reseat}"
            yield Complaint(at, text, "name one that comes before it")


def _called(stage: Stage, number: int) -> str:
    return f"stage {stage.number or number}"


def _of_kind(draft: Draft, one: Pass) -> Iterator[Complaint]:
    """Yield what does not go with what a pass is for."""
    for run in one.runs:
        at, by_angle = draft.places.of(run), isinstance(run.target, Angle)
        if one.purpose is StagePurpose.LOOSEN and not by_angle:
            yield Complaint(at, "A stage that loosens has no torque", "write angle: and how far, such as 1/2 turn")
        if run.drag is not None and one.way not in (Way.TORQUE, Way.CHECK):
            yield Complaint(at, "Drag of the thread goes with a torque", "take drag: out of this stage")
        if run.swing is not None and not by_angle:
            yield Complaint(at, "A swing splits a further angle into strokes", "take swing: out of this stage")
        parts = (
            stroke_angles(run.target, run.swing) if run.swing is not None and isinstance(run.target, Angle) else None
        )
        if isinstance(parts, Fault):
            yield Complaint(at, parts.reason, parts.advice)


@rule
def programme_adds_up(draft: Draft) -> Iterator[Complaint]:
    """Tighten every bolt in stages that rise, by an angle only after a torque, with limits around the target."""
    if any(True for rule in (stage_purpose, one_target_kind) for _ in rule(draft)):
        return
    for course in courses(draft):
        faults = _faults(course.passes, 0)
        # Between two steps the bolts may have been loosened in words, so that only a person can tell.
        within = [_faults(some, first) for first, some in _by_step(course)] if faults else []
        sure = {(id(one), fault) for found in within for one, fault in found}
        for one, fault in faults:
            level = Level.ERROR if one is None or (id(one), fault) in sure else Level.WARNING
            place = draft.places.of(one.written if one else course.group)
            yield Complaint(place, fault.reason, fault.advice, level)


def _by_step(course: Course) -> Iterator[tuple[int, tuple[CoursePass, ...]]]:
    """Yield the passes of each step, with how many passes come before them."""
    first = 0
    for _, some in groupby(course.passes, key=lambda one: one.step):
        passes = tuple(some)
        yield first, passes
        first += len(passes)


def _faults(passes: Sequence[CoursePass], before: int) -> list[tuple[CoursePass | None, Fault]]:
    """Return what is wrong with passes, each with the one that it is about; ``before`` passes are left out."""
    stages = [
        one.done if one.done.reseat is None else replace(one.done, reseat=one.done.reseat - before) for one in passes
    ]
    found: list[tuple[CoursePass | None, Fault]] = []
    for fault in programme_faults(Programme(tuple(stages))):
        one = passes[fault.number - 1] if isinstance(fault, PassFault) else None
        found.append((one, Fault(fault.reason, fault.advice)))
    return found


@rule
def stage_jumps(draft: Draft) -> Iterator[Complaint]:
    """Raise the torque of a bolt from stage to stage at most sixfold, in one unit."""
    for course in courses(draft):
        for before, after, first, second in _rises(course):
            at = draft.places.of(after.written)
            earlier = f"{before.called[:1].lower()}{before.called[1:]}"
            where = f"{after.called}, {course.group.id}: {second} comes after {first} in {earlier}"
            if second / first > _LEAP:
                text = f"{where}, more than {_LEAP} times as much"
                hint = "look for a slip of the decimal point, or add a stage"
                yield Complaint(at, text, hint, Level.WARNING)
            if second.unit is not first.unit:
                yield Complaint(at, f"{where}, in another unit", "look for a slip, or write both in one", Level.WARNING)


@rule
def limits_are_near(draft: Draft) -> Iterator[Complaint]:
    """Keep the limits of a target within half of it."""
    for stage in (stage for _, _, stage in stages_of(draft) if draft.places.sound(stage)):
        for run in stage.runs:
            for end in (run.low, run.high):
                if end is not None and abs(end.size / run.target.size - 1) > _WIDE:
                    text = f"The limit {end} is far from the target {run.target}"
                    hint = "look for a slip of the point or the unit"
                    yield Complaint(draft.places.of(run), text, hint, Level.WARNING)


def _rises(course: Course) -> Iterator[tuple[CoursePass, CoursePass, Torque, Torque]]:
    """Yield each pair of torques that follow each other at a bolt, once for each pair of stages and values."""
    now: dict[int, tuple[CoursePass, Torque]] = {}
    seen: set[tuple[int, str, str]] = set()
    for one in course.passes:
        for run in one.done.runs:
            value = run.target.value
            for bolt in run.bolts:
                before = now.pop(bolt, None) if one.done.way is not Way.CHECK else None
                if one.done.way is not Way.TORQUE or not isinstance(value, Torque):
                    continue
                now[bolt] = (one, value)
                if before is not None and (key := (id(one), str(before[1]), str(value))) not in seen:
                    seen.add(key)
                    yield before[0], one, before[1], value
