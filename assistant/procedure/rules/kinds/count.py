"""The rule about counts: what comes out goes back in."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.facts.codes import Direction
from assistant.procedure.findings import Place
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.steps.count import CountStep


@rule
def counts_match(draft: Draft) -> Iterator[Complaint]:
    """Count in again what was counted out, in that order; only single-use fasteners stay out."""
    counts = draft.steps_of(CountStep)
    groups = draft.sound_groups()
    if draft.places.lost or not draft.places.sound(*counts) or not {count.group for count in counts} <= groups.keys():
        return
    out: dict[str, list[Place]] = {}
    for count in counts:
        places = out.setdefault(count.group, [])
        place = draft.places.of(count, count.direction.value)
        if count.direction is Direction.OUT:
            if places:
                yield Complaint(place, f'The group "{count.group}" is counted out twice', "count it in before")
            places.append(place)
        elif places:
            places.pop()
        else:
            yield Complaint(
                place, f'The group "{count.group}" is counted in but was not counted out', "count it out before"
            )
    for name, places in out.items():
        if not groups[name].single_use:
            for place in places:
                text = f'The group "{name}" is counted out and never in again'
                hint = f"add a count step with in: {name}"
                yield Complaint(place, text, hint)
