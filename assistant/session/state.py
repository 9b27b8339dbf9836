"""All that a session remembers: plain values that follow from the inputs alone. Times are whole milliseconds."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from typing import Any

from assistant.fastening.units import TorqueUnit

Thing = tuple[str, int]
"""A thing of the preparation: key of the card, index on it."""
Bolt = tuple[str, int, int]
"""One bolt of a tightening: id of the step, index of the chunk, index inside the chunk."""


@dataclass(slots=True)
class TimerState:
    """A timer that was started. ``visit`` is the visit to a place on which that was said aloud, or zero."""

    ends_ms: int
    visit: int = 0
    warned: bool = False
    over: bool = False
    stopped: bool = False
    doubted: bool = False
    """The computer's clock was set while it ran: somebody must agree that it is right before it counts."""


@dataclass(frozen=True, slots=True)
class Planned:
    """What the tools of a stage were chosen by: the day (since 1970, UTC), a unit or "", and the job's own clicks."""

    day: int
    unit: str
    clicks: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class OffReading:
    """A reading out of limits, as text with its unit, and on which side it lies (below or above)."""

    value: str
    unit: str
    side: str


@dataclass(slots=True)
class Pending:
    """What waits for "confirmed". Unless ``final``, confirming it asks for the reason first.

    ``action`` is the name of what will be done with ``data``; ``question`` is what was asked, ``summary`` what it is.
    """

    action: str
    summary: str
    question: str
    data: dict[str, Any]
    final: bool
    reason: str = ""
    deadline_ms: int = 0


@dataclass(slots=True)
class Dictation:
    """Words that are being taken down: a note, a problem, or the reason for ``pending``."""

    kind: str
    words: list[str]
    deadline_ms: int
    pending: Pending | None = None
    is_cut: bool = False
    """Whether words were left out because there was no room for more."""


@dataclass(slots=True)
class State:
    """Where the job is and what was done; ``phase`` is a state of the table in :mod:`assistant.session.machine`."""

    phase: str = "new"
    at: int = 0
    visit: int = 1
    one_by_one: bool = False
    acknowledged: set[tuple[str, int]] = field(default_factory=set)
    hurried: set[tuple[str, int]] = field(default_factory=set)
    """Hazards of this visit that were acknowledged too soon, and read again because of that."""
    cut_hazard: tuple[str, int] | None = None
    """The hazard whose reading was cut before it came to how to avoid it."""
    prepared: set[str] = field(default_factory=set)
    thing: int | None = None
    """Index of the thing that is asked for where a card is gone through thing by thing."""
    missing: dict[Thing, str] = field(default_factory=dict)
    """What is missing, in the order in which it was told."""
    without: set[Thing] = field(default_factory=set)
    """What it was agreed to begin the work without."""
    operator: str = ""
    """Who works on the job."""
    operators: dict[str, None] = field(default_factory=dict)
    """Everybody who is known to work on the job, in order."""
    told: list[tuple[str, str, str]] = field(default_factory=list)
    """Notes, problems and deviations in order: kind, step or "", words."""
    done: set[str] = field(default_factory=set)
    skipped: dict[str, str] = field(default_factory=dict)
    miscounts: dict[str, int] = field(default_factory=dict)
    """How often in a row a step was counted wrongly."""
    counts: dict[str, int] = field(default_factory=dict)
    answers: dict[str, str] = field(default_factory=dict)
    fitted: dict[str, int] = field(default_factory=dict)
    deviations: set[str] = field(default_factory=set)
    bolts: set[Bolt] = field(default_factory=set)
    bolts_skipped: dict[Bolt, str] = field(default_factory=dict)
    pointers: dict[str, tuple[int, int]] = field(default_factory=dict)
    off: dict[Bolt, OffReading] = field(default_factory=dict)
    """Bolts with a reading out of limits about which nothing was decided yet."""
    off_accepted: set[Bolt] = field(default_factory=set)
    """Bolts whose last reading is out of limits and was accepted for a reason."""
    renewed: set[tuple[str, str]] = field(default_factory=set)
    """Step and group whose fasteners, which are used only once, were confirmed to be new."""
    torqued_ms: dict[str, int] = field(default_factory=dict)
    """When a group last got a torque."""
    multiplied: dict[str, str] = field(default_factory=dict)
    """The multiplier through which a group last got its torque."""
    turned: set[Bolt] = field(default_factory=set)
    """Bolts that got their further angle and were neither loosened nor replaced since."""
    worn: set[tuple[str, int]] = field(default_factory=set)
    """Group and number of bolts of single use that got their further angle and were loosened: new ones must come."""
    pause_told: set[tuple[str, int, str]] = field(default_factory=set)
    """Step, pass and group for which a long pause before a further angle was told."""
    unit: TorqueUnit | None = None
    """The unit that torque is to be said and read in; None for that of the procedure."""
    clicks: dict[str, int] = field(default_factory=dict)
    """Clicks of this job by wrench."""
    planned: dict[tuple[str, int], Planned] = field(default_factory=dict)
    """What the tools of each pass of each step were chosen by."""
    timers: dict[str, TimerState] = field(default_factory=dict)
    late_accepted: set[tuple[str, str]] = field(default_factory=set)
    hinted: set[str] = field(default_factory=set)
    pending: Pending | None = None
    dictation: Dictation | None = None
    last_said: str = ""
    misheard: int = 0
    misheard_ms: int = 0
    silence_ms: int = 0
    """When silence last ended a read-back or a note."""
    closed: bool = False

    def copy(self) -> State:
        """Return a copy that shares nothing that changes."""
        fresh: dict[str, Any] = {
            one.name: value.copy()
            for one in fields(self)
            if isinstance(value := getattr(self, one.name), set | dict | list)
        }
        fresh["timers"] = {name: replace(timer) for name, timer in self.timers.items()}
        if self.pending is not None:
            fresh["pending"] = replace(self.pending, data=dict(self.pending.data))
        if self.dictation is not None:
            fresh["dictation"] = replace(self.dictation, words=list(self.dictation.words))
        return replace(self, **fresh)
