"""The rules about what comes off and must go back: parts, taps and caps. Run from ``rules.py``."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.language.values import Thing
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.model import Step


@rule
def removed_is_refitted(draft: Draft) -> Iterator[Complaint]:
    """Put back what a step takes off, or say in not_refitted why it stays off."""
    steps = draft.sound_steps()
    tools = [item.name for item in (*draft.procedure.support_equipment, *draft.procedure.supplies)]
    parts = draft.written.parts
    refitted = {step.refits for step in steps}
    put: dict[str, list[tuple[Step, Thing]]] = {}
    for step in steps:
        for thing in _puts(step, draft):
            put.setdefault(thing.head, []).append((step, thing))
    for step in steps:
        if not step.traits.takes_off or step.not_refitted or step.id in refitted:
            continue
        for part in parts.removed(step.text):
            if not parts.goes_back(part, tools):
                continue
            if not any(other is not step and parts.is_same(part, thing) for other, thing in put.get(part.head, ())):
                text = f'What this step takes off ("{part.words}") is not put back by a step that names it'
                hint = "add that step, write refits: with this id in it, or write not_refitted: with the reason here"
                yield Complaint(draft.step_place(step), text, hint, Level.WARNING)


def _puts(step: Step, draft: Draft) -> Iterator[Thing]:
    """Yield what a step puts on, in or back; the spares that it fits by their names in the list too."""
    parts = draft.written.parts
    if step.traits.puts_on:
        out = parts.removed(step.text)
        yield from (thing for thing in parts.put_on(step.text) if thing not in out)
    names = (item.name for item in draft.procedure.spares if item.id in step.fits)
    yield from (thing for name in names for thing in parts.named_parts(name))


@rule
def opened_is_shut(draft: Draft) -> Iterator[Complaint]:
    """Shut again every tap, valve, cap and clamp that a step opens, or ask whether it is shut."""
    steps = draft.sound_steps()
    for place, step in enumerate(steps):
        opened = draft.written.parts.opened(step.text) if step.traits.takes_off and not step.not_refitted else None
        if opened is None:
            continue
        what, known = opened
        later = (other.text for other in steps[place + 1 :])
        refitted = any(other.refits == step.id for other in steps)
        if not refitted and not any(draft.written.parts.is_shut(known, text) for text in later):
            text = f'No later step shuts what this one opens ("{what}")'
            yield Complaint(
                draft.step_place(step), text, "add a step that shuts it, or a check that asks", Level.WARNING
            )
