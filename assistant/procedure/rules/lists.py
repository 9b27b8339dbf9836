"""The rules about what must be at hand: listed and used, used and listed, and fluids. Run from ``rules.py``."""

from __future__ import annotations

import re
from collections.abc import Iterator

from assistant.language.en.wording import Thing, stem, stems, things, things_after, word_set
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft
from assistant.procedure.model import Item, Step
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep

_FLUIDS = word_set("oil coolant antifreeze fluid grease refrigerant lubricant")
_TOOLS = word_set(
    "wrench spanner ratchet socket screwdriver pliers puller hammer mallet scraper wedge lever gauge driver drift jack "
    "hoist crane holder compressor vice caliper micrometer lamp mirror brush funnel syringe tester multimeter "
    "thermometer edge tool extractor stethoscope crowbar protractor"
)
_SUPPLIES = word_set(
    "oil grease sealant sealer cleaner solvent coolant antifreeze threadlocker threadlock fluid rag cloth tape "
    "lubricant degreaser thinner"
)
_WITH = re.compile(r"\b(?:with|using|and)\s+(?:the|a|an)\s+")
_TOOL_ALONE = re.compile(
    r"\b(?:torque wrench|feeler gauge|dial gauge|angle gauge|straight edge|axle stand|spring compressor)"
)
_APPLY = re.compile(
    r"\b(?:apply|fill in|fill|top up|pour in|pour|spread|smear|spray|brush on)\s+(?:the\s+|a\s+|an\s+|in\s+)?"
    r"|\b(?:wet|wipe|clean|coat|fill|grease|lubricate|wash|oil|dry|cover|dip)\b[^.,;]*?\b(?:with|in)\s+(?:the\s+|a\s+)?"
    r"|\b(?:bead|film|coat|drop|layer)\s+of\s+"
)
_NEW = re.compile(r"\bnew\s+")


def listed_is_used(draft: Draft) -> Iterator[Complaint]:
    """Use every tool, supply and spare that is listed, in a step that names it."""
    it, steps = draft.procedure, draft.every_step()
    if not draft.whole or not draft.places.sound(*it.groups):
        return
    used = {name for step in steps for name in (*step.tools, *step.supplies, step.lock, step.unlock) if name}
    used |= {stage.tool for step in draft.steps_of(TightenStep) for stage in step.stages if stage.tool}
    fitted = {step.spare for step in draft.steps_of(FitStep)} | {group.spare for group in it.groups}
    said = [stems(f"{step.text} {step.info}") for step in steps]
    kinds = (("tools", it.support_equipment, used), ("supplies", it.supplies, used), ("spare", it.spares, fitted))
    for key, items, ids in kinds:
        for item in items:
            if item.single_use or not item.id or item.id in ids:  # a single-use spare is another rule's
                continue
            if not any(stems(item.name) <= words for words in said):
                text = f'"{item.id}" is listed and no step uses it: write it under {key} of its step, or take it out'
                yield Complaint(draft.places.of(item, "id"), text, Level.WARNING)


def used_is_listed(draft: Draft) -> Iterator[Complaint]:
    """List every tool, supply and new part that a step speaks of."""
    it = draft.procedure
    for step in draft.every_step():
        text = step.text.lower()
        if not draft.places.sound(step):
            continue
        for kind, items, found in (
            ("support_equipment", it.support_equipment, _tools(text)),
            ("supplies", it.supplies, [one for one in things_after(_APPLY, text) if one.head in _SUPPLIES]),
            ("spares", it.spares, _new_parts(step, text)),
        ):
            missing = [one for one in found if not _listed(one, items) and not _listed(one, it.supplies)]
            for one in {one.words: one for one in missing}.values():
                what = f'"{one.words}" is used here and stands in no line of {kind}: list it, so that it is at hand'
                yield Complaint(draft.step_place(step), what, Level.WARNING)


def _tools(text: str) -> list[Thing]:
    found = [one for one in things_after(_WITH, text) if one.head in _TOOLS]
    alone = (thing for match in _TOOL_ALONE.finditer(text) for thing in things(text[match.start() : match.end()]))
    return found + list(alone)


def _new_parts(step: Step, text: str) -> list[Thing]:
    """Return what is called new; what a fit step fits is its spare, whatever its text calls it."""
    if isinstance(step, FitStep | TightenStep):
        return []
    return list(things_after(_NEW, text))


def _listed(one: Thing, items: tuple[Item, ...]) -> bool:
    return any(one.head in stems(item.name) for item in items)


def fluids_specified(draft: Draft) -> Iterator[Complaint]:
    """Give every oil, coolant, grease and other fluid its quantity, its unit and its specification."""
    for item in draft.procedure.supplies:
        words = item.name.lower().split()
        if not draft.places.sound(item) or not words or stem(words[-1]) not in _FLUIDS:
            continue
        lacks = [
            key
            for key, have in (("quantity", item.quantity), ("unit", item.unit), ("specification", item.specification))
            if not have
        ]
        if lacks:
            text = f'The fluid "{item.id}" has no {" and no ".join(lacks)}'
            yield Complaint(draft.places.of(item), f"{text}: write what the maker asks for", Level.WARNING)
