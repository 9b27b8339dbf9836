"""The rules about fasteners: stages, counts and single-use parts. They are listed, and run, in ``rules.py``."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from assistant.fastening.units import Angle
from assistant.procedure.findings import Place
from assistant.procedure.format.draft import Complaint, Draft
from assistant.procedure.format.values import bolts_text
from assistant.procedure.model import Group
from assistant.procedure.steps.count import CountStep, Direction
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import Stage, TightenStep


def bolts_in_group(draft: Draft) -> Iterator[Complaint]:
    """Tighten, and call hidden, only bolts of the group that is named with them."""
    groups = _groups(draft)
    for group in groups.values():
        for position, hidden in enumerate(group.hidden):
            if hidden.bolt not in group.bolts:
                place = draft.places.of(group, "hidden", position, "bolt")
                yield Complaint(
                    place, f'The group "{group.id}" has no bolt {hidden.bolt}', f"it has {bolts_text(group.bolts)}"
                )
    for run in (run for step in draft.steps_of(TightenStep) for stage in step.stages for run in stage.runs):
        known = groups.get(run.group)
        strange = [bolt for bolt in run.bolts if known and bolt not in known.bolts]
        if known and strange:
            text = f'The group "{run.group}" has no bolt {bolts_text(strange)}'
            hint = f"it has {bolts_text(known.bolts)}"
            yield Complaint(draft.places.of(run, "bolts"), text, hint)


def every_bolt_once(draft: Draft) -> Iterator[Complaint]:
    """Take every bolt of the groups of a step exactly once in each stage, or say in its exception why not."""
    groups = _groups(draft)
    for step in draft.steps_of(TightenStep):
        stages = [stage for stage in step.stages if draft.places.sound(stage)]
        names = {run.group for stage in step.stages for run in stage.runs}
        if len(stages) < len(step.stages) or not names <= groups.keys():
            continue
        for stage in stages:
            faults = [] if stage.exception else list(_uneven(stage, [groups[name] for name in sorted(names)]))
            if faults:
                text, hint = f"This stage {'; '.join(faults)}", "mend the order, or say why under exception"
                yield Complaint(draft.places.of(stage), text, hint)


def _uneven(stage: Stage, groups: list[Group]) -> Iterator[str]:
    for group in groups:
        placed = Counter(bolt for run in stage.runs if run.group == group.id for bolt in run.bolts)
        missing = [bolt for bolt in group.bolts if bolt not in placed]
        twice = sorted(bolt for bolt, times in placed.items() if times > 1)
        if missing:
            yield f'leaves out {bolts_text(missing)} of the group "{group.id}"'
        if twice:
            yield f'takes {bolts_text(twice)} of the group "{group.id}" twice'


def one_target_kind(draft: Draft) -> Iterator[Complaint]:
    """Give a stage torques only, or further angles only."""
    for stage in (stage for step in draft.steps_of(TightenStep) for stage in step.stages if draft.places.sound(stage)):
        kinds = {isinstance(run.target, Angle) for run in stage.runs}
        if len(kinds) > 1:
            text, hint = "This stage has torques and angles", "make a stage of each, the angle after the torque"
            yield Complaint(draft.places.of(stage), text, hint)


def clear_bolt_numbers(draft: Draft) -> Iterator[Complaint]:
    """Give no bolt number twice among the groups of one step, so that a number heard is one bolt."""
    groups = _groups(draft)
    for step in draft.steps_of(TightenStep):
        names = dict.fromkeys(run.group for stage in step.stages for run in stage.runs)
        owners: dict[int, str] = {}
        for group in (groups[name] for name in names if name in groups):
            shared = [bolt for bolt in group.bolts if owners.setdefault(bolt, group.id) != group.id]
            if shared:
                text = f'Bolt {bolts_text(shared)} is in the group "{owners[shared[0]]}" and in "{group.id}"'
                yield Complaint(draft.places.of(group, "bolts"), text, "number the bolts of one joint right through")


def counts_match(draft: Draft) -> Iterator[Complaint]:
    """Count in again what was counted out, in that order; only single-use fasteners stay out."""
    counts = draft.steps_of(CountStep)
    groups = _groups(draft)
    if draft.places.lost or not draft.places.sound(*counts) or not {count.group for count in counts} <= groups.keys():
        return
    out: dict[str, list[Place]] = {}
    for count in counts:
        places = out.setdefault(count.group, [])
        place = draft.places.of(count, count.direction.value)
        if count.direction is Direction.OUT:
            if places:
                yield Complaint(place, f'The group "{count.group}" is counted out twice', "count it in before")
            places.append(place)
        elif places:
            places.pop()
        else:
            yield Complaint(
                place, f'The group "{count.group}" is counted in but was not counted out', "count it out before"
            )
    for name, places in out.items():
        if not groups[name].single_use:
            for place in places:
                text = f'The group "{name}" is counted out and never in again'
                hint = f"add a count step with in: {name}"
                yield Complaint(place, text, hint)


def single_use_new(draft: Draft) -> Iterator[Complaint]:
    """Fit single-use parts new, in the number that was removed, and list as many spares."""
    places, it = draft.places, draft.procedure
    if places.lost or not places.sound(*draft.steps_of(CountStep), *draft.steps_of(FitStep), *it.groups, *it.spares):
        return
    needed: Counter[str] = Counter()
    for group in it.groups:
        if group.single_use and not group.spare:
            text = f'The group "{group.id}" is single-use but names no spare'
            hint = "write spare: and the id of the new ones"
            yield Complaint(places.of(group, "single_use"), text, hint)
        elif group.single_use and group.spare:
            needed[group.spare] += len(group.bolts)
    fitted: Counter[str] = Counter()
    for step in draft.steps_of(FitStep):
        fitted[step.spare] += step.quantity
    for spare in it.spares:
        want, got = needed[spare.id], fitted[spare.id]
        if want != got and want:
            text = f'{want} new of "{spare.id}" are needed and {got} are fitted'
            hint = "make the fit steps agree with the groups"
            yield Complaint(places.of(spare), text, hint)
        elif spare.single_use and not got:
            text, hint = f'The single-use spare "{spare.id}" is never fitted', f"add a fit step with spare: {spare.id}"
            yield Complaint(places.of(spare), text, hint)
        if spare.quantity is not None and got > spare.quantity:
            text = f'{got} new of "{spare.id}" are fitted but only {spare.quantity} are listed'
            hint = "correct the quantity"
            yield Complaint(places.of(spare, "quantity"), text, hint)


def new_after_old(draft: Draft) -> Iterator[Complaint]:
    """Fit new single-use fasteners after the old ones were counted out, and before they are tightened."""
    steps = list(draft.every_step())
    if not draft.places.sound(*steps):
        return
    order = {id(step): place for place, step in enumerate(steps)}
    for group in (group for group in draft.procedure.groups if group.single_use and group.spare):
        fits = [step for step in draft.steps_of(FitStep) if step.spare == group.spare]
        outs = [
            count for count in draft.steps_of(CountStep) if count.group == group.id and count.direction is Direction.OUT
        ]
        for count in outs:
            if not any(order[id(step)] > order[id(count)] for step in fits):
                text = f'The single-use group "{group.id}" is counted out and not fitted new afterwards'
                yield Complaint(draft.places.of(count), text, f"add a fit step with spare: {group.spare}")
        for step in draft.steps_of(TightenStep):
            tightened = any(run.group == group.id for stage in step.stages for run in stage.runs)
            if tightened and not any(order[id(fit)] < order[id(step)] for fit in fits):
                text = f'The single-use group "{group.id}" is tightened before new ones are fitted'
                yield Complaint(
                    draft.places.of(step), text, f"put a fit step with spare: {group.spare} before this step"
                )


def _groups(draft: Draft) -> dict[str, Group]:
    """Return the groups that were read soundly, by id."""
    return {group.id: group for group in draft.procedure.groups if draft.places.sound(group)}
