"""The state table, and the only adapter of the ``transitions`` library.

The table is data; which row is taken is decided by guards, so a step cannot be reached past an unread hazard.
"""

from __future__ import annotations

from typing import Protocol

from transitions import Machine, MachineError

BASES = (
    "preparing",
    "hazard",
    "doing",
    "checking",
    "counting",
    "renewing",
    "tightening",
    "one_bolt",
    "out_of_limits",
    "turned",
    "fitting",
    "waiting",
    "finishing",
)
"""States of the work itself."""
OVERLAYS = ("confirming", "dictation", "paused", "hand_over")
"""States that lie over one of those and give way to it again."""
STATES = ("new", *BASES, *OVERLAYS, "closed")

_ARRIVALS = tuple(state for state in BASES)
_OPEN = ("new", *BASES, *OVERLAYS)

TABLE: tuple[tuple[str, tuple[str, ...], str, str | None], ...] = (
    *(("enter", _OPEN, state, f"at_{state}") for state in _ARRIVALS),
    ("ask", (*BASES, "dictation"), "confirming", None),
    ("take_down", (*BASES, "confirming"), "dictation", None),
    ("pause", BASES, "paused", None),
    ("leave", BASES, "hand_over", None),
    ("close", ("confirming",), "closed", "closing_agreed"),
)
"""Rows of trigger, sources, destination, guard. Of several rows for one trigger, the first whose guard holds counts."""


class Guards(Protocol):
    """What the table asks: where the job stands (``at_<state>``), whether it may close, and the phase itself."""

    phase: str

    def stands_at(self, state: str) -> bool:
        """Return whether the present place belongs to ``state``; exactly one of BASES does."""

    def closing_agreed(self) -> bool:
        """Return whether the closing of the job was read back and confirmed."""


class Table:
    """The table at work for one job."""

    def __init__(self, guards: Guards) -> None:
        self._guards = guards
        self._machine = Machine(
            model=self, states=list(STATES), initial="new", auto_transitions=False, send_event=False,
            model_attribute="phase",
        )  # fmt: skip
        for trigger, sources, destination, guard in TABLE:
            self._machine.add_transition(trigger, list(sources), destination, conditions=guard)

    @property
    def phase(self) -> str:
        """The present state."""
        return self._guards.phase

    @phase.setter
    def phase(self, state: str) -> None:
        self._guards.phase = state

    def __getattr__(self, name: str) -> bool:
        """Answer a guard ``at_<state>``."""
        if name.startswith("at_") and name[3:] in BASES:
            return self._guards.stands_at(name[3:])
        raise AttributeError(name)

    def closing_agreed(self) -> bool:
        """Guard of the last row."""
        return self._guards.closing_agreed()

    def fire(self, trigger: str) -> None:
        """Take the row for ``trigger`` from the present state.

        Raises:
            MachineError: there is none, which is a fault of the code.
        """
        if not getattr(self, trigger)():
            raise MachineError(f"No row of the table leads on from {self.phase} by {trigger}.")
