"""The rules about groups of fasteners: threads, classes, places and orders."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from assistant.advice.joint import bolt_clamped
from assistant.fastening.cover_places import Cover, cover_of
from assistant.fastening.inch import parse_any_thread, strength_of
from assistant.fastening.orders import take_order
from assistant.faults import Fault
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.format.groups import placed_bolts
from assistant.procedure.format.values import bolts_text


@rule
def thread_and_class(draft: Draft) -> Iterator[Complaint]:
    """Name a thread of a standard size and pitch, and a class that is made in that size."""
    for group in draft.sound_groups().values():
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


@rule
def joint_adds_up(draft: Draft) -> Iterator[Complaint]:
    """Give a clamp length that can be with the thread, beside thread and class, and what is clamped only with it."""
    for group in draft.sound_groups().values():
        place = draft.places.of(group, "clamp_length")
        if group.clamp_length is None:
            if group.clamped is not None:
                hint = "write clamp_length: such as 60 mm, or take it out"
                text = "What is clamped tells nothing without a clamp length"
                yield Complaint(draft.places.of(group, "clamped"), text, hint)
        elif not (group.thread and group.strength):
            text = f'The clamp length of the group "{group.id}" tells nothing without thread and class'
            yield Complaint(place, text, "write thread: such as M10 and class: such as 10.9")
        elif not isinstance(parse_any_thread(group.thread), Fault):
            joint = bolt_clamped(group.thread, group.clamp_length)
            if isinstance(joint, Fault):
                yield Complaint(place, joint.reason, joint.advice)


@rule
def retighten_or_new(draft: Draft) -> Iterator[Complaint]:
    """Let bolts be tightened again, or be used only once, but not both."""
    for group in draft.sound_groups().values():
        if group.single_use and group.retighten_at_most is not None:
            text = f'The bolts of the group "{group.id}" are used only once, so they are never tightened again'
            hint = "take out retighten_at_most:, or single_use:"
            yield Complaint(draft.places.of(group, "retighten_at_most"), text, hint)


@rule
def layout_has_every_bolt(draft: Draft) -> Iterator[Complaint]:
    """Put every bolt of a group into its layout once, and no two bolts on one spot."""
    for group in draft.sound_groups().values():
        if group.layout is None:
            continue
        placed = Counter(placed_bolts(group.layout))
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


@rule
def order_has_every_bolt(draft: Draft) -> Iterator[Complaint]:
    """Name every bolt of a group once in its order."""
    for group in (group for group in draft.sound_groups().values() if group.order):
        order = take_order(group.bolts, group.order)
        if isinstance(order, Fault):
            yield Complaint(draft.places.of(group, "order"), order.reason, order.advice)


@rule
def drafted_order(draft: Draft) -> Iterator[Complaint]:
    """Check an order that was drafted against the maker's procedure, and write that one instead."""
    for group in (group for group in draft.sound_groups().values() if group.order_drafted):
        text = f'The order of the group "{group.id}" is drafted, not given by a procedure'
        hint = (
            f"check it against the maker's procedure and write that order here; the {group.order_drafted} is"
            f" {bolts_text(group.order)}"
        )
        yield Complaint(draft.places.of(group, "order"), text, hint, Level.WARNING)


@rule
def drafted_in_one_line(draft: Draft) -> Iterator[Complaint]:
    """Give the places as they are: an order is drafted from bolts that all stand in one line."""
    for group in (group for group in draft.sound_groups().values() if group.order_drafted):
        spots = group.layout.spots if group.layout is not None else ()
        cover = cover_of({spot.bolt: (float(spot.x), float(spot.y)) for spot in spots}) if len(spots) > 2 else None
        if isinstance(cover, Cover) and cover.in_line:
            text = f'All bolts of the group "{group.id}" stand in one line, so the drafted order only goes to its ends'
            hint = "check x and y; where they are right, write the order itself"
            yield Complaint(draft.places.of(group, "layout"), text, hint, Level.WARNING)
