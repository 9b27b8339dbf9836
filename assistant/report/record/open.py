"""What a job leaves open: what was not done, and what went wrong and was not put right, whatever reason was given."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from assistant.facts.asking import Deviated
from assistant.facts.going import Closed
from assistant.facts.people import ProblemNoted
from assistant.facts.steps import StepAnswer
from assistant.journal.port import Entry
from assistant.report.record.model import Fasteners, Open, StepLine, StepStatus, Tightening, TimerLine
from assistant.report.record.notes import notes_that_count
from assistant.report.record.part import record_kinds
from assistant.report.record.photos import photos_open
from assistant.report.record.printing import Names, describe
from assistant.report.record.values import numbers
from assistant.session.evolving.table import fold
from assistant.session.state import State

CLOSED_OPEN = "closed with open items"
"""Stands for the reason for which a job was closed with all of them."""


def open_things(
    names: Names,
    entries: Sequence[Entry],
    *,
    preparation: Sequence[StepLine],
    steps: Sequence[StepLine],
    bolts: Sequence[Tightening],
    groups: Sequence[Fasteners],
    stopwatches: Sequence[TimerLine],
    put_right: Collection[str] = (),
) -> Iterator[Open]:
    """Yield every open thing of a job, what went wrong first.

    Answers of the steps ``put_right`` led to work that is done, and leave nothing open.
    """
    if names.procedure is None:
        yield Open("The procedure in the journal cannot be read by this version: what was not done is not known")
    called = {row.id: f"step {row.number}" for row in steps}
    yield from _problems(entries, called)
    yield from (Open(f"{one.group}: {one.result}") for one in groups if one.result != "agrees")
    for kind in record_kinds():
        yield from kind.off(entries)
    yield from _answers(names, entries, [row for row in steps if row.id not in put_right])
    yield from _not_done(preparation, steps)
    yield from _not_witnessed(names, entries, called)
    yield from photos_open(names, entries, called)
    for one in bolts:
        if one.entry is None:
            yield Open(f"{one.group} {numbers(one.bolts)}, stage {one.stage}: {one.result}", one.step)
    yield from (Open(f"{one.name}: {one.result}") for one in stopwatches if one.result == "still runs")
    closed = next((fact for entry in reversed(entries) if isinstance(fact := entry.fact, Closed)), None)
    if closed is not None and closed.reason:
        yield Open(CLOSED_OPEN, "", closed.reason)


def _problems(entries: Sequence[Entry], called: Mapping[str, str]) -> Iterator[Open]:
    for note in notes_that_count(entries):
        if note.kind == ProblemNoted.KIND:
            place = f" in {called.get(note.step, note.step)}" if note.step else ""
            yield Open(f"PROBLEM{place}: {note.text}{' (corrected)' if note.corrected else ''}", note.step)


def _answers(names: Names, entries: Sequence[Entry], steps: Sequence[StepLine]) -> Iterator[Open]:
    """Yield the steps whose last answer is not as it should be, with the reason for which it was accepted.

    What a table of its own tells is left to it, such as counts of fasteners.
    """
    told_apart = tuple(fact for kind in record_kinds() for fact in kind.told_apart)
    last = {fact.step: fact for entry in entries if isinstance(fact := entry.fact, StepAnswer)}
    reasons = {fact.step: fact.reason for entry in entries if isinstance(fact := entry.fact, Deviated)}
    for row in steps:
        answer = last.get(row.id)
        if answer is not None and not answer.is_right and not isinstance(answer, told_apart):
            what = describe(answer, names)
            yield Open(f"step {row.number}, {row.text.rstrip('.?')}: {what}", row.id, reasons.get(row.id, ""))


def _not_witnessed(names: Names, entries: Sequence[Entry], called: Mapping[str, str]) -> Iterator[Open]:
    """Yield the steps that were done and have no witness, where the procedure asks for one."""
    it = names.procedure
    wanted = [step for step in (*it.steps, *it.closing) if step.witness] if it is not None else []
    state = fold(entry.fact for entry in entries) if wanted else State()
    for step in wanted:
        if step.id in state.done and step.id not in state.witnessed:
            yield Open(f"{called.get(step.id, step.id)}, {step.text.rstrip('.?')}: NOT WITNESSED", step.id)


def _not_done(preparation: Sequence[StepLine], steps: Sequence[StepLine]) -> Iterator[Open]:
    for row in preparation:
        if row.status is not StepStatus.DONE:
            what = f"{row.chapter}: {row.text.rstrip('.')}: {row.status.upper()}"
            yield Open(what, row.id, "; ".join(row.results))
    for row in steps:
        if row.status in (StepStatus.NOT_DONE, StepStatus.LEFT_OUT):
            why = "; ".join(row.results) if row.status is StepStatus.LEFT_OUT else ""
            yield Open(f"step {row.number}, {row.text.rstrip('.')}: {row.status.upper()}", row.id, why)
        for hazard in row.hazards:
            if "NOT ACKNOWLEDGED" in hazard and row.status is not StepStatus.NOT_DONE:
                yield Open(f"step {row.number}: {hazard}", row.id)
