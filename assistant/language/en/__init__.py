"""English."""

from assistant.language.en import (
    answers,
    bolts,
    dangers,
    detours,
    drafting,
    equipment,
    extra,
    handover,
    lists,
    machine,
    mind,
    needs,
    notes,
    numbers,
    parts,
    phrases,
    questions,
    second,
    steps,
    tables,
    taking_back,
    talk,
    timers,
    tools,
    troubles,
    units,
    wording,
)
from assistant.language.port import Language, WrittenLanguage

ENGLISH = Language(
    code="en",
    phrases=phrases,
    numbers=numbers,
    units=units,
    steps=steps,
    answers=answers,
    tables=tables,
    bolts=bolts,
    tools=tools,
    lists=lists,
    troubles=troubles,
    handover=handover,
    seconds=second,
    timers=timers,
    questions=questions,
    extra=extra,
    detours=detours,
    talk=talk,
    taking_back=taking_back,
    equipment=equipment,
    notes=notes,
    mind=mind,
)
"""The language that the assistant speaks and understands."""

WRITTEN_ENGLISH = WrittenLanguage(
    code="en",
    wording=wording,
    parts=parts,
    needs=needs,
    dangers=dangers,
    machine=machine,
    drafting=drafting,
)
"""English as procedures are written in it."""
