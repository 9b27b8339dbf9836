"""What a job really used: parts fitted, bolts replaced, amounts filled in, and supplies as planned. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from assistant.advice.prices import PriceKind, priced_amount
from assistant.facts import Quantity
from assistant.facts.extra import BranchTaken
from assistant.facts.steps import StepDone
from assistant.faults import Fault
from assistant.journal.port import Entry
from assistant.procedure.model import Item, Procedure, Step
from assistant.report.accounts.account import Needed
from assistant.report.accounts.order import new_bolt
from assistant.report.record.clock import extra_places
from assistant.report.record.part import record_kinds

AS_PLANNED = "as planned, not measured"
_Turn = tuple[str, int]
"""A step by its id, and how often its branch had opened."""


@dataclass(frozen=True, slots=True)
class Used:
    """Parts and supplies of the job itself, and those of extra work."""

    own: tuple[Needed, ...]
    extra: tuple[Needed, ...]


def used_in(procedure: Procedure, stands: Sequence[Entry]) -> Used:
    """Return what a job used, from its entries as they stand; a step that was answered again counts once."""
    inside = extra_places(procedure)
    found = _Found()
    for entry in stands:
        match entry.fact:
            case BranchTaken(steps=steps):
                for step in steps:
                    found.rounds[step] = found.rounds.get(step, 0) + 1
            case StepDone(step=step):
                found.done[step] = None
        for kind in record_kinds():
            if (fitted := kind.fitted(entry.fact)) is not None:
                spare, step, count = fitted
                found.fitted[spare, found.turn(step)] = count
            if (filled := kind.filled(entry.fact)) is not None:
                found.filled[found.turn(filled[0])] = filled[1]
    own: dict[tuple[PriceKind, str, str], Needed] = {}
    extra: dict[tuple[PriceKind, str, str], Needed] = {}
    for needed, step in _all(procedure, stands, found):
        mine = extra if step in inside else own
        key = (needed.kind, needed.id, needed.unit)
        before = mine.get(key)
        if before is None or before.amount is None or needed.amount is None:
            mine[key] = needed
        else:
            mine[key] = replace(before, amount=before.amount + needed.amount)
    return Used(tuple(own.values()), tuple(extra.values()))


class _Found:
    """What the entries say, by step and by how often its branch had opened."""

    def __init__(self) -> None:
        self.rounds: dict[str, int] = {}
        self.done: dict[str, None] = {}
        self.fitted: dict[tuple[str, _Turn], int] = {}
        self.filled: dict[_Turn, Quantity] = {}

    def turn(self, step: str) -> _Turn:
        return step, self.rounds.get(step, 0)


def _all(procedure: Procedure, stands: Sequence[Entry], found: _Found) -> Iterator[tuple[Needed, str]]:
    """Yield each thing that was used, and the step."""
    spares = {item.id: item for item in procedure.spares}
    for (spare, (step, _)), count in found.fitted.items():
        name = spares[spare].name if spare in spares else spare
        if count:
            yield Needed(PriceKind.PART, spare, name, Decimal(count)), step
    for kind in record_kinds():
        for group, _ in kind.new_bolts(stands):
            yield replace(new_bolt(procedure, group), note="in place of one that broke or was lost"), ""
    yield from _supplies(procedure, found)


def _supplies(procedure: Procedure, found: _Found) -> Iterator[tuple[Needed, str]]:
    steps = {step.id: step for step in procedure.every_step}
    supplies = {item.id: item for item in procedure.supplies}
    measured = set()
    for (name, _), filled in found.filled.items():
        item = _filled_with(steps.get(name), supplies, filled)
        if item is None:
            text = steps[name].text if name in steps else name
            yield Needed(PriceKind.SUPPLY, name, text.rstrip("."), filled.value, filled.unit), name
        else:
            measured.add(item.id)
            yield Needed(PriceKind.SUPPLY, item.id, item.name, filled.value, filled.unit, "as it was filled in"), name
    for item in procedure.supplies:
        users = [name for name in found.done if name in steps and item.id in steps[name].supplies]
        if users and item.id not in measured:
            yield Needed(PriceKind.SUPPLY, item.id, item.name, item.quantity, item.unit, AS_PLANNED), users[0]


def _filled_with(step: Step | None, supplies: Mapping[str, Item], filled: Quantity) -> Item | None:
    """Return the supply that was filled in at ``step``: the only one of it that is measured in such a unit."""
    named = [supplies[one] for one in step.supplies if one in supplies] if step else []
    fitting = [one for one in named if not isinstance(priced_amount(filled.value, filled.unit, one.unit), Fault)]
    return fitting[0] if len(fitting) == 1 else None
