"""A wait that is left early."""

from __future__ import annotations

from assistant.facts.asking import Ask


class AskLeaveWait(Ask, frozen=True):
    """Leave a wait with so many seconds left."""

    step: str
    timer: str
    seconds_left: int
