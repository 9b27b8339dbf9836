"""The rules about what a bolt ends with: whether the torque can be meant, and whether it is stretched for good."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.facts.codes import Way
from assistant.fastening.plausibility import Doubt, Judgement, judge
from assistant.fastening.quantities import Angle, Torque
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.rules.kinds.courses import Course, CoursePass, courses


@rule
def torque_sanity(draft: Draft) -> Iterator[Complaint]:
    """Doubt a value that a bolt of this thread and class does not usually take, and refuse one that breaks it."""
    for course in courses(draft):
        group = course.group
        if not group.thread or not group.strength:
            continue
        for final in _finals(course):
            verdict = judge(final.torque, group.thread, group.strength, final.angles)
            if isinstance(verdict, Judgement) and verdict.level is not Doubt.OK:
                text = f"{final.at.called}, {group.id}: {verdict.reason}"
                level = Level.ERROR if verdict.level is Doubt.STOP else Level.WARNING
                yield Complaint(draft.places.of(final.at.written), text, verdict.advice, level)


@rule
def yield_needs_new(draft: Draft) -> Iterator[Complaint]:
    """Mark fasteners as single-use when a stage stretches them for good."""
    for course in courses(draft):
        for one in course.passes:
            if one.written.to_yield and not course.group.single_use:
                text = f'This stage stretches the bolts of "{course.group.id}" for good, but they may be used again'
                where = draft.places.of(one.written, "to_yield")
                yield Complaint(where, text, "write single_use: yes in the group, with its spare", Level.WARNING)
                break


@dataclass(frozen=True, slots=True)
class _Final:
    """What a bolt ends with: the last torque, the further angles after it, and the pass that gives the torque."""

    torque: Torque
    angles: tuple[Angle, ...]
    at: CoursePass


def _finals(course: Course) -> list[_Final]:
    """Return the different ends that the bolts of a course come to, also those before they are loosened again."""
    now: dict[int, _Final] = {}
    ends: list[_Final] = []
    for one in (taken for taken in course.passes for _ in range(taken.done.repeat)):
        for run in one.done.runs:
            value = run.target.value
            for bolt in run.bolts:
                before = now.get(bolt)
                if one.done.way is Way.TORQUE and isinstance(value, Torque):
                    now[bolt] = _Final(value, (), one)
                elif one.done.way is Way.ANGLE and isinstance(value, Angle) and before is not None:
                    now[bolt] = _Final(before.torque, (*before.angles, value), before.at)
                elif one.done.way is Way.LOOSEN and before is not None:
                    ends.append(now.pop(bolt))
    seen: dict[tuple[int, str, str], _Final] = {}
    for end in (*ends, *now.values()):
        seen.setdefault((id(end.at), str(end.torque), str(end.angles)), end)
    return list(seen.values())
