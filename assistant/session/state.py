"""All that a session remembers of one job: frozen values that follow from its facts. Times are milliseconds."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum

import msgspec

from assistant.facts import Fact, Quantity
from assistant.facts.asking import Dictated, Question
from assistant.facts.asking_back import AskedBack
from assistant.facts.codes import Side, TroubleWhat
from assistant.facts.extra import GrantRole, GrantWay, Severity
from assistant.facts.going import BoltAt, RefusedWhy, Wordiness
from assistant.facts.inputs import ToolFile
from assistant.facts.second import SecondWhat
from assistant.facts.shims import ShimsWorkedOut
from assistant.fastening.quantities import TorqueUnit
from assistant.session.answered import Granting, PageAnswer
from assistant.session.helping import Helpers
from assistant.session.remembered import (
    GoneRevision,
    InDoubt,
    LastReading,
    LastTorque,
    Packs,
    PhotosTaken,
    RunningReminder,
    Times,
)
from assistant.session.time_spent import TimeSpent
from assistant.session.told import Told

ThingKey = tuple[str, int]
"""A thing of the preparation: key of its card, and its number there, from one."""
Bolt = tuple[str, int, int, int]
"""One bolt of a tightening: id of the step, pass, run in it, and number of the bolt."""
Cell = tuple[str, str, str]
"""One place of a table of readings: id of the step, of the row, and of the column."""
HazardKey = tuple[str, int]
"""A hazard: key of its place, and its index there."""


class TimerState(msgspec.Struct, frozen=True):
    """A timer that was started. ``visit`` is the visit to a place on which that was asked for, or zero."""

    ends_ms: int
    visit: int = 0
    warned: bool = False
    over: bool = False
    stopped: bool = False
    """An open time whose steps are all done: it does not matter any more."""
    doubted: bool = False
    """The computer's clock was set while it ran, and nobody has said since that it is right."""


class Planned(msgspec.Struct, frozen=True):
    """What the tools of a pass were chosen by: the day (since 1970, UTC), a unit or "", and the job's own clicks."""

    day: int
    unit: str
    clicks: tuple[tuple[str, int], ...]
    taken: tuple[str, ...] = ()
    """Ids of the tools that somebody had taken by their labels, the newest at the end."""


class OffReading(msgspec.Struct, frozen=True):
    """A reading out of limits, and on which side it lies."""

    reading: Quantity
    side: Side


class HeldBolt(msgspec.Struct, frozen=True):
    """A bolt that is held open: what happened to it, and in which step (id, "" for none) that was said.

    ``given_up`` once the work goes on without it, for a reason.
    """

    what: TroubleWhat
    step: str
    given_up: bool = False


class Loose(msgspec.Struct, frozen=True):
    """What may lie in the machine: the step (id) in which it was dropped, the visit of that, and which bolt it was.

    ``group`` is "" where nobody knows. ``answered`` once a reason was given why it is not out.
    """

    step: str
    visit: int
    group: str = ""
    bolt: int = 0
    answered: bool = False


class CellValue(msgspec.Struct, frozen=True):
    """What was read off at one place of a table, and on which side of its limits it lies."""

    reading: Quantity
    side: Side


class Waiting(msgspec.Struct, frozen=True):
    """What waits for "confirmed" since ``since_ms``. With ``needs_reason``, confirming it asks for the reason first."""

    question: Question
    since_ms: int
    needs_reason: bool = False
    reason: str = ""


class Dictation(msgspec.Struct, frozen=True):
    """Words that are being taken down: a note, a problem, or the reason for ``question``."""

    what: Dictated
    since_ms: int
    question: Question | None = None
    words: tuple[str, ...] = ()
    is_cut: bool = False
    """Whether words were left out because there was no room for more."""
    note: int = 0
    """Number of the note whose words are said again, 0 where there is none."""


class ExtraIs(StrEnum):
    """How extra work stands: nobody has answered yet, it may be done, or it may not, it is done, or only advised."""

    ASKED = "asked"
    GRANTED = "granted"
    DECLINED = "declined"
    DONE = "done"
    ADVISED = "advised"


