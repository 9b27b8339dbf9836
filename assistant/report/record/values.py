"""Values of facts as they are printed: targets, limits, readings, bolt numbers."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.facts import Bounds, Fact, Quantity
from assistant.facts.asking import Deviated, Skipped, SkippedWhat


def amount_text(value: Quantity | None) -> str:
    """Return a value with its unit as it is printed, such as 35.5 N·m; "" for none."""
    if value is None:
        return ""
    return f"{value.value}{value.unit}" if value.unit == "°" else f"{value.value} {value.unit}".rstrip()


def limits_words(limits: Bounds, unit: str) -> str:
    """Return limits as they are printed; "" where none are given."""
    space = "" if unit == "°" else " "
    if limits.low is not None and limits.high is not None:
        return f"{limits.low} to {limits.high}{space}{unit}"
    if limits.low is not None:
        return f"at least {limits.low}{space}{unit}"
    return f"at most {limits.high}{space}{unit}" if limits.high is not None else ""


def tolerated_words(limits: Bounds, tolerance: Decimal | None, unit: str) -> str:
    """Return what a reading was held to, as it is printed: limits in ``unit``, and the general ``tolerance`` [%]."""
    general = f"general ±{tolerance} %" if tolerance else ""
    return ", ".join(words for words in (limits_words(limits, unit), general) if words)


def numbers(bolts: Sequence[int]) -> str:
    """Return bolt numbers as they are printed."""
    return ", ".join(str(bolt) for bolt in bolts)


def step_of(fact: Fact) -> str:
    """Return the step that a fact is about; "" for none."""
    if isinstance(fact, Skipped):
        return "" if fact.what is SkippedWhat.PLACE else fact.place
    return str(getattr(fact, "step", None) or "")


def place_named(fact: Skipped | Deviated) -> str:
    """Return the step, or the page of the preparation, that was left out or done otherwise."""
    return fact.place if isinstance(fact, Skipped) else fact.step or ""
