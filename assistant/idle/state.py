"""How a bay stands between jobs: what it knows, what is listed and chosen, what was asked. Frozen values; pure."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from assistant.events import Effect
from assistant.facts.scan import ScanFrom
from assistant.language.values import StepAt
from assistant.scan.meaning import Known as KnownCodes

AWAKE_MS = 30_000
"""So long after the last thing that was said or heard it is listened to all idle phrases, and a list stays [ms]."""
ASKED_MS = 15_000
"""Whoever answers a question begins within this time [ms], as in a job."""
SPOKEN_MOST = 4
"""Rows of a list that are read at once: what can be held in mind."""


class RowKind(StrEnum):
    """What a row of a list stands for."""

    JOB = "job"
    PROCEDURE = "procedure"
    NAME = "name"


@dataclass(frozen=True, slots=True, kw_only=True)
class ListRow:
    """Something that can be chosen: an open job, a procedure, or somebody's name.

    ``key`` is the name of the job, the file name of the procedure, or the name of the person. ``content`` is the hash
    of a procedure's file as it was listed. ``stands`` is a code of :class:`assistant.language.topics.idle.RowSpoken`.
    ``bay`` is the other bay that has the job; it is brought here before it is gone on with.
    """

    kind: RowKind
    key: str
    title: str
    stands: str
    machine: str = ""
    customer: str = ""
    operator: str = ""
    step: StepAt | None = None
    content: str = ""
    at_ms: int = 0
    bay: str = ""


@dataclass(frozen=True, slots=True)
class Mechanic:
    """Somebody who may work: the name as it is written, and as a recogniser spells it ("": it cannot be heard)."""

    name: str
    spoken: str
    sounds: int = 0
    """Names with the same number sound alike: whoever is called so is read back before it counts; 0: unlike others."""

    @property
    def is_alike(self) -> bool:
        """Return whether another name sounds like it."""
        return self.sounds > 0


@dataclass(frozen=True, slots=True)
class AtHand:
    """What the bay knows of its jobs, procedures and people; ``usual`` works where nobody else says so."""

    jobs: tuple[ListRow, ...] = ()
    procedures: tuple[ListRow, ...] = ()
    people: tuple[Mechanic, ...] = ()
    usual: str = ""
    codes: KnownCodes = field(default_factory=KnownCodes)
    """Orders, and machines of earlier jobs: what a code may mean."""
    orders_fault: str = ""
    """What is wrong with the list of orders; "" where nothing is."""


@dataclass(frozen=True, slots=True)
class Shortlist:
    """A list that was asked for: ``what`` is "jobs", "procedures", "names" or "found"; ``word`` was searched for."""

    what: str
    rows: tuple[ListRow, ...]
    word: str = ""
    at: int | None = None
    """Index of the chosen row."""

    @property
    def chosen(self) -> ListRow | None:
        """Return the chosen row."""
        return None if self.at is None else self.rows[self.at]

    @property
    def first(self) -> int:
        """Return the index of the first of the rows that are shown large: four at a time."""
        return 0 if self.at is None else self.at - self.at % SPOKEN_MOST


class Does(StrEnum):
    """What waits for "confirmed" or "yes"."""

    START = "start"
    RESUME = "resume"
    OPERATOR = "operator"


@dataclass(frozen=True, slots=True)
class Asking:
    """A question: what "confirmed" does with ``row``, and who works then."""

    does: Does
    row: ListRow
    operator: str
    question: str
    until_ms: int
    others: tuple[str, ...] = ()
    """Names that sound like the one that is asked for."""


@dataclass(frozen=True, slots=True)
class JobCard:
    """What a new job is opened with, where somebody has said so: by a scan, or on the page."""

    asset: str = ""
    customer: str = ""
    order: str = ""
    """Number of the order that was read."""
    scanned: ScanFrom | None = None
    """Which reader it was read with; None where somebody wrote it."""


@dataclass(frozen=True, slots=True)
class Ended:
    """How the last job of the day ended: "closed", "broken" or "lost"."""

    job: str
    title: str
    how: str


@dataclass(frozen=True, slots=True)
class Between:
    """A bay between jobs."""

    known: AtHand
    wake: str = ""
    """The wake phrase; "" where the idle phrases are listened to all the time."""
    awake_until_ms: int = 0
    listed: Shortlist | None = None
    asking: Asking | None = None
    operator: str = ""
    """Who said to work next; "" is the usual one."""
    card: JobCard = field(default_factory=JobCard)
    last: Ended | None = None
    heard: str = ""
    """What came in last, for the page."""
    said: str = ""
    """What was said last, to be repeated."""

    @property
    def is_awake(self) -> bool:
        """Return whether somebody is busy with it."""
        return self.awake_until_ms > 0

    @property
    def who(self) -> str:
        """Return who works next."""
        return self.operator or self.known.usual


# What comes in


@dataclass(frozen=True, slots=True)
class Uttered:
    """Something that was understood; ``by_hand``: typed or pressed as a key."""

    intent: str
    number: int = 0
    name: str = ""
    by_hand: bool = False


@dataclass(frozen=True, slots=True)
class NotSure:
    """Something short that was meant for the bay, as far as one can tell, and was not understood."""


@dataclass(frozen=True, slots=True)
class Pressed:
    """A button of the page: the intent, and what it is about: a row's key, a name, a word."""

    button: str
    value: str = ""
    card: JobCard | None = None


@dataclass(frozen=True, slots=True)
class CodeRead:
    """What a barcode or QR reader gave."""

    text: str
    source: ScanFrom = ScanFrom.KEYS


IdleInput = Uttered | NotSure | Pressed | CodeRead


# What comes of it


@dataclass(frozen=True, slots=True)
class StartJob:
    """Open a job for the procedure in ``row``; ``first`` is said before its greeting."""

    row: ListRow
    operator: str
    card: JobCard
    first: str = ""


@dataclass(frozen=True, slots=True)
class ResumeJob:
    """Go on with the job in ``row``; ``operator`` is "" where whoever worked goes on."""

    row: ListRow
    operator: str
    first: str = ""


Wish = StartJob | ResumeJob


@dataclass(frozen=True, slots=True)
class Outcome:
    """What an input brings about: the state behind it, what to carry out, and a job that is wanted."""

    state: Between
    effects: tuple[Effect, ...] = ()
    wish: Wish | None = None
