"""The record of a job as plain values: what it is made of. Times are milliseconds since the epoch (UTC)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from assistant.journal.port import JobState

RECORD_FORMAT = "job record 5"
"""Name and number of the form of the JSON record; its schema is ``record.schema.json`` in ``assistant/report``.

Any change of its fields takes the next number, one more as well: the schema lets pass no field that it does not name.
"""
FORMER: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "job record 2": {
        "extra": ("minutes", "seconds", "corrected"),
        "fasteners": ("again", "again_at_most"),
        "notes": ("corrected",),
    },
    "job record 3": {"extra": ("corrected",)},
    "job record 4": {"extra": ("corrected",)},
}
"""The former forms that are still made, so that a record of them can be verified: what each lacks, table by table."""


@dataclass(frozen=True, slots=True)
class How:
    """How something was confirmed: ``by`` voice, key, pedal, touch or clock, and what was heard how surely (0 to 1)."""

    by: str
    heard: str = ""
    confidence: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A thing that happened once: entry, time, the step that it belongs to ("" for none), what it was, and how."""

    entry: int
    at_ms: int
    step: str
    what: str
    how: How


class StepStatus(StrEnum):
    """What became of a step, or of a page of the preparation; a deviation is done otherwise than it should be."""

    DONE = "done"
    DEVIATION = "deviation"
    LEFT_OUT = "left out"
    NOT_DONE = "not done"


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step, or one page of the preparation.

    ``seconds`` (worked) and ``book_seconds`` are None where they are not known.
    """

    id: str
    chapter: str
    number: str
    text: str
    status: StepStatus
    entry: int | None = None
    at_ms: int | None = None
    how: How | None = None
    results: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    times_done: int = 0
    seconds: int | None = None
    book_seconds: int | None = None


@dataclass(frozen=True, slots=True)
class Tightening:
    """One tightening action, done or not. Values are as they were written down, with their unit; "" for none."""

    step: str
    stage: int
    turn: int
    way: str
    group: str
    bolts: tuple[int, ...]
    target: str
    limits: str
    tool: str
    setting: str
    reading: str
    result: str
    entry: int | None = None
    at_ms: int | None = None
    how: How | None = None
    repeated: bool = False
    place: str = ""
    """Stage, pass and repetition as the procedure prints them, such as ``3, pass 2 of 4``; "" when nobody knows."""


@dataclass(frozen=True, slots=True)
class TableReading:
    """One place of a table of readings, read off or not; ``earlier`` are readings that it took the place of.

    ``when`` is found, left or "". Values are as they were written down, with their unit; "" for none. ``proposed`` is
    the shim that was proposed where one is read off, in words.
    """

    step: str
    row: str
    column: str
    when: str
    limits: str
    reading: str
    result: str
    entry: int | None = None
    at_ms: int | None = None
    how: How | None = None
    earlier: tuple[str, ...] = ()
    proposed: str = ""


@dataclass(frozen=True, slots=True)
class Again:
    """Bolts that were tightened again for so many ``times`` by now."""

    times: int
    bolts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Fasteners:
    """One group of fasteners; counts are None where nobody counted.

    ``renewed`` are the bolts that were said to be new by number, ``new`` how many new ones there are; ``again`` are
    those that were tightened again, where the procedure says that they may be ``again_at_most`` times.
    """

    group: str
    size: str
    planned: int
    out: int | None
    back: int | None
    renewed: tuple[int, ...]
    new: int
    scrapped: int
    result: str
    again: tuple[Again, ...] = ()
    again_at_most: int | None = None


@dataclass(frozen=True, slots=True)
class Supply:
    """A supply or a spare: what was asked for, and batch and expiry when they were given."""

    kind: str
    id: str
    name: str
    quantity: str
    specification: str
    fitted: str = ""
    batch: str = ""
    expires: str = ""


@dataclass(frozen=True, slots=True)
class ToolLine:
    """A tool of the bay that was used or asked for, and its calibration on the day of the job."""

    id: str
    name: str
    used: bool
    clicks: int
    calibrated: str
    state: str


@dataclass(frozen=True, slots=True)
class TimerLine:
    """A timer: length [s], when it was started, when it ended, and what came of it."""

    id: str
    name: str
    kind: str
    seconds: int
    started_ms: int | None
    ended_ms: int | None
    result: str


@dataclass(frozen=True, slots=True)
class Gap:
    """A time in which nobody worked on the job, or a device was missing; ``to_ms`` is None when it did not end."""

    entry: int
    what: str
    from_ms: int
    to_ms: int | None


@dataclass(frozen=True, slots=True)
class ClockLine:
    """The time of one person [s]: own work of the job, extra work, waiting for a timer, and away; see ``clock.py``."""

    person: str
    own_seconds: int
    extra_seconds: int
    waiting_seconds: int
    away_seconds: int


@dataclass(frozen=True, slots=True)
class Open:
    """Something that is not done, not confirmed, or not as it should be."""

    what: str
    step: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class PhotoLine:
    """A photo with its ``number`` in the job, the step that it belongs to ("" for none), and the hash of its file.

    ``how`` says by what it was taken, ``by`` who worked on the job then. One that was ``dropped`` has no file any more.
    """

    number: int
    entry: int
    at_ms: int
    step: str
    sha256: str
    by: str
    how: How
    dropped: bool = False


@dataclass(frozen=True, slots=True)
class ExtraLine:
    """Work beside the job: offered or a ``finding``, how it stands, and who granted it; declined, it is advice.

    ``minutes`` is how long it takes, as the procedure or the mechanic says [min]; ``seconds`` how long somebody worked
    on a finding that was begun by word. ``corrected`` is the number of the entry in which a finding got other words, 0
    where it did not.
    """

    number: int
    kind: str
    what: str
    step: str
    severity: str
    stands: str
    by: str
    entry: int = 0
    at_ms: int = 0
    how: How | None = None
    minutes: str = ""
    seconds: int = 0
    corrected: int = 0


@dataclass(frozen=True, slots=True)
class Note:
    """A note or a problem as it counts; ``complete`` is false when silence ended it, or words did not fit.

    ``corrected`` is the number of the entry in which it was said again, 0 where it was not.
    """

    entry: int
    at_ms: int
    kind: str
    step: str
    text: str
    complete: bool
    corrected: int = 0


@dataclass(frozen=True, slots=True)
class Deviation:
    """Something out of order that somebody accepted for a reason, and who that was."""

    entry: int
    at_ms: int
    step: str
    what: str
    reason: str
    accepted_by: str
    how: How


@dataclass(frozen=True, slots=True)
class TroubleLine:
    """A bolt that broke or was lost, or what was dropped: who told it, and how it ended.

    ``open`` until it is put right, whatever reason was given; ``ended_entry`` is None where nothing came of it.
    """

    entry: int
    at_ms: int
    step: str
    what: str
    told_by: str
    how: How
    ended: str = "OPEN"
    ended_entry: int | None = None
    ended_ms: int | None = None
    ended_by: str = ""
    open: bool = True


@dataclass(frozen=True, slots=True)
class Card:
    """The job card."""

    job: str
    state: JobState
    asset: str
    meter: str
    customer: str
    operators: tuple[str, ...]
    title: str
    procedure: str
    revision: str
    approval: str
    source: str
    machine: str
    values: str
    opened_ms: int
    ended_ms: int | None
    worked_seconds: int
    book_seconds: int | None
    rehearsal: bool
    program: str


@dataclass(frozen=True, slots=True)
class Trust:
    """What binds the record to the journal: how many entries it is made of, the last one's hash, the procedure's hash.

    ``damage`` says at which entry the journal does not fit, "" when all of it does.
    """

    entries: int
    head: str
    procedure_sha256: str
    damage: str = ""


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One entry of the journal in words, with its hash."""

    entry: int
    at_ms: int
    kind: str
    step: str
    words: str
    how: How
    hash: str
    data: dict[str, Any]


