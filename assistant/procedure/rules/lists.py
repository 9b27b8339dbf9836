"""The rules about what must be at hand: listed and used, used and listed, and fluids. Run from ``rules.py``."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule


@rule
def listed_is_used(draft: Draft) -> Iterator[Complaint]:
    """Use every tool, supply and spare that is listed, in a step that names it."""
    it, steps = draft.procedure, draft.every_step()
    if not draft.whole or not draft.places.sound(*it.groups):
        return
    used = {name for _, _, name in draft.places.references}
    said = [f"{step.text} {step.info}" for step in steps]
    for key, items in (("tools", it.support_equipment), ("supplies", it.supplies), ("spare", it.spares)):
        for item in items:
            if item.single_use or not item.id or item.id in used:  # a single-use spare is another rule's
                continue
            if not any(draft.written.parts.is_named(item.name, words) for words in said):
                text = f'"{item.id}" is listed and no step uses it'
                hint = f"write it under {key} of its step, or take it out"
                yield Complaint(draft.places.of(item, "id"), text, hint, Level.WARNING)


@rule
def used_is_listed(draft: Draft) -> Iterator[Complaint]:
    """List every tool, supply and new part that a step speaks of."""
    it, needs = draft.procedure, draft.written.needs
    for step in draft.every_step():
        text = step.text
        if not draft.places.sound(step):
            continue
        for kind, items, found in (
            ("support_equipment", it.support_equipment, needs.tools_used(text)),
            ("supplies", it.supplies, needs.supplies_used(text)),
            ("spares", it.spares, needs.new_parts(text) if step.traits.names_new else []),
        ):
            missing = [
                one for one in found if not any(needs.is_listed(one, item.name) for item in (*items, *it.supplies))
            ]
            for one in {one.words: one for one in missing}.values():
                what = f'"{one.words}" is used here and stands in no line of {kind}'
                hint = "list it, so that it is at hand"
                yield Complaint(draft.step_place(step), what, hint, Level.WARNING)


@rule
def fluids_specified(draft: Draft) -> Iterator[Complaint]:
    """Give every oil, coolant, grease and other fluid its quantity, its unit and its specification."""
    for item in draft.procedure.supplies:
        if not draft.places.sound(item) or not draft.written.needs.is_fluid(item.name):
            continue
        lacks = [
            key
            for key, have in (("quantity", item.quantity), ("unit", item.unit), ("specification", item.specification))
            if not have
        ]
        if lacks:
            text = f'The fluid "{item.id}" has no {" and no ".join(lacks)}'
            yield Complaint(draft.places.of(item), text, "write what the maker asks for", Level.WARNING)
