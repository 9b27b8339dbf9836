"""The rules about what comes off and must go back: parts, taps and caps. Run from ``rules.py``."""

from __future__ import annotations

import re
from collections.abc import Iterator

from assistant.language.en.wording import Thing, put_on, removed, stems, things, word_set
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft
from assistant.procedure.model import Step
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep

# What is let out, wiped away or read, and what the whole work is done on: nobody refits these.
_NO_PART = word_set(
    "weight reading slack load pressure dirt oil coolant water fuel rust sealant grease residue play air dust chip "
    "vehicle car van truck machine rig fluid glove burr paint gas key trace "
    "film excess remain rest scale carbon photograph"
)
_OPEN = re.compile(
    r"\b(?:open|loosen|undo|unscrew|slacken)\s+(?:the|a|an|both|all)\s+"
    r"([^.,;:]*?\b(tap|valve|cap|cock|bleed screw|vent|clamp|lid)s?)\b"
)
_SHUT = re.compile(r"\b(?:shut|close|closed|closes|tight|tighten|tightened|turn off|fit|refit|screw|put|push)\b")


def removed_is_refitted(draft: Draft) -> Iterator[Complaint]:
    """Put back what a step takes off, or say in not_refitted why it stays off."""
    steps = draft.sound_steps()
    tools = [item.name for item in (*draft.procedure.support_equipment, *draft.procedure.supplies)]
    own = [stems(name) for name in tools]
    refitted = {step.refits for step in steps}
    put: dict[str, list[tuple[Step, Thing]]] = {}
    for step in steps:
        for thing in _puts(step, draft):
            put.setdefault(thing.head, []).append((step, thing))
    for step in steps:
        if not isinstance(step, DoStep) or step.not_refitted or step.id in refitted:
            continue
        for part in removed(step.text):
            if (
                part.head in _NO_PART
                or part.words.startswith("new ")
                or any(part.more | {part.head} <= names for names in own)
            ):
                continue
            if not any(other is not step and part.same(thing) for other, thing in put.get(part.head, ())):
                text = f'What this step takes off ("{part.words}") is not put back by a step that names it'
                hint = "add that step, write refits: with this id in it, or write not_refitted: with the reason here"
                yield Complaint(draft.places.of(step, "do"), f"{text}: {hint}", Level.WARNING)


def _puts(step: Step, draft: Draft) -> Iterator[Thing]:
    """Yield what a step puts on, in or back; the spare of a fit step by its name in the list too."""
    if isinstance(step, DoStep | CountStep | FitStep | TightenStep):
        out = list(removed(step.text))
        yield from (thing for thing in put_on(step.text) if thing not in out)
    if isinstance(step, FitStep):
        names = (item.name for item in draft.procedure.spares if item.id == step.spare)
        yield from (thing for name in names for thing in things(name))


def opened_is_shut(draft: Draft) -> Iterator[Complaint]:
    """Shut again every tap, valve, cap and clamp that a step opens, or ask whether it is shut."""
    steps = draft.sound_steps()
    for place, step in enumerate(steps):
        match = _OPEN.search(step.text.lower()) if isinstance(step, DoStep) and not step.not_refitted else None
        if match is None:
            continue
        later = (other.text.lower() for other in steps[place + 1 :])
        refitted = any(other.refits == step.id for other in steps)
        if not refitted and not any(match[2] in text and _SHUT.search(text) for text in later):
            text = f'No later step shuts what this one opens ("{match[1]}")'
            yield Complaint(
                draft.places.of(step, "do"), f"{text}: add a step that shuts it, or a check that asks", Level.WARNING
            )
