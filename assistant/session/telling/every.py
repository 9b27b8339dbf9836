"""Every teller: whoever tells imports this module, so that each of them has entered its table."""

from assistant.session.telling import (  # noqa: F401 (each enters its functions into the table)
    asking,
    bolts,
    branches,
    closing,
    dropped,
    extra,
    going,
    opening,
    people,
    preparing,
    presenting,
    questions,
    questions_bolts,
    reminders,
    second,
    steps,
    taking_back,
    taking_bolts_back,
    timers,
    troubles,
)