@dataclass(frozen=True, slots=True)
class JobRecord:
    """All that a record says; see the classes above."""

    card: Card
    trust: Trust
    open: tuple[Open, ...] = ()
    preparation: tuple[StepLine, ...] = ()
    steps: tuple[StepLine, ...] = ()
    tightenings: tuple[Tightening, ...] = ()
    readings: tuple[TableReading, ...] = ()
    fasteners: tuple[Fasteners, ...] = ()
    troubles: tuple[TroubleLine, ...] = ()
    supplies: tuple[Supply, ...] = ()
    tools: tuple[ToolLine, ...] = ()
    timers: tuple[TimerLine, ...] = ()
    notes: tuple[Note, ...] = ()
    extra: tuple[ExtraLine, ...] = ()
    photos: tuple[PhotoLine, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    corrections: tuple[Line, ...] = ()
    course: tuple[Line, ...] = ()
    """The steps in the order in which they were done, where somebody went elsewhere than on."""
    gaps: tuple[Gap, ...] = ()
    hours: tuple[ClockLine, ...] = ()
    """In the JSON it stands behind the entries, by its name: a forged entry is named before sums that come of it."""
    unclear: int = 0
    entries: tuple[EntryLine, ...] = ()
    format: str = field(default=RECORD_FORMAT)
