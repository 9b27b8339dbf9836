"""What a kind of step brings into the session: its states, how it stands in them, and what is said and shown of it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Any

from assistant.language.port import Language
from assistant.procedure.kinds import KINDS, Room
from assistant.procedure.model import Step
from assistant.session import table
from assistant.session.deciding.core import Deciding
from assistant.session.here import STANDING, Here
from assistant.session.job import Job
from assistant.session.telling.core import Telling


class OpenKind(StrEnum):
    """What can be open in a step, or went wrong in it; the gravest first."""

    COUNT = "count"
    """The counts of a group do not agree: its id."""
    VALUE = "value"
    """A value is out of limits."""
    BOLTS = "bolts"
    """Readings at bolts are out of limits: pass and number of each."""
    DOUBT = "doubt"
    """Bolts strike among their neighbours, and nobody decided: pass and number of each."""
    ANSWER = "answer"
    """It was answered otherwise than it should be."""
    STAGE = "stage"
    """A stage is not tight all over: its number."""
    PART = "part"
    """New parts were not answered for."""
    READING = "reading"
    """Readings were left out."""


@dataclass(frozen=True, slots=True)
class OpenThing:
    """Something that is open in ``step`` (id): of which kind, and ``about`` what (ids and numbers, see the kinds).

    ``name`` calls it inside a sentence; None where the name of the step says it all.
    """

    kind: OpenKind
    step: str
    about: tuple[Any, ...] = ()
    name: Callable[[Language], str] | None = None


@dataclass(frozen=True, slots=True)
class OfBay:
    """The ``tools`` (ids in the tool file) that a step is done with, and which of those named they stand in for.

    ``lacking`` are named ones that are not to be had; ``unfit``: no tool gives a value of the step.
    """

    tools: tuple[str, ...]
    stands_for: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()
    unfit: bool = False


def _nothing(*_: Any) -> tuple[Any, ...]:
    return ()


@dataclass(frozen=True, slots=True)
class StepPart:
    """The session's part of a kind of step; each function gets the job as it stands, and the step.

    ``standing`` names the state of the table, ``words`` are said behind the text of the step, ``ask`` and ``picture``
    are what a display may show of it (JSON values; a picture stands in the view under a key of the kind), ``needs`` are
    ids of things of the preparation, ``settle`` puts facts when the job comes to such a step or stays at it,
    ``leave_out`` takes "skip this" if the kind has a way of its own. What it asks to be confirmed is entered with
    ``add_grant`` of :mod:`assistant.session.deciding.granting` and ``add_read_back`` of
    :mod:`assistant.session.telling.asked`.
    """

    rows: tuple[table.Row, ...]
    standing: Callable[[Here, Any], str]
    words: Callable[[Telling, Any], Sequence[str]] = _nothing
    where: Callable[[Telling, Any], str] | None = None
    """Says where the job is inside the step; None where its number says all."""
    left: Callable[[Telling, Any], Sequence[str]] = _nothing
    """Says what is left to do in the step."""
    answer: Callable[[Telling, Any], str] = lambda _telling, _step: ""
    """Says how the step is answered, where "next" is no answer."""
    answer_again: Callable[[Telling, Any], str] = lambda _telling, _step: ""
    """The same behind the step when it is repeated, where ``words`` do not say it."""
    after_break: Callable[[Telling, Any], Sequence[str]] = _nothing
    """What must be heard when the step is taken up again."""
    unclear: Callable[[Telling, Any], Sequence[str]] = _nothing
    """Says what is waited for, beside the tone, when something was not understood: where answers follow one another."""
    in_unit: Callable[[Telling, Any], None] = lambda _telling, _step: None
    """Says again what sounds otherwise since torque is said in another unit."""
    ask: Callable[[Here, Any], Mapping[str, Any] | None] = lambda _here, _step: None
    read_in: Callable[[Here, Any], str] = lambda _here, _step: ""
    """The unit in which a number is read off that ``ask`` does not tell of; "" for none."""
    numbers: Callable[[Here, Any], Sequence[Decimal]] = _nothing
    """Numbers that can well be said at the step, right or wrong: they are listened for first, others as well."""
    may_be: Mapping[str, Callable[[Here, Any, Decimal], bool]] = field(default_factory=dict)
    """By intent: whether a number [unit of the step] can well be said at the step, right or wrong. Where there is one,
    a number that sounds like another that can be is read back."""
    picture: Callable[[Here, Any], Mapping[str, Any]] = lambda _here, _step: {}
    needs: Callable[[Job, Any], Sequence[str]] = _nothing
    tools: Callable[[Here, Any], Sequence[str]] | None = None
    """Names of the tools that are in the hand now; None where the tools of the step are all that is known."""
    moves: bool = False
    """Whether such a step moves the machine, or holds against it, where nobody says; a lock must be out before it."""
    waits_for: Callable[[Any], str | None] = lambda _step: None
    """The timer that such a step waits for, wherever it was started."""
    arrive: Callable[[Deciding, Any], Any] | None = None
    settle: Callable[[Deciding, Any], None] = lambda _deciding, _step: None
    begin_anew: Callable[[Deciding], None] = lambda _deciding: None
    """Puts facts, wherever the job is, when somebody takes the work up; it may be asked several times in an answer."""
    back: Callable[[Deciding, Any], bool] = lambda _deciding, _step: False
    """Goes back inside the step; returns whether there was a way."""
    return_to: Callable[[Deciding, Any, Any], bool] = lambda _deciding, _step, _at: False
    """Goes back inside the step to where something was confirmed that is taken back; returns whether there is a way."""
    leave_out: Callable[[Deciding, Any], bool] = lambda _deciding, _step: False
    """Takes "skip this" inside the step; returns whether it did."""
    answers: Mapping[str, Callable[[Telling, Any], Sequence[str]]] = field(default_factory=dict)
    """What is said to a question, by its intent, where such a step has an answer of its own."""
    open: Callable[[Here, Any, Collection[str]], Sequence[OpenThing]] = lambda _here, _step, _named: ()
    """What is open in the step or went wrong in it; the steps with the ids given are told to be open themselves."""
    stripped: Callable[[Here, Any], Sequence[tuple[str, int]]] = lambda _here, _step: ()
    """Which fasteners (name and number) are out since such steps and not back in, told of at one of them."""
    groups: Callable[[Here, Any], Sequence[str]] = _nothing
    """Ids of the groups of fasteners that such a step is about, the one at hand first."""
    due: Callable[[Here, Any], int | None] = lambda _here, _step: None
    """When something happens in the step by itself [ms]; ``settle`` puts it when its time has come."""
    share_left: Callable[[Here, Any], Fraction] = lambda _here, _step: Fraction(1)
    """How much of the work of such a step is left, from 0 to 1, once it is partly done."""
    about: Callable[[Here, Any], int | None] = lambda _here, _step: None
    """About how long the whole of such a step takes [s], reckoned from what it is; None where that says nothing."""
    of_bay: Callable[[Here, Any], OfBay | None] = lambda _here, _step: None
    """The tools of the bay that such a step is done with; None where they are those that it names, or nobody knows."""
    told_anew: bool = False
    """Whether the step is told from its present place when the job is taken up again, instead of as a whole."""


SESSION: Room[StepPart] = Room("session")


def add_kind(kind: type[Step], part: StepPart) -> None:
    """Make a kind of step known to the session."""
    table.add_rows(*(row for row in part.rows if row.name not in table.all_rows()))
    KINDS.add(kind, SESSION, part)
    KINDS.add(kind, STANDING, part.standing)


def part_of(step: Step) -> StepPart:
    """Return what the kind of ``step`` brought.

    Raises:
        LookupError: the kind is not known to the session.
    """
    return KINDS.part(step, SESSION)
