"""The rules about the closing requirements: what is looked at once more when the work is done. Run from ``rules.py``.

What must be looked at follows from the steps. The checks themselves are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep

_TIMING = re.compile(
    r"\btiming (?:marks?|belts?|chains?|gears?)|\bcamshafts?\b(?! sensor)|\bcrankshaft\b(?! (?:sensor|seal|pulley))"
)
_BY_HAND = re.compile(r"\bturn\b.*\bby hand\b|\bby hand\b.*\bturn\b")
_TWO_TURNS = re.compile(r"\btwo (?:full |complete |whole )*(?:turns|revolutions)\b|\btwice\b")
_WET = re.compile(
    r"\b(?:drain|fill|top up|bleed|let)\b.*\b(?:oil|coolant|fuel|fluid|water|refrigerant)s?\b"
    r"|\bhoses?\b|\bpipes?\b|\bdrain plug\b|\bsealant\b|\bdrain tap\b|\bcoolant tap\b"
)
_MOVED = re.compile(
    r"\b(?:drain|fill|refill|top up|bleed|let|open|pour)\b[^.]*?\b(engine oil|gear oil|oil|coolant|brake fluid|"
    r"hydraulic fluid|fluid)\b(?! (?:pan|drain|tap|hose|filter|pump|plug|pressure|sensor|passage|hole|seal))"
)
_LEVEL = re.compile(r"\b(?:levels?|dipstick|full|mark|marks)\b")
_TOOLS = re.compile(r"\b(?:tools?|equipment)\b")


def closing_turns(draft: Draft) -> Iterator[Complaint]:
    """After work on the timing, have the engine turned by hand two full turns before it is started."""
    if _steps_say(draft, _TIMING) and not any(
        _BY_HAND.search(text) and _TWO_TURNS.search(text) for text in _last(draft)
    ):
        text = (
            "The timing was worked on and nobody turns the engine over: add a step that turns it by hand two full turns"
        )
        yield from _complain(draft, text)


def closing_marks(draft: Draft) -> Iterator[Complaint]:
    """After work on the timing, ask at the end whether the marks meet again."""
    asked = [step.text.lower() for step in draft.procedure.closing if isinstance(step, CheckStep)]
    if _steps_say(draft, _TIMING) and not any(re.search(r"\bmarks?\b", text) for text in asked):
        text = "The timing was worked on and nobody looks at the marks again: add a check that asks whether they meet"
        yield from _complain(draft, text)


def closing_leaks(draft: Draft) -> Iterator[Complaint]:
    """After work on what holds a fluid, ask at the end whether it leaks."""
    if _steps_say(draft, _WET) and not any(re.search(r"\bleak|\bdry\b|\btight\b", text) for text in _last(draft)):
        text = "Something that holds a fluid was opened and nobody looks for leaks: add a check that asks for them"
        yield from _complain(draft, text)


def closing_levels(draft: Draft) -> Iterator[Complaint]:
    """Ask at the end for the level of every fluid that was let out or filled in."""
    if not draft.whole:
        return
    moved = {match[1].split()[-1] for text in _work(draft) if (match := _MOVED.search(text))}
    for fluid in sorted(moved):
        if not any(fluid in text and _LEVEL.search(text) for text in _last(draft)):
            text = f"The {fluid} was let out or filled in and nobody looks at its level: add a check that asks for it"
            yield from _complain(draft, text)


def closing_tools(draft: Draft) -> Iterator[Complaint]:
    """Ask at the end whether all tools are accounted for."""
    if not any(_TOOLS.search(step.text.lower()) for step in draft.procedure.closing):
        text = "Nobody asks for the tools: add a check that asks whether all of them are accounted for"
        yield from _complain(draft, text)


def _complain(draft: Draft, text: str) -> Iterator[Complaint]:
    if draft.whole:
        yield Complaint(draft.places.of(draft.procedure, "closing"), text, Level.WARNING)


def _work(draft: Draft) -> list[str]:
    """Return what the steps before the closing ones say, where they do something."""
    return draft.once(_all_work)


def _all_work(draft: Draft) -> list[str]:
    return [step.text.lower() for step in draft.procedure.steps if isinstance(step, DoStep | CountStep | FitStep)]


def _steps_say(draft: Draft, pattern: re.Pattern[str]) -> bool:
    return any(pattern.search(text) for text in _work(draft))


def _last(draft: Draft) -> list[str]:
    """Return what the closing steps say."""
    return [step.text.lower() for step in draft.procedure.closing]
