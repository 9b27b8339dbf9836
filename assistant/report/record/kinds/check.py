"""The words of what was answered or read off in a step that looks or measures."""

from __future__ import annotations

from collections.abc import Collection

from assistant.facts import packs
from assistant.facts.kinds import check, reading
from assistant.facts.steps import StepAnswer
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import When
from assistant.procedure.steps.check import CheckStep
from assistant.report.record.kinds.packs import pack_stands
from assistant.report.record.part import RECORD, RecordKind
from assistant.report.record.printing import AGAIN, Names, prints, prints_asked
from assistant.report.record.values import amount_text, limits_words


@prints(check.CheckAnswered)
def _answered(fact: check.CheckAnswered, _: Names) -> str:
    yes, expected = ("yes" if one else "no" for one in (fact.yes, fact.expected))
    return f"answered {yes}{'' if fact.is_right else f', EXPECTED {expected}'}{AGAIN[fact.repeated]}"


@prints(check.ReadOff)
def _read_off(fact: check.ReadOff, _: Names) -> str:
    limits = limits_words(fact.limits, fact.unit) or "none"
    off = "" if fact.is_right else ": OUT OF LIMITS"
    return f"read {fact.value} {fact.unit} (limits {limits}){off}{AGAIN[fact.repeated]}"


@prints_asked(check.AskAnswer)
def _ask_answer(q: check.AskAnswer, _: Names) -> str:
    return f"take the answer {'yes' if q.yes else 'no'}, which is not the right one, at {q.step}"


@prints_asked(reading.AskReading)
def _ask_reading(q: reading.AskReading, _: Names) -> str:
    return f"take a reading of {amount_text(q.reading)} out of limits at {q.step}"


@prints_asked(reading.AskUnsureReading)
def _ask_unsure(q: reading.AskUnsureReading, _: Names) -> str:
    return f"take a reading of {amount_text(q.reading)}, which may have been heard wrongly, at {q.step}"


@prints_asked(reading.AskHeardNumber)
def _ask_number(q: reading.AskHeardNumber, _: Names) -> str:
    return f"take {q.number} {q.unit}".rstrip() + f", which sounds like another number, at {q.step}"


def _leads(fact: StepAnswer) -> Collection[When]:
    """Return the branches that an answer, or a reading, opens."""
    match fact:
        case check.CheckAnswered():
            return (When.YES if fact.yes else When.NO,)
        case check.ReadOff():
            below = fact.limits.low is not None and fact.value < fact.limits.low
            return (When.BELOW if below else When.ABOVE, When.OUTSIDE)
    return ()


KINDS.add(
    CheckStep,
    RECORD,
    RecordKind(
        leads=_leads,
        beside=(packs.PackFound, packs.PackWorkedOut, packs.PackPutIn),
        takes_back=(packs.PackAsBefore, packs.PackFoundAsBefore),
        stands=pack_stands,
    ),
)
