"""The rules about amounts: that they can be said and met, and that as much is listed as the steps fill in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal

from assistant.fastening.quantities import plain
from assistant.fastening.symbols import AMOUNTS, unit_key
from assistant.faults import Fault
from assistant.procedure.amounts import Amount
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.format.values import written_amount, written_limits
from assistant.procedure.model import Item
from assistant.procedure.steps.do import DoStep


@rule
def amounts_can_be_met(draft: Draft) -> Iterator[Complaint]:
    """Give an amount at most two decimals, and limits in its own unit that it lies within."""
    for step in draft.steps_of(DoStep):
        amount, limits = step.amount, step.limits
        if amount is None or not draft.places.sound(step):
            continue
        if amount.value != round(amount.value, 2):
            text, hint = f"{written_amount(amount)} cannot be spoken", "write at most two decimals, or a smaller unit"
            yield Complaint(draft.places.of(step, "amount"), text, hint)
        if limits is None:
            continue
        low, high = limits.low, limits.high
        if limits.unit != amount.unit:
            text = f"The amount is in {amount.unit} and its limits are in {limits.unit}"
            yield Complaint(draft.places.of(step, "limits"), text, "write both in one unit")
        elif (low is not None and amount.value < low) or (high is not None and amount.value > high):
            text = f"{written_amount(amount)} is not within {written_limits(limits)}"
            yield Complaint(draft.places.of(step, "limits"), text, "correct the amount or its limits")


@rule
def amounts_are_listed(draft: Draft) -> Iterator[Complaint]:
    """List at least as much of a supply as the steps fill in, in a unit that can be compared."""
    supplies = {item.id: item for item in draft.procedure.supplies if draft.places.sound(item)}
    filled: dict[str, Decimal] = defaultdict(Decimal)
    told: set[str] = set()
    for step in draft.steps_of(DoStep):
        item = supplies.get(step.supplies[0]) if len(step.supplies) == 1 else None
        if step.amount is None or item is None or item.quantity is None or not draft.places.sound(step):
            continue  # of several supplies nobody knows which one the amount is of
        listed = _as_amount(item)
        if listed is None or AMOUNTS[listed.unit][0] != AMOUNTS[step.amount.unit][0]:
            text = f'{written_amount(step.amount)} of "{item.id}" cannot be compared with what is listed of it'
            hint = f"list it in a unit such as {step.amount.unit}"
            yield Complaint(draft.places.of(step, "amount"), text, hint, Level.WARNING)
            continue
        unit = AMOUNTS[listed.unit][1]
        filled[item.id] += step.amount.value * AMOUNTS[step.amount.unit][1]
        if filled[item.id] > listed.value * unit and item.id not in told:
            told.add(item.id)
            sum_ = plain((filled[item.id] / unit).normalize())
            filled_in = f'Up to here {sum_} {listed.unit} of "{item.id}" are filled in'
            text = f"{filled_in} and only {plain(listed.value)} are listed"
            yield Complaint(draft.places.of(step, "amount"), text, "correct the quantity, or the amount", Level.WARNING)


def _as_amount(item: Item) -> Amount | None:
    """Return how much of a supply is listed; None where that is no volume and no mass."""
    unit = unit_key(item.unit) if item.unit else Fault("", "")
    if isinstance(unit, Fault) or unit not in AMOUNTS or item.quantity is None:
        return None
    return Amount(item.quantity, unit)
