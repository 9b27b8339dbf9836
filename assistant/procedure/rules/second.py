"""The rules about gates and witnesses: that there is a way past a gate, and somebody to call."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule


@rule
def gates_have_a_way(draft: Draft) -> Iterator[Complaint]:
    """Make a gate only of a step that is answered: a wait ends by itself, and has no right answer."""
    for step in draft.every_step():
        if step.gate and step.waits_for:
            text = "A wait is no gate: it has no answer that could be right or wrong"
            yield Complaint(draft.places.of(step, "gate"), text, "write gate: yes in the step behind it")


@rule
def second_person_listed(draft: Draft) -> Iterator[Complaint]:
    """List a second person where a step is a gate, which only another one can release, or wants a witness."""
    people = draft.procedure.persons
    if sum(one.count for one in people) > 1 or not draft.places.sound(*people):
        return
    for step in draft.every_step():
        keys = [
            key for key, wanted in (("gate", step.gate and not step.waits_for), ("witness", step.witness)) if wanted
        ]
        for key in keys:
            what = "is a gate that nobody else could release" if key == "gate" else "wants a witness"
            text = f"This step {what}, and the work is listed for {'nobody' if not people else 'one person'}"
            hint = f"list a second person under persons, or take {key}: out"
            yield Complaint(draft.places.of(step, key), text, hint, Level.WARNING)
