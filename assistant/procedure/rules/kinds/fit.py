"""The rules about new parts: single-use ones are fitted new, in their number and in their place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from assistant.facts.codes import Direction
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep


@rule
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


@rule
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
