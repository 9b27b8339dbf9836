"""All that a session remembers: plain values that follow from the inputs alone. Times are whole milliseconds."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from typing import Any

Bolt = tuple[str, int, int]
"""One bolt of a tightening: id of the step, index of the chunk, index inside the chunk."""


@dataclass(slots=True)
class TimerState:
    """A timer that was started. ``visit`` is the visit to a place on which that was said aloud, or zero."""

    started_ms: int
    ends_ms: int
    visit: int = 0
    warned: bool = False
    over: bool = False
    stopped: bool = False


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
class Noting:
    """Words that are being taken down: a note, a problem, or the reason for ``pending``."""

    kind: str
    words: list[str]
    deadline_ms: int
    pending: Pending | None = None


@dataclass(slots=True)
class State:
    """Where the job is and what was done; ``phase`` is a state of the table in :mod:`assistant.session.machine`."""

    phase: str = "new"
    at: int = 0
    visit: int = 1
    one_by_one: bool = False
    acknowledged: set[tuple[str, int]] = field(default_factory=set)
    prepared: set[str] = field(default_factory=set)
    done: set[str] = field(default_factory=set)
    skipped: dict[str, str] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)
    answers: dict[str, str] = field(default_factory=dict)
    fitted: dict[str, int] = field(default_factory=dict)
    deviations: set[str] = field(default_factory=set)
    bolts: set[Bolt] = field(default_factory=set)
    bolts_skipped: dict[Bolt, str] = field(default_factory=dict)
    pointers: dict[str, tuple[int, int]] = field(default_factory=dict)
    timers: dict[str, TimerState] = field(default_factory=dict)
    late_accepted: set[tuple[str, str]] = field(default_factory=set)
    hinted: set[str] = field(default_factory=set)
    pending: Pending | None = None
    noting: Noting | None = None
    last_said: str = ""
    misheard: int = 0
    misheard_ms: int = 0
    silence_ms: int = 0
    """When silence last ended a read-back or a note."""
    closed: bool = False

    def copy(self) -> State:
        """Return a copy that shares nothing that changes."""
        fresh: dict[str, Any] = {
            one.name: value.copy() for one in fields(self) if isinstance(value := getattr(self, one.name), set | dict)
        }
        fresh["timers"] = {name: replace(timer) for name, timer in self.timers.items()}
        if self.pending is not None:
            fresh["pending"] = replace(self.pending, data=dict(self.pending.data))
        if self.noting is not None:
            fresh["noting"] = replace(self.noting, words=list(self.noting.words))
        return replace(self, **fresh)
