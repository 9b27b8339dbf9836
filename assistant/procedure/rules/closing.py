"""The rules about the closing requirements: what is looked at once more when the work is done. Run from ``rules.py``.

What must be looked at follows from the steps. The checks themselves are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule


@rule
def closing_turns(draft: Draft) -> Iterator[Complaint]:
    """After work on the timing, have the engine turned by hand two full turns before it is started."""
    machine = draft.written.machine
    if any(map(machine.works_on_timing, _work(draft))) and not any(map(machine.turns_over_by_hand, _last(draft))):
        text = "The timing was worked on and nobody turns the engine over"
        hint = "add a step that turns it by hand two full turns"
        yield from _complain(draft, text, hint)


@rule
def closing_marks(draft: Draft) -> Iterator[Complaint]:
    """After work on the timing, ask at the end whether the marks meet again."""
    machine = draft.written.machine
    asked = [step.text for step in draft.procedure.closing if step.traits.asks]
    if any(map(machine.works_on_timing, _work(draft))) and not any(map(machine.asks_for_marks, asked)):
        text = "The timing was worked on and nobody looks at the marks again"
        hint = "add a check that asks whether they meet"
        yield from _complain(draft, text, hint)


@rule
def closing_leaks(draft: Draft) -> Iterator[Complaint]:
    """After work on what holds a fluid, ask at the end whether it leaks."""
    machine = draft.written.machine
    if any(map(machine.opens_wet, _work(draft))) and not any(map(machine.asks_for_leaks, _last(draft))):
        text = "Something that holds a fluid was opened and nobody looks for leaks"
        hint = "add a check that asks for them"
        yield from _complain(draft, text, hint)


@rule
def closing_levels(draft: Draft) -> Iterator[Complaint]:
    """Ask at the end for the level of every fluid that was let out or filled in."""
    if not draft.whole:
        return
    machine = draft.written.machine
    for fluid in sorted(set(map(machine.fluid_moved, _work(draft))) - {""}):
        if not any(machine.asks_for_level(fluid, text) for text in _last(draft)):
            text = f"The {fluid} was let out or filled in and nobody looks at its level"
            hint = "add a check that asks for it"
            yield from _complain(draft, text, hint)


@rule
def closing_tools(draft: Draft) -> Iterator[Complaint]:
    """Ask at the end whether all tools are accounted for."""
    if not any(map(draft.written.machine.asks_for_tools, _last(draft))):
        text, hint = "Nobody asks for the tools", "add a check that asks whether all of them are accounted for"
        yield from _complain(draft, text, hint)


def _complain(draft: Draft, text: str, hint: str) -> Iterator[Complaint]:
    if draft.whole:
        yield Complaint(draft.places.of(draft.procedure, "closing"), text, hint, Level.WARNING)


def _work(draft: Draft) -> list[str]:
    """Return what the steps before the closing ones say, where they do something."""
    return draft.once(_all_work)


def _all_work(draft: Draft) -> list[str]:
    return [step.text for step in draft.procedure.steps if step.traits.handles]


def _last(draft: Draft) -> list[str]:
    """Return what the closing steps say."""
    return [step.text for step in draft.procedure.closing]
