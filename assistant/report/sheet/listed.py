"""What a procedure lists, by its id, as a work sheet names it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.procedure.format.forms import written_bolts
from assistant.procedure.format.values import written_duration
from assistant.procedure.model import Group, Procedure, Timer, TimerKind


class Listed:
    """The groups and timers of one procedure by their ids, and the names of its tools, supplies and spares."""

    def __init__(self, procedure: Procedure) -> None:
        self.groups: Mapping[str, Group] = {group.id: group for group in procedure.groups}
        self.timers: Mapping[str, Timer] = {timer.id: timer for timer in procedure.timers}
        lists = (procedure.support_equipment, procedure.supplies, procedure.spares)
        self.names: Mapping[str, str] = {item.id: item.name for items in lists for item in items}

    def clock(self, name: str) -> str:
        """Return the line of a timer: when it began, and its end."""
        timer = self.timers[name]
        over = "join by" if timer.kind is TimerKind.OPEN else "over at"
        return f"{timer.name.capitalize()}, {written_duration(timer.seconds)}: began at __________   {over} __________"


def bolts_line(bolts: Sequence[int]) -> str:
    """Return how many bolts there are, and which."""
    written = written_bolts(bolts)
    ranges = written if isinstance(written, str) else ", ".join(written)
    return f"{len(bolts)} ({ranges})"
