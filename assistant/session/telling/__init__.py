"""From facts to what is said about them, in the language of the job: each module tells some classes of facts. Pure."""

from assistant.session.telling import (  # noqa: F401 (each enters its functions into the table)
    asking,
    bolts,
    closing,
    going,
    opening,
    people,
    preparing,
    presenting,
    questions,
    steps,
    timers,
)