class Extra(msgspec.Struct, frozen=True):
    """Extra work with its ``number`` from one. ``name`` is the person who granted it; of a finding, its own fields."""

    number: int
    stands: ExtraIs
    role: GrantRole | None = None
    name: str = ""
    way: GrantWay | None = None
    at_ms: int = 0
    """When it was granted or declined."""
    back_to: str = ""
    """Key of the place from which it was begun out of its turn."""
    text: str = ""
    step: str = ""
    severity: Severity | None = None
    minutes: Decimal | None = None
    complete: bool = True
    corrected: bool = False


class FoundOut(msgspec.Struct, frozen=True):
    """A finding whose words were taken down, and whose severity is asked for since ``since_ms``."""

    text: str
    step: str
    since_ms: int
    complete: bool = True
    number: int = 0
    """Of the finding that was confirmed before and whose words these replace; 0 where there is none."""


class Confirmation(msgspec.Struct, frozen=True):
    """What one answer of a person confirmed, so that it can be taken back: flat, and without the state before it.

    ``back`` are the facts that open it again. With ``always`` it can be taken back although that changes nothing here.
    """

    heard_ms: int
    """When it was heard: by that the journal finds it again."""
    place: str
    """Key of the place where it was given."""
    thing: int
    bolt: BoltAt | None
    """The bolt that was next there."""
    operator: str
    shift: int
    facts: tuple[Fact, ...]
    back: tuple[Fact, ...]
    always: bool = False


class Second(msgspec.Struct, frozen=True):
    """A second person who is asked for: for what, at which step (id), and the name once it was stated."""

    what: SecondWhat
    step: str
    name: str = ""
    since_ms: int = 0


