"""The order list: what a job needs and the store does not have. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from assistant.advice.prices import PriceKind, PriceList, priced_amount
from assistant.facts.extra import BranchLeft, BranchTaken, ExtraDeclined, ExtraGranted
from assistant.facts.going import ItemFound, ItemMissing
from assistant.facts.steps import StepDone
from assistant.faults import Fault
from assistant.journal.port import Entry
from assistant.procedure.model import Branch, Item, Procedure
from assistant.procedure.only_if import only_if, things_of, turnings
from assistant.report.accounts.account import Needed, Position, position
from assistant.report.accounts.quote import items_of, option_title, things_needed
from assistant.report.record.part import record_kinds
from assistant.session.places import CardPlace, branch_key, places_of

_SURE, _MAY = "for the job", "may be needed"


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One thing: how much is ``needed`` and in ``stock`` [its unit], and what is to order, with its price.

    ``stock`` is None where the list does not say it; then all of it is to order. ``order`` has no amount where nobody
    knows how much is needed.
    """

    needed: Needed
    stock: Decimal | None
    order: Position
    reason: str

    @property
    def is_there(self) -> bool:
        """Return whether the store has all of it."""
        return self.order.amount == 0


def order_lines(procedure: Procedure, prices: PriceList) -> tuple[OrderLine, ...]:
    """Return what ``procedure`` needs: first what is sure, then what only its branches need."""
    wanted = [(one, _SURE) for one in things_needed(procedure)]
    later = only_if(procedure)
    for turning in turnings(procedure):
        reason = f"{_MAY}: {option_title(turning.branch).rstrip('.')}"
        wanted += [
            (_needed(*one), reason) for one in _items(procedure, things_of(turning.branch)) if one[1].id in later
        ]
    return _against_stock(prices, wanted)


def job_order_lines(procedure: Procedure, prices: PriceList, stands: Sequence[Entry]) -> tuple[OrderLine, ...]:
    """Return what a job still needs, from its entries as they stand.

    That is what its preparation said is missing, what extra work needs that is granted and not done, and bolts that
    broke or were lost and did not come in again.
    """
    items = {item.id: (kind, item) for kind, item in items_of(procedure)}
    wanted = [
        (_needed(*items[one]), "missing in the preparation") for one in _missing(procedure, stands) if one in items
    ]
    for branch in _granted(procedure, stands):
        reason = f"granted: {option_title(branch).rstrip('.')}"
        wanted += [(_needed(*one), reason) for one in _items(procedure, things_of(branch))]
    return _against_stock(prices, [*wanted, *_bolts(procedure, stands)])


def missing_others(procedure: Procedure, stands: Sequence[Entry]) -> tuple[str, ...]:
    """Return the names of tools and the like that are missing: no price list has those."""
    tools = {item.id: item.name for item in procedure.support_equipment}
    return tuple(tools[one] for one in _missing(procedure, stands) if one in tools)


def _against_stock(prices: PriceList, wanted: Iterable[tuple[Needed, str]]) -> tuple[OrderLine, ...]:
    """Return each thing once, with the amounts of all its reasons, against what the store has."""
    merged: dict[tuple[PriceKind, str, str], tuple[Needed, list[str]]] = {}
    for needed, reason in wanted:
        key = (needed.kind, needed.id, needed.unit)
        before, reasons = merged.get(key, (None, []))
        amount = needed.amount
        if before is not None:
            amount = None if amount is None or before.amount is None else amount + before.amount
        merged[key] = (_with(needed, amount), [*reasons, *([] if reason in reasons else [reason])])
    return tuple(_line(prices, needed, "; ".join(reasons)) for needed, reasons in merged.values())


def _with(needed: Needed, amount: Decimal | None) -> Needed:
    return Needed(needed.kind, needed.id, needed.name, amount, needed.unit, needed.note)


def _line(prices: PriceList, needed: Needed, reason: str) -> OrderLine:
    line = prices.find(needed.kind, needed.id, needed.name)
    stock = None
    if line is not None and line.stock is not None:
        there = priced_amount(line.stock, line.unit, needed.unit)
        stock = None if isinstance(there, Fault) else there
    left = needed.amount
    if left is not None and stock is not None:
        left = max(Decimal(0), left - stock)
    return OrderLine(needed, stock, position(prices, _with(needed, left)), reason)


def _needed(kind: PriceKind, item: Item) -> Needed:
    note = "used once" if item.single_use else ""
    return Needed(kind, item.id, item.name, item.quantity, item.unit, note)


def _items(procedure: Procedure, ids: Iterable[str]) -> Iterator[tuple[PriceKind, Item]]:
    named = set(ids)
    return (one for one in items_of(procedure) if one[1].id in named)


def _missing(procedure: Procedure, stands: Sequence[Entry]) -> list[str]:
    """Return the ids of things that were missing when they were asked for, and were not found since."""
    cards = {place.key: place.things for place in places_of(procedure) if isinstance(place, CardPlace)}
    gone: dict[tuple[str, int], None] = {}
    for entry in stands:
        match entry.fact:
            case ItemMissing(place=place, number=number):
                gone[place, number] = None
            case ItemFound(place=place, number=number):
                gone.pop((place, number), None)
    found = (cards.get(place, ())[number - 1 : number] for place, number in gone)
    return [one.id for things in found for one in things if isinstance(one, Item)]


def _granted(procedure: Procedure, stands: Sequence[Entry]) -> Iterator[Branch]:
    """Yield the branches that are granted and of which something is not done."""
    granted: dict[str, None] = {}
    done: set[str] = set()
    for entry in stands:
        match entry.fact:
            case ExtraGranted(work=work):
                granted[work] = None
            case ExtraDeclined(work=work) | BranchLeft(branch=work):
                granted.pop(work, None)
            case BranchTaken(steps=steps):
                done.difference_update(steps)  # it begins anew
            case StepDone(step=step):
                done.add(step)
    for turning in turnings(procedure):
        ids = {step.id for step in turning.branch.steps}
        if branch_key(turning.step.id, turning.branch) in granted and not ids <= done:
            yield turning.branch


def _bolts(procedure: Procedure, stands: Sequence[Entry]) -> Iterator[tuple[Needed, str]]:
    """Yield a new bolt for each that is held open."""
    for kind in record_kinds():
        for group, bolt, what in kind.held(stands):
            needed = new_bolt(procedure, group)
            yield needed, f"{needed.name}, bolt {bolt}: {what}"


def new_bolt(procedure: Procedure, name: str) -> Needed:
    """Return one new bolt of the group with the id ``name``: its spare, or a part that is called as the group is."""
    group = next((one for one in procedure.groups if one.id == name), None)
    spare = next((one for one in procedure.spares if group is not None and group.spare == one.id), None)
    if spare is not None:
        return Needed(PriceKind.PART, spare.id, spare.name, Decimal(1))
    return Needed(PriceKind.PART, name, group.name if group else name, Decimal(1))
