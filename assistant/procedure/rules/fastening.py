"""The rules about what is done to fasteners: threads, places, orders, programmes, and whether values can be meant."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from assistant.fastening.inch import parse_any_thread, strength_of
from assistant.fastening.orders import take_order
from assistant.fastening.plausibility import Doubt, Judgement, judge
from assistant.fastening.programme import Way
from assistant.fastening.units import Angle, Torque
from assistant.faults import Fault
from assistant.procedure.courses import Course, Pass, courses
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, Rule
from assistant.procedure.format.values import bolts_text
from assistant.procedure.model import Group, Layout, LayoutKind
from assistant.procedure.rules.programme import limits_are_near, programme_adds_up, stage_jumps, stage_purpose


def thread_and_class(draft: Draft) -> Iterator[Complaint]:
    """Name a thread of a standard size and pitch, and a class that is made in that size."""
    for group in _groups(draft):
        at_thread, at_class = draft.places.of(group, "thread"), draft.places.of(group, "class")
        if not group.thread:
            if group.strength:
                yield Complaint(at_class, "There is a class here and no thread", "write thread: such as M8")
            continue
        thread = parse_any_thread(group.thread)
        if isinstance(thread, Fault):
            yield Complaint(at_thread, thread.reason, thread.advice)
            continue
        strength = strength_of(thread, group.strength) if group.strength else None
        if isinstance(strength, Fault):
            yield Complaint(at_class, strength.reason, strength.advice)


def layout_has_every_bolt(draft: Draft) -> Iterator[Complaint]:
    """Put every bolt of a group into its layout once, and no two bolts on one spot."""
    for group in _groups(draft):
        if group.layout is None:
            continue
        placed = Counter(_placed(group.layout))
        missing = [bolt for bolt in group.bolts if bolt not in placed]
        strange = sorted(set(placed) - set(group.bolts))
        twice = sorted(bolt for bolt, times in placed.items() if times > 1)
        spots = Counter((spot.x, spot.y) for spot in group.layout.spots)
        shared = [spot.bolt for spot in group.layout.spots if spots[spot.x, spot.y] > 1]
        for bolts, what in (
            (missing, "leaves out {}"),
            (strange, "has {}, which the group does not"),
            (twice, "has {} twice"),
            ([] if twice else shared, "has {} on one spot"),
        ):
            if bolts:
                text = f'The layout of the group "{group.id}" {what.format(bolts_text(bolts))}'
                yield Complaint(draft.places.of(group, "layout"), text, "give every bolt of the group one place")


def order_has_every_bolt(draft: Draft) -> Iterator[Complaint]:
    """Name every bolt of a group once in its order."""
    for group in (group for group in _groups(draft) if group.order):
        order = take_order(group.bolts, group.order)
        if isinstance(order, Fault):
            yield Complaint(draft.places.of(group, "order"), order.reason, order.advice)


def drafted_order(draft: Draft) -> Iterator[Complaint]:
    """Check an order that was drafted against the maker's procedure, and write that one instead."""
    for group in (group for group in _groups(draft) if group.order_drafted):
        text = f'The order of the group "{group.id}" is drafted, not given by a procedure'
        hint = (
            f"check it against the maker's procedure and write that order here; the {group.order_drafted} is"
            f" {bolts_text(group.order)}"
        )
        yield Complaint(draft.places.of(group, "order"), text, hint, Level.WARNING)


def torque_sanity(draft: Draft) -> Iterator[Complaint]:
    """Doubt a value that a bolt of this thread and class does not usually take, and refuse one that breaks it."""
    for course in courses(draft):
        group = course.group
        if not group.thread or not group.strength:
            continue
        for final in _finals(course):
            verdict = judge(final.torque, group.thread, group.strength, final.angles)
            if isinstance(verdict, Judgement) and verdict.level is not Doubt.OK:
                text = f"Stage {final.at.number}, {group.id}: {verdict.reason}"
                level = Level.ERROR if verdict.level is Doubt.STOP else Level.WARNING
                yield Complaint(draft.places.of(final.at.stage), text, verdict.advice, level)


def yield_needs_new(draft: Draft) -> Iterator[Complaint]:
    """Mark fasteners as single-use when a stage stretches them for good."""
    for course in courses(draft):
        for one in course.passes:
            if one.stage.to_yield and not course.group.single_use:
                text = f'This stage stretches the bolts of "{course.group.id}" for good, but they may be used again'
                where = draft.places.of(one.stage, "to_yield")
                yield Complaint(where, text, "write single_use: yes in the group, with its spare", Level.WARNING)
                break


@dataclass(frozen=True, slots=True)
class _Final:
    """What a bolt ends with: the last torque, the further angles after it, and the stage that gives the torque."""

    torque: Torque
    angles: tuple[Angle, ...]
    at: Pass


def _finals(course: Course) -> list[_Final]:
    """Return the different ends that the bolts of a course come to, also those before they are loosened again."""
    now: dict[int, _Final] = {}
    ends: list[_Final] = []
    for one in course.passes:
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


def _placed(layout: Layout) -> list[int]:
    match layout.kind:
        case LayoutKind.CIRCLE:
            return list(layout.circle)
        case LayoutKind.ROWS:
            return [bolt for row in layout.rows for bolt in row]
    return [spot.bolt for spot in layout.spots]


def _groups(draft: Draft) -> Iterator[Group]:
    return (group for group in draft.procedure.groups if draft.places.sound(group))


FASTENING_RULES: tuple[Rule, ...] = (
    thread_and_class,
    layout_has_every_bolt,
    order_has_every_bolt,
    drafted_order,
    stage_purpose,
    programme_adds_up,
    stage_jumps,
    limits_are_near,
    torque_sanity,
    yield_needs_new,
)
