"""The rules about hazard messages: they stand before the step, have the right word, and none of the usual is missing.

Signal words: ANSI Z535 has danger, warning and caution for injury and notice for damage; S1000D has warning for people
and caution for equipment (both from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from assistant.facts.codes import SignalWord
from assistant.faults import Fault
from assistant.language.topics.procedure import Dangers
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.model import Hazard, HazardScheme


@rule
def hazards_before_step(draft: Draft) -> Iterator[Complaint]:
    """Write what can hurt under hazards, which are read before the step, and not into the step itself."""
    for step in draft.every_step():
        told = [(draft.step_place(step), step.text)]
        told += [(draft.places.of(step, key), text) for key, text in (("info", step.info), ("why", step.why))]
        for place, text in told:
            words = draft.written.wording.hazard_inside(text)
            if words:
                yield Complaint(
                    place,
                    f'"{words}" comes too late inside a step',
                    "write it under hazards, with what it does and how to avoid it",
                    Level.WARNING,
                )


@rule
def signal_word_fits(draft: Draft) -> Iterator[Complaint]:
    """Give a hazard the signal word that its scheme has for what it hurts: people or things."""
    ansi = draft.procedure.hazard_scheme is HazardScheme.ANSI
    for hazard in _all_hazards(draft):
        told = (_ansi if ansi else _s1000d)(hazard, draft.written.dangers) if draft.places.sound(hazard) else None
        if told is not None:
            yield Complaint(draft.places.of(hazard, hazard.word.value), told.reason, told.advice, Level.WARNING)


def _ansi(hazard: Hazard, dangers: Dangers) -> Fault | None:
    effect = hazard.consequence
    if hazard.word is SignalWord.NOTICE:
        if dangers.hurts_people(effect):
            return Fault("A notice is for damage to things, and this hurts people", "write caution, warning or danger")
    elif not (dangers.hurts_people(effect) or dangers.burns(effect)):
        return Fault(
            f"A {hazard.word} is for injury, and this says nothing of people", "say whom it hurts, or write notice"
        )
    elif hazard.word is SignalWord.CAUTION and dangers.kills(effect):
        return Fault("A caution is for minor injury, and this can kill or maim", "write warning or danger")
    return None


def _s1000d(hazard: Hazard, dangers: Dangers) -> Fault | None:
    effect = hazard.consequence
    if hazard.word in {SignalWord.DANGER, SignalWord.NOTICE}:
        return Fault(f"The scheme s1000d has no {hazard.word}", "write warning for people, caution for things")
    people = dangers.hurts_people(effect) or dangers.burns(effect)
    if hazard.word is SignalWord.CAUTION and dangers.hurts_people(effect):
        return Fault("In the scheme s1000d a caution is for things, and this hurts people", "write warning")
    if hazard.word is SignalWord.WARNING and not people:
        return Fault("In the scheme s1000d a warning is for people, and this says nothing of them", "say whom it hurts")
    return None


@rule
def usual_hazards(draft: Draft) -> Iterator[Complaint]:
    """Name the usual dangers, up front or before the first step that brings them: raised vehicle, fuel, hot parts."""
    if not draft.whole:
        return
    dangers = draft.written.dangers
    named = set(dangers.named(_said(draft.procedure.safety)))
    for step in draft.every_step():
        named.update(dangers.named(_said(step.hazards)))
        for code in dangers.brought(step.text):
            if code not in named:
                named.add(code)
                yield Complaint(
                    draft.places.of(step),
                    f"This step brings {dangers.danger(code)} and no hazard up to here names it",
                    "add it to hazards or safety",
                    Level.WARNING,
                )


def _said(hazards: Iterable[Hazard]) -> str:
    return " ".join(f"{hazard.hazard} {hazard.consequence} {hazard.avoid}" for hazard in hazards)


def _all_hazards(draft: Draft) -> Iterator[Hazard]:
    yield from draft.procedure.safety
    for step in draft.every_step():
        yield from step.hazards
