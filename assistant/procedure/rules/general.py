"""The general rules: ids, references, timers, source, readings and the approval. They are run from ``rules.py``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Protocol

from assistant.faults import quoted
from assistant.procedure.findings import Findings, Level, Place
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.model import TimerKind


class _Named(Protocol):
    @property
    def id(self) -> str: ...
    @property
    def line(self) -> int: ...


@rule
def unique_ids(draft: Draft) -> Iterator[Complaint]:
    """Give every id once among the things of its kind."""
    for kind, things in (*_listed(draft).items(), ("step", draft.every_step())):
        first: dict[str, int] = {}
        for thing in things:
            if thing.id in first:
                text = f'The id "{thing.id}" is given to two things of the kind {kind}, first in line {first[thing.id]}'
                yield Complaint(draft.places.of(thing, "id"), text, "give this one another id")
            elif thing.id:
                first[thing.id] = thing.line


@rule
def references(draft: Draft) -> Iterator[Complaint]:
    """Refer only to ids that are given somewhere."""
    known = {kind: {thing.id for thing in things if thing.id} for kind, things in _listed(draft).items()}
    found = Findings("")
    for place, kind, name in draft.places.references:
        if name not in known[kind]:
            yield Complaint(place, f'There is no {kind} with the id "{name}"', found.suggest(name, known[kind]))


def _listed(draft: Draft) -> dict[str, Iterable[_Named]]:
    """Return what steps refer to by its id, by its kind."""
    it = draft.procedure
    return {
        "support equipment": it.support_equipment,
        "supply": it.supplies,
        "spare": it.spares,
        "group": it.groups,
        "timer": it.timers,
    }


@rule
def timers_in_order(draft: Draft) -> Iterator[Complaint]:
    """Start an open time before the step that it limits; wait only for cure and cool times."""
    timers = {timer.id: timer for timer in draft.procedure.timers}
    steps = list(draft.every_step())
    if not draft.places.sound(*steps, *timers.values()):
        return
    at = draft.places.of
    running: dict[str, Place] = {}
    used: set[str] = set()
    for step in steps:
        before = timers.get(step.before_timer or "")
        if before and step.waits_for:
            used.add(before.id)
            text = f'A wait joins nothing, so it is not held to the open time "{before.id}"'
            yield Complaint(at(step, "before"), text, f"write before: {before.id} in the step that joins the parts")
        elif before and before.kind is not TimerKind.OPEN:
            yield Complaint(at(step, "before"), f'The timer "{before.id}" is no open time', "use a wait step for it")
        elif before and before.id not in running:
            text = f'No step before this one starts the timer "{before.id}"'
            hint = f"add starts: {before.id} where it begins"
            yield Complaint(at(step, "before"), text, hint)
        elif before:
            used.add(before.id)
        wait = timers.get(step.waits_for)
        if wait and wait.kind is TimerKind.OPEN:
            text = f'The timer "{wait.id}" is an open time, which is not waited for'
            hint = f"use before: {wait.id} in a later step"
            yield Complaint(at(step, "timer"), text, hint)
        starts = timers.get(step.starts_timer or "")
        if starts and starts.kind is TimerKind.OPEN:
            running[starts.id] = at(step, "starts")
    for name, place in ((name, place) for name, place in running.items() if name not in used):
        text = f'The open time "{name}" is started but limits no later step'
        hint = f"write before: {name} in the step that joins"
        yield Complaint(place, text, hint)


@rule
def source_and_revision(draft: Draft) -> Iterator[Complaint]:
    """Name the source and the revision, without a placeholder."""
    empty = {"-", "--", "?", "n/a", "na", "none", "tbd", "tba", "todo", "unknown", "xxx", "x", "..."}
    for key, value in (("source", draft.procedure.source), ("revision", draft.procedure.revision)):
        if value.lower().strip(" .") in empty or value in empty:
            place = draft.places.of(draft.procedure, "procedure", key)
            text, hint = f"{quoted(value)} names no {key}", "write where the values come from and which edition it is"
            yield Complaint(place, text, hint)


@rule
def refits_earlier(draft: Draft) -> Iterator[Complaint]:
    """Let refits name a step that comes before."""
    earlier: set[str] = set()
    every = {step.id for step in draft.every_step()}
    for step in draft.every_step():
        if step.refits and step.refits not in earlier:
            place = draft.places.of(step, "refits")
            if step.refits in every:
                yield Complaint(place, f'The step "{step.refits}" comes later than this one', "a refit comes after")
            else:
                hint = Findings("").suggest(step.refits, every)
                yield Complaint(place, f'There is no step with the id "{step.refits}"', hint)
        earlier.add(step.id)


@rule
def timers_are_used(draft: Draft) -> Iterator[Complaint]:
    """Start, or wait for, every timer that the file has."""
    if not draft.whole:
        return
    used = {name for _, kind, name in draft.places.references if kind == "timer"}
    for timer in draft.procedure.timers:
        if timer.id and timer.id not in used:
            text = f'No step starts the timer "{timer.id}" or waits for it'
            hint = f"write starts: {timer.id} in a step, or take the timer out"
            yield Complaint(draft.places.of(timer, "id"), text, hint, Level.WARNING)


@rule
def approval_holds(draft: Draft) -> Iterator[Complaint]:
    """Approve again what was changed after it was approved."""
    approval, content = draft.procedure.approval, draft.procedure.content
    if approval is not None and draft.places.sound(approval) and approval.content != content:
        text = f"The file was changed after {quoted(approval.by)} approved it"
        hint = "have it read and approved again"
        yield Complaint(draft.places.of(approval, "content"), text, hint, Level.WARNING)
