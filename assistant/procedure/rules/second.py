"""The rules about second people: that there is a way past a gate, and that whoever is called is listed."""

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


@rule
def people_are_listed(draft: Draft) -> Iterator[Complaint]:
    """List as many persons as a step takes, and two where a helper may do one alone; a wait takes nobody."""
    people = draft.procedure.persons
    listed = sum(one.count for one in people)
    if not people or not draft.places.sound(*people):
        return
    for step in draft.every_step():
        if step.waits_for and (step.people > 1 or step.helper):
            key = "people" if step.people > 1 else "helper"
            yield Complaint(draft.places.of(step, key), "A wait takes nobody", f"take {key}: out")
        elif step.people > listed:
            text = f"This step takes {step.people} people, and the work is listed for {listed}"
            yield Complaint(draft.places.of(step, "people"), text, "list them under persons, or correct the number")
        elif step.helper and listed < 2:
            text = "A helper may do this step, and the work is listed for one person"
            hint = "list a second person under persons, or take helper: out"
            yield Complaint(draft.places.of(step, "helper"), text, hint, Level.WARNING)