class State(msgspec.Struct, frozen=True):
    """Where the job is and what was done."""

    opened: bool = False
    closed: bool = False
    paused: bool = False
    handing_over: bool = False
    gone: GoneRevision | None = None
    """That the procedure of the job was withdrawn."""
    waiting: Waiting | None = None
    dictation: Dictation | None = None
    place: str = ""
    """Key of the present place."""
    visit: int = 0
    """How often the job has arrived somewhere."""
    visited: frozenset[str] = frozenset()
    """Places at which somebody stood since the present operator began; what to say is told at the first of a kind."""
    asset: str = ""
    """The machine, as it was written when the job began."""
    tools: ToolFile | None = None
    taken: tuple[str, ...] = ()
    """Ids of the tools that somebody took by their labels, the newest at the end; a few are enough."""
    unit: TorqueUnit | None = None
    """The unit that torque is to be said and read in; None for that of the procedure."""

    # Preparation and hazards
    acknowledged: frozenset[HazardKey] = frozenset()
    hurried: frozenset[HazardKey] = frozenset()
    """Hazards of this visit that were acknowledged too soon, and read again because of that."""
    cut_hazard: HazardKey | None = None
    """The hazard whose reading was cut before it came to how to avoid it."""
    prepared: frozenset[str] = frozenset()
    thing: int = 0
    """Number of the thing that is asked for where a card is gone through thing by thing, or 0."""
    missing: tuple[ThingKey, ...] = ()
    """What is missing, in the order in which it was told."""
    without: frozenset[ThingKey] = frozenset()
    """What it was agreed to begin the work without."""
    here: frozenset[ThingKey] = frozenset()
    """What was scanned as it was got ready."""

    # People
    operator: str = ""
    """Who works on the job."""
    operators: tuple[str, ...] = ()
    """Everybody who is known to work on the job, in order."""
    told: tuple[Told, ...] = ()
    note_last: int = 0
    """Number of the note that was read back just now, as long as nothing else was said; else 0."""
    finding_last: str = ""
    """Key of the finding that was kept just now, as long as nothing else was said; else ""."""
    shift: int = 0
    """How often the job was handed over."""

    # What can be taken back
    answering_ms: int = -1
    """When what is being answered was heard [ms]; 0 once it has confirmed something, below 0 where no person spoke."""
    confirmed: tuple[Confirmation, ...] = ()
    """The newest at the end; a bounded number."""
    second: Second | None = None
    """The second person who is asked for."""
    seconds: tuple[str, ...] = ()
    """Who has been a second person in the job, in order."""
    helping: Helpers = ()
    clocked: str = ""
    """Key of the extra work without steps that is worked on."""

    # How much is said
    wordiness: Wordiness = Wordiness.USUAL
    practised: Mapping[str, int] = msgspec.field(default_factory=dict)
    """How often the present operator said each command; a few are enough."""

    # Steps
    done: frozenset[str] = frozenset()
    skipped: Mapping[str, str] = msgspec.field(default_factory=dict)
    """The reason for each place that was left out, in order."""
    miscounts: Mapping[str, int] = msgspec.field(default_factory=dict)
    """How often in a row a step was counted wrongly."""
    counts: Mapping[str, int] = msgspec.field(default_factory=dict)
    answers: Mapping[str, bool | str] = msgspec.field(default_factory=dict)
    """The answer of each check: yes or no, or the value that was read off."""
    fitted: Mapping[str, int] = msgspec.field(default_factory=dict)
    deviations: frozenset[str] = frozenset()
    """Steps whose count, answer or value is not as it should be."""
    gates_held: Mapping[str, Question] = msgspec.field(default_factory=dict)
    """Gates that were answered otherwise than they should be, with what was not taken."""
    released: Mapping[str, bool] = msgspec.field(default_factory=dict)
    """Gates that a second person released, and whether what was let through is still to come."""
    witnessed: frozenset[str] = frozenset()
    """Steps that a second person has seen, or without whose witness somebody released the gate."""

    done_in_order: tuple[str, ...] = ()
    """Ids of steps in the order in which each was done last; one that was opened again since stays in it."""
    detour: tuple[str, ...] = ()
    """Keys of the places from which somebody went elsewhere and did not come back yet, the last one at the end."""
    way_read: frozenset[HazardKey] = frozenset()
    """Hazards of steps jumped over that were read to the present operator before the jump, and confirmed as read."""

    # Bolts
    one_by_one: bool = False
    at_bolt: Mapping[str, BoltAt | None] = msgspec.field(default_factory=dict)
    """The next bolt of each tightening that was come to; None behind the last."""
    bolts: frozenset[Bolt] = frozenset()
    bolts_skipped: Mapping[Bolt, str] = msgspec.field(default_factory=dict)
    off: Mapping[Bolt, OffReading] = msgspec.field(default_factory=dict)
    """Bolts with a reading out of limits about which nothing was decided yet."""
    off_accepted: frozenset[Bolt] = frozenset()
    """Bolts whose last reading is out of limits and was accepted for a reason."""
    renewed: frozenset[tuple[str, str]] = frozenset()
    """Step and group whose fasteners, which are used only once, were confirmed to be new."""
    torqued_ms: Mapping[str, int] = msgspec.field(default_factory=dict)
    """When a group last got a torque."""
    multiplied: Mapping[str, str] = msgspec.field(default_factory=dict)
    """The multiplier through which a group last got its torque, or ""."""
    turned: Mapping[Bolt, str] = msgspec.field(default_factory=dict)
    """Group of the bolts that got their further angle and were neither loosened nor replaced since."""
    worn: frozenset[tuple[str, int]] = frozenset()
    """Group and number of bolts of single use that got their further angle and were loosened: new ones must come."""
    read: Mapping[Bolt, Quantity] = msgspec.field(default_factory=dict)
    """What was read off at bolts beside their target, the newest at the end."""
    doubts: Mapping[Bolt, InDoubt] = msgspec.field(default_factory=dict)
    """Bolts that strike among their neighbours, and about which nobody decided yet, in order."""
    doubts_left: frozenset[Bolt] = frozenset()
    """Bolts that were doubted, and are left as they are for a reason."""
    retightened: Mapping[tuple[str, int], int] = msgspec.field(default_factory=dict)
    """How often bolts, by group and number, came loose and go in again, where their procedure has a limit for it."""
    came_loose: frozenset[tuple[str, int]] = frozenset()
    """Those of them that were not tightened since."""
    too_long: frozenset[tuple[str, int]] = frozenset()
    """Group and number of bolts that were longer than their procedure lets them be; they are among the worn ones."""
    held: Mapping[tuple[str, int], HeldBolt] = msgspec.field(default_factory=dict)
    """Group and number of the bolts that are held open, or were given up, in order."""
    troubled: frozenset[tuple[str, int]] = frozenset()
    """Group and number of all bolts that ever were."""
    dropped: Mapping[int, Loose] = msgspec.field(default_factory=dict)
    """What was dropped and is not out again, by its number, in order."""
    dropped_last: int = 0
    """Number of what was dropped last, 0 before the first."""
    cautioned: frozenset[str] = frozenset()
    """For what (a code of :class:`TroubleWhat`, "dropped") the caution was told."""
    to_loosen: frozenset[tuple[str, int]] = frozenset()
    """Group and number of bolts whose further angle was taken back: turned, they are loosened or replaced first."""
    pause_told: frozenset[tuple[str, int, str]] = frozenset()
    """Step, pass and group for which a long pause before a further angle was told."""
    clicks: Mapping[str, int] = msgspec.field(default_factory=dict)
    """Clicks of this job by wrench."""
    planned: Mapping[tuple[str, int], Planned] = msgspec.field(default_factory=dict)
    """What the tools of each pass of each step were chosen by."""

    # What can be asked for
    last_torque: LastTorque | None = None
    last_reading: LastReading | None = None
    shims: Mapping[str, ShimsWorkedOut] = msgspec.field(default_factory=dict)
    """The shims that are proposed, by the step of their table."""
    at_shim: tuple[str, str, str] | None = None
    """Step, row and column of the proposal that was told last, in the order of the work."""
    packs: Packs = Packs()
    photos: PhotosTaken = PhotosTaken()
    reminders: Mapping[int, RunningReminder] = msgspec.field(default_factory=dict)
    """Reminders that still run, by their numbers."""
    reminders_set: int = 0
    """How many reminders were ever asked for."""
    times: Times = Times()
    asked: tuple[str, int] = ("", 0)
    """What was understood last, intent and id of the name in it, and how often in a row."""
    refused: RefusedWhy | None = None
    """Why nothing came of what was said last, until something else is said."""
    # Branches, extra work and findings
    branches: Mapping[str, int] = msgspec.field(default_factory=dict)
    """How often each branch opened, by its key."""
    extra: Mapping[str, Extra] = msgspec.field(default_factory=dict)
    """Work beside the job, by the key of its branch or finding, in the order in which it was asked."""
    page_answers: tuple[PageAnswer, ...] = ()
    """Answers of the customer that wait for a moment in which nothing else is asked, the first one first."""
    granting: Granting | None = None
    finding: FoundOut | None = None
    past_stops: frozenset[str] = frozenset()
    """Keys of places at the end of branches that stop the job, and that were passed for a reason."""
    # Tables of readings
    cells: Mapping[Cell, CellValue] = msgspec.field(default_factory=dict)
    cells_left_out: Mapping[Cell, str] = msgspec.field(default_factory=dict)
    """The reason for each reading that was left out."""
    at_cell: Mapping[str, tuple[str, str]] = msgspec.field(default_factory=dict)
    """Row and column that somebody went to by name, or back to, by step; else the first open one is next."""

    # Timers, and what was not understood
    timers: Mapping[str, TimerState] = msgspec.field(default_factory=dict)
    late_accepted: frozenset[tuple[str, str]] = frozenset()
    """Step and open time after which it may be done all the same."""
    misheard: tuple[int, ...] = ()
    """When something was not understood [ms] since something was, the newest at the end; a few are enough."""
    asked_back: AskedBack | None = None
    """What was asked back, until something is understood."""
    spent: TimeSpent = TimeSpent()
    silence_ms: int = 0
    """When silence last ended a read-back or a note."""
    more: Mapping[str, object] = msgspec.field(default_factory=dict)
    """What a kind of step that is not among ours remembers, by its own key."""
