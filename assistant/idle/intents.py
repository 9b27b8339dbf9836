"""What may be asked for between jobs, and what mishearing it would cost. How each is said is the language's to know."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.events import SlotKind, Weight
from assistant.session.intents import BY_NAME, Intent

OWN: tuple[Intent, ...] = (
    Intent("list_jobs", Weight.MOVING),
    Intent("list_procedures", Weight.MOVING),
    Intent("new_job", Weight.MOVING),
    Intent("list_names", Weight.MOVING),
    Intent("next_one", Weight.MOVING),
    Intent("one_before", Weight.MOVING),
    Intent("row_number", Weight.MOVING, SlotKind.WHOLE),
    Intent("start_job", Weight.CRITICAL),
    Intent("resume_job", Weight.CRITICAL),
    Intent("works", Weight.MOVING, SlotKind.NAME),
    Intent("search", Weight.MOVING, SlotKind.NAME),
)
"""Those of a bay between jobs alone."""

WAKE = "wake"
"""The wake phrase of the settings was said: no phrase of the language."""

AS_IN_A_JOB = (
    "yes",
    "no",
    "confirmed",
    "cancel",
    "repeat",
    "help",
    "be_quiet",
    "louder",
    "quieter",
    "slower",
    "faster",
)
"""Those that mean the same here as in a job."""

INTENTS_HERE: Mapping[str, Intent] = {
    **{one.name: one for one in OWN},
    **{name: BY_NAME[name] for name in AS_IN_A_JOB},
}
"""All of them, by name."""

KEYS_MEAN: Mapping[str, str] = {"next": "next_one", "go_back": "one_before", "carry_on": "resume_job"}
"""What the keys of a job (:data:`assistant.bay.keys.KEYS`) mean between jobs, by their intents."""
