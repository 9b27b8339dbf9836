"""English."""

from assistant.language.en import (
    answers,
    bolts,
    equipment,
    handover,
    lists,
    notes,
    numbers,
    phrases,
    steps,
    talk,
    timers,
    tools,
    units,
)
from assistant.language.port import Language

ENGLISH = Language(
    code="en",
    phrases=phrases,
    numbers=numbers,
    units=units,
    steps=steps,
    answers=answers,
    bolts=bolts,
    tools=tools,
    lists=lists,
    handover=handover,
    timers=timers,
    talk=talk,
    equipment=equipment,
    notes=notes,
)
"""The language that the assistant speaks and understands."""
