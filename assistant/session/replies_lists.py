"""Sentences about what is missing or open, asked of English with what the session has, until it asks the port."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.language.en import handover, lists, steps
from assistant.language.values import StepAt
from assistant.procedure.model import Group, Interval
from assistant.session.state import Thing

book_time, steps_done, thing = steps.book_time, steps.steps_done, steps.thing
found, found_ask, lock_in, lock_missing, open_items = (
    lists.found,
    lists.found_ask,
    lists.lock_in,
    lists.lock_missing,
    lists.open_items,
)
open_bolts, open_parts, open_problem, open_value = (
    lists.open_bolts,
    lists.open_parts,
    lists.open_problem,
    lists.open_value,
)
left_out, off, stripped, told, told_before, welcome, who = (
    handover.left_out,
    handover.off,
    handover.stripped,
    handover.told,
    handover.told_before,
    handover.welcome,
    handover.who,
)


def missing(things: Mapping[Thing, str], *, still: bool = False) -> list[str]:
    """Say what is missing, and which conditions are not so yet; [] when there is nothing."""
    conditions = [name for (card, _), name in things.items() if card.startswith("conditions:")]
    others = [name for (card, _), name in things.items() if not card.startswith("conditions:")]
    return lists.missing(others, conditions, still=still)


def due_again(due: Interval | None) -> list[str]:
    """Say when the work is due again."""
    return [] if due is None else steps.due_again(due.distance, due.unit, due.hours, due.months)


def open_count(group: Group) -> str:
    """Name a group whose counts do not agree."""
    return lists.open_count(group.name)


def open_answer(step: StepAt, answer: str) -> str:
    """Name a step that was answered otherwise than it should be."""
    return lists.open_answer(step, yes=answer == "yes")


def of_kinds(kinds: Sequence[tuple[str, int]]) -> list[str]:
    """Say how many there are of each kind."""
    return [lists.open_of_kind(kind, number) for kind, number in kinds]
