"""The rules about hazard messages: they stand before the step, have the right word, and none of the usual is missing.

Signal words: ANSI Z535 has danger, warning and caution for injury and notice for damage; S1000D has warning for people
and caution for equipment (both from memory). The list of usual dangers is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft
from assistant.procedure.model import Hazard, HazardScheme, SignalWord

_HIDDEN = re.compile(
    r"\b(?:danger|warning|caution|notice|attention)\s*[:!]"
    r"|\b(?:beware|be careful|take care|watch out|mind (?:your|the))\b"
)
_PEOPLE = re.compile(
    r"\b(?:you|your|yours|yourself|hands|fingers?|eyes|skin|hair|lungs|people|persons?|somebody|someone|whoever|everyone|"
    r"anyone|injur\w*|kills?|killed|deadly|death|dies?|scalds?|blinds?|blinded|poison\w*|rash|dizzy|faints?|suffocates?|"
    r"crush\w*|deaf|hearing|electric shock)\b"
)
_FIRE = re.compile(r"\b(?:fire|flames?|explo\w+|burns?|burst\w*)\b")
_GRAVE = re.compile(
    r"\b(?:kills?|killed|deadly|death|dies?|crush\w*|blinds?|blinded|suffocates?|explo\w+|amputat\w*)\b"
)


def hazards_before_step(draft: Draft) -> Iterator[Complaint]:
    """Write what can hurt under hazards, which are read before the step, and not into the step itself."""
    for step in draft.every_step():
        for place, text in ((draft.step_place(step), step.text), (draft.places.of(step, "info"), step.info)):
            found = _HIDDEN.search(text.lower())
            if found:
                words = found[0].strip(" :!")
                yield Complaint(
                    place,
                    f'"{words}" comes too late inside a step: write it under hazards, with what it does and how to '
                    "avoid it",
                    Level.WARNING,
                )


def signal_word_fits(draft: Draft) -> Iterator[Complaint]:
    """Give a hazard the signal word that its scheme has for what it hurts: people or things."""
    ansi = draft.procedure.hazard_scheme is HazardScheme.ANSI
    for hazard in _all_hazards(draft):
        text = (_ansi if ansi else _s1000d)(hazard) if draft.places.sound(hazard) else ""
        if text:
            yield Complaint(draft.places.of(hazard, hazard.word.value), text, Level.WARNING)


def _ansi(hazard: Hazard) -> str:
    effect = hazard.consequence.lower()
    if hazard.word is SignalWord.NOTICE:
        if _PEOPLE.search(effect):
            return "A notice is for damage to things, and this hurts people: write caution, warning or danger"
    elif not (_PEOPLE.search(effect) or _FIRE.search(effect)):
        return f"A {hazard.word} is for injury, and this says nothing of people: say whom it hurts, or write notice"
    elif hazard.word is SignalWord.CAUTION and _GRAVE.search(effect):
        return "A caution is for minor injury, and this can kill or maim: write warning or danger"
    return ""


def _s1000d(hazard: Hazard) -> str:
    effect = hazard.consequence.lower()
    if hazard.word in {SignalWord.DANGER, SignalWord.NOTICE}:
        return f"The scheme s1000d has no {hazard.word}: write warning for people, caution for things"
    people = _PEOPLE.search(effect) or _FIRE.search(effect)
    if hazard.word is SignalWord.CAUTION and _PEOPLE.search(effect):
        return "In the scheme s1000d a caution is for things, and this hurts people: write warning"
    if hazard.word is SignalWord.WARNING and not people:
        return "In the scheme s1000d a warning is for people, and this says nothing of them: say whom it hurts"
    return ""


@dataclass(frozen=True, slots=True)
class _Danger:
    """A usual danger: what it is called, what in a step calls for it, and what in a hazard names it."""

    name: str
    calls: re.Pattern[str]
    named: re.Pattern[str]


def _danger(name: str, calls: str, named: str) -> _Danger:
    return _Danger(name, re.compile(rf"\b(?:{calls})\b"), re.compile(rf"\b(?:{named})"))


_DANGERS = (
    _danger(
        "a raised vehicle",
        r"jacks?|axle stands?|(?:raise|lift|jack)(?: up)? the (?:vehicle|car|van|truck|rig|axle|front|rear)|"
        r"(?:under|beneath) the (?:vehicle|car|van|truck|rig)|on (?:all of )?(?:the|its) stands",
        "jack|stand|fall|drop|crush",
    ),
    _danger("fuel", "fuel|petrol|gasoline|diesel|injectors?", "fuel|petrol|gasoline|diesel|fire|flame"),
    _danger("refrigerant", "refrigerant|air[- ]condition(?:er|ing)", "refrigerant|frost|freez|suffocat"),
    _danger(
        "an airbag",
        r"air ?bags?|belt pretensioners?|(?:take|pull|lift|remove)[^.]* steering wheel|remove the steering wheel",
        "air ?bag|pretensioner",
    ),
    _danger(
        "hot parts",
        r"exhaust(?! (?:cam|valve|side|rocker))|turbochargers?|catalytic|cool down|radiator cap|"
        r"(?:open|drain|let|loosen|undo|pull|take)[^.]* coolant",
        "hot|burn|scald|heat",
    ),
    _danger(
        "a spring under load",
        "tensioner|coil springs?|valve springs?|spring compressor|torsion bar|suspension strut",
        "spring|strike|under load|under tension|snap|fly",
    ),
    _danger(
        "the battery",
        r"(?:take|disconnect|remove|undo|loosen|pull)[^.]* battery|battery (?:cable|post|terminal)s? off",
        "short circuit|spark|battery",
    ),
    _danger("a cleaner that burns", "cleaner|solvent|thinner|degreaser", "burn|fire|flame|vapou?r|fume"),
    _danger("compressed air", "compressed air|air gun|blow(?! a fuse)", "eye|glasses|goggles|shoot|dirt"),
    _danger(
        "a running engine",
        r"(?:start|crank)(?: up)? the engine|(?:let|with) the engine run(?:ning)?|idle speed",
        "fan|belt|move|moving|turns|rotat|sleeve|exhaust gas|carbon monoxide",
    ),
    _danger("high voltage", "high[- ]voltage|traction battery|orange cables?", "voltage|electric|shock"),
    _danger(
        "a load that hangs",
        r"hoist|crane|support beam|engine beam|lift (?:out |off )?the (?:engine|gearbox|transmission|cylinder head)",
        "drop|fall|crush|heavy|weight",
    ),
)


def usual_hazards(draft: Draft) -> Iterator[Complaint]:
    """Name the usual dangers, up front or before the first step that brings them: raised vehicle, fuel, hot parts."""
    if not draft.whole:
        return
    front = _said(draft.procedure.safety)
    named = [danger.named.search(front) is not None for danger in _DANGERS]
    for step in draft.every_step():
        text, hazards = step.text.lower(), _said(step.hazards)
        for place, danger in enumerate(_DANGERS):
            if not named[place]:
                named[place] = danger.named.search(hazards) is not None
            if not named[place] and danger.calls.search(text):
                named[place] = True
                yield Complaint(
                    draft.places.of(step),
                    f"This step brings {danger.name} and no hazard up to here names it: add it to hazards or safety",
                    Level.WARNING,
                )


def _said(hazards: Iterable[Hazard]) -> str:
    return " ".join(f"{hazard.hazard} {hazard.consequence} {hazard.avoid}" for hazard in hazards).lower()


def _all_hazards(draft: Draft) -> Iterator[Hazard]:
    yield from draft.procedure.safety
    for step in draft.every_step():
        yield from step.hazards
