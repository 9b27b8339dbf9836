"""Answers in the record that were not as they should be and led to work of their own, which is done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from assistant.facts.asking import Deviated
from assistant.facts.extra import BranchTaken
from assistant.facts.steps import StepAnswer, StepDone
from assistant.journal.port import Entry
from assistant.procedure.model import Branch, Onward, Step, with_branches
from assistant.report.record.extra import branches_taken
from assistant.report.record.model import StepLine
from assistant.report.record.part import record_kinds
from assistant.report.record.printing import Names
from assistant.session.places import branch_key


def led_and_done(names: Names, entries: Sequence[Entry], steps: Iterable[StepLine]) -> Mapping[str, str]:
    """Return what the work is called to which the last answer of a step led, by step, where all of it is done.

    So it is where the job goes on behind that work. Where the check is asked again, its new answer counts.
    """
    taken, rows = branches_taken(entries), {row.id for row in steps}
    found = {}
    for step in names.procedure.every_step if names.procedure is not None else ():
        branch = _led(step, entries)
        key = branch_key(step.id, branch) if branch is not None else ""
        if branch is None or branch.then is not Onward.GO_ON or key not in taken:
            continue
        begun = max((entry.seq for entry in entries if _begins(entry, key)), default=0)
        later = [entry.fact for entry in entries if entry.seq > begun]
        accepted = any(isinstance(fact, Deviated) and fact.step == step.id for fact in later)
        done = {fact.step for fact in later if isinstance(fact, StepDone)}
        if not accepted and {one.id for one in with_branches(branch.steps)} & rows <= done:
            found[step.id] = names.work(key)
    return found


def with_led(steps: Sequence[StepLine], led: Mapping[str, str]) -> tuple[StepLine, ...]:
    """Return the steps with what their answers led to."""
    return tuple(
        replace(row, results=(*row.results, f"led to: {led[row.id]}, done")) if row.id in led else row for row in steps
    )


def _led(step: Step, entries: Sequence[Entry]) -> Branch | None:
    """Return the branch to which the last answer of a step leads; None where it is right, or leads nowhere."""
    answers = (fact for entry in reversed(entries) if isinstance(fact := entry.fact, StepAnswer))
    last = next((fact for fact in answers if fact.step == step.id), None)
    if last is None or last.is_right:
        return None
    whens = {when for kind in record_kinds() for when in kind.leads(last)}
    return next((branch for branch in step.branches if branch.when in whens), None)


def _begins(entry: Entry, key: str) -> bool:
    """Return whether a branch begins with an entry, and is not only open again as it was."""
    return isinstance(fact := entry.fact, BranchTaken) and fact.branch == key and bool(fact.steps)
