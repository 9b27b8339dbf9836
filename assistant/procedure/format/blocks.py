"""Steps that are repeated for each of several rows: written once, made into the steps of a chapter as they are read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any

from assistant.faults import quoted
from assistant.language.chosen import WRITTEN
from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Context, Given
from assistant.procedure.format.tree import MapNode, Node
from assistant.procedure.model import Branch, Step, with_branches
from assistant.procedure.rows import BlockRow

MOST_ID = 40
BETWEEN = "--"
"""Between the id of a step in its block and the row: ``check-shoe--front-left``."""


def is_block(node: Node) -> bool:
    """Return whether ``node``, an item of a list of steps, repeats steps instead of being one."""
    return isinstance(node, MapNode) and "steps" in node.values


def row_called(row: BlockRow, each: str) -> str:
    """Return how a row is called at the beginning of a sentence: "Cylinder two", "Front left"."""
    called = row.name if row.number is None else f"{each} {WRITTEN.wording.in_words(row.number)}"
    return called[:1].upper() + called[1:]


def repeated(given: Given) -> tuple[Step, ...]:
    """Return the steps of a block for each of its rows, row by row, each with an id and a beginning of its own."""
    context, each = given.context, given["for each"]
    steps: Sequence[Step] = given["steps"] or ()
    names = {step.id for step in with_branches(steps)}
    rows: Sequence[BlockRow] = given["of"] or ()
    made = [_in_row(step, row, each, names, context) for row in rows for step in steps]
    _look_at_length(steps, rows, context)
    context.made["steps"] = context.made.get("steps", 0) + max(0, len(made) - len(steps))
    return tuple(made)


def _in_row(step: Step, row: BlockRow, each: str, names: set[str], context: Context) -> Step:
    """Return ``step``, and the steps of its branches, as they stand in a row."""

    def called(name: str | None) -> str | None:
        return f"{name}{BETWEEN}{row.id}" if name in names else name

    inside: dict[str, Any] = {}
    for field in fields(step):
        branch = getattr(step, field.name)
        if isinstance(branch, Branch):
            steps = tuple(_in_row(one, row, each, names, context) for one in branch.steps)
            inside[field.name] = replace(branch, steps=steps)
            context.places.same(inside[field.name], branch)
    one = replace(
        step.in_row(row, each),
        id=f"{step.id}{BETWEEN}{row.id}",
        text=f"{row_called(row, each)}. {step.text}" if step.text else "",
        refits=called(step.refits),
        **inside,
    )
    context.places.same(one, step)
    return one


def _look_at_length(steps: Sequence[Step], rows: Sequence[BlockRow], context: Context) -> None:
    """Complain about steps whose id is too long in a row."""
    longest = max((row.id for row in rows), key=len, default="")
    for step in with_branches(steps):
        name = f"{step.id}{BETWEEN}{longest}"
        if step.id and len(name) > MOST_ID:
            reason = f"The id {quoted(name)} of this step in its row is longer than {MOST_ID} letters"
            place = context.places.under(step, "id") or context.places.of(step)
            context.complain(place, ReadingRule.ID_FORM, reason, "write a shorter id, or a shorter name of the row")
