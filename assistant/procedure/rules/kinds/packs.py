"""The rules about packs of shims, and about the steps that put shims in."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.advice.packs import MOST_IN_PACK, is_length
from assistant.fastening.quantities import TorqueUnit
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.model import Limits
from assistant.procedure.packs import PackStock
from assistant.procedure.rows import slug
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.measure import MeasureStep


def _packs(draft: Draft) -> list[tuple[CheckStep, PackStock]]:
    return [(step, step.pack) for step in draft.steps_of(CheckStep) if step.pack is not None]


def go_together(one: str, other: str) -> bool:
    """Return whether two units are of one kind, so that a value in the one can be taken in the other."""
    if is_length(one) or is_length(other):
        return is_length(one) and is_length(other)
    return one == other or {one, other} <= set(TorqueUnit)


def _wrong(limits: Limits, pack: PackStock) -> Iterator[tuple[str, str]]:
    wanted = pack.wanted or limits
    if wanted.low is None or wanted.high is None:
        yield "has no two limits", "give the reading, or wanted:, limits such as 0.05 to 0.10 mm"
    if not go_together(wanted.unit, limits.unit):
        yield f"is wanted in {wanted.unit}, and read off in {limits.unit}", "write both in units of one kind"
    if pack.gauge is not None and not go_together(pack.gauge.unit, limits.unit):
        yield f"has a gauge in {pack.gauge.unit}, and is read off in {limits.unit}", "write both in units of one kind"
    if pack.fitted is not None and pack.fitted.unit is not pack.shims.unit:
        yield "has shims in hand in another unit than those that are fitted", "write both in one unit"
    if pack.fitted is not None and len(pack.fitted.sizes) > MOST_IN_PACK:
        yield f"has {len(pack.fitted.sizes)} shims fitted", f"the most is {MOST_IN_PACK}"


@rule
def packs_can_be_worked_out(draft: Draft) -> Iterator[Complaint]:
    """Give what has a pack two limits, in units that go together."""
    for step, pack in _packs(draft):
        place = draft.places.under(step, "pack") or draft.places.of(step)
        for text, hint in _wrong(step.limits, pack) if step.limits is not None and draft.places.sound(step) else ():
            yield Complaint(place, f'"{pack.name}" {text}', hint)


@rule
def shims_are_put_in(draft: Draft) -> Iterator[Complaint]:
    """Say in the step that puts a new pack in what it is for, so that the next reading counts from that pack."""
    packs, known = _packs(draft), {pack.id for _, pack in _packs(draft)}
    known |= {slug(one.shim_for) for step in draft.steps_of(MeasureStep) for one in step.columns if one.shim_for}
    put_in: set[str] = set()
    for step in draft.steps_of(DoStep):
        for name in step.shim_for:
            put_in.add(slug(name))
            if slug(name) not in known:
                place = draft.places.under(step, "shim for") or draft.places.of(step)
                text = f'Nothing has shims that is called "{name}"'
                yield Complaint(place, text, "write the name of a clearance with shims, or of what a pack is for")
    for check, pack in packs:
        if pack.id not in put_in:
            put_in.add(pack.id)
            place = draft.places.under(check, "pack") or draft.places.of(check)
            text = f'No step says that the new pack for "{pack.name}" is put in'
            hint = f"write shim for: [{pack.name}] in the step that puts it in: then the next reading counts from it"
            yield Complaint(place, text, hint, Level.WARNING)
