"""What comes from outside: the inputs of a session."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, ClassVar

import msgspec

from assistant.events import Clarity, Source
from assistant.facts.base import PERSONAL, Fact, Quantity


class Input(Fact, frozen=True, kw_only=True):
    """An input: the facts behind it, up to the next input, follow from it."""

    IS_INPUT: ClassVar[bool] = True


class ToolFile(msgspec.Struct, frozen=True):
    """A bay's tool file as it was read: its name, its text, the hash of that, and clicks of each wrench in other jobs.

    The clicks [count] are those since the calibration of the wrench.
    """

    name: str
    yaml: str
    sha256: str
    clicks: Mapping[str, int]


class Start(msgspec.Struct, frozen=True):
    """The clocks of the computer when a program took a job up [ms]: by them the next one knows how much time passed.

    ``boot`` names the start of the machine, ``boot_ms`` is the time since then, ``wall_ms`` what its clock told.
    """

    boot: str
    boot_ms: int
    wall_ms: int


class Approved(StrEnum):
    """Whether somebody approved the procedure as it is."""

    NO = "no"
    CHANGED = "changed"
    YES = "yes"


class Opened(Input, frozen=True, kw_only=True):
    """The job began, with the whole of its procedure and of its tool file."""

    KIND = "opened"
    title: str
    procedure_id: str
    procedure_revision: str
    procedure_sha256: str
    procedure_file: str
    procedure_yaml: str
    procedure_path: Annotated[str, PERSONAL] = ""
    approved: Approved = Approved.NO
    approved_by: Annotated[str, PERSONAL] = ""
    approved_on: str = ""
    operator: Annotated[str, PERSONAL] = ""
    customer: Annotated[str, PERSONAL] = ""
    asset: Annotated[str, PERSONAL] = ""
    meter: Quantity | None = None
    meter_restart: bool = False
    meter_note: Annotated[str, PERSONAL] = ""
    tools: ToolFile | None = None
    keep_audio: bool = False
    rehearsal: bool = False
    start: Start | None = None
    program: str = ""


class Resumed(Input, frozen=True, kw_only=True):
    """The job was taken up again; ``tools`` where another file than before was named, ``operator`` as it was given."""

    KIND = "resumed"
    operator: Annotated[str, PERSONAL] = ""
    tools: ToolFile | None = None
    start: Start | None = None
    program: str = ""


class HeardFar(StrEnum):
    """How far the reading of a hazard had come: to its end, as far as how to avoid it, or not so far."""

    ALL = "all"
    AVOID = "avoid"
    PART = "part"


class Utterance(Input, frozen=True, kw_only=True):
    """Something that was said, typed or pressed. ``confidence`` is from 0 to 1; ``hazard`` where one waits."""

    confidence: Decimal
    started_ms: int
    ended_ms: int
    source: Source
    clarity: Clarity
    hazard: HeardFar | None = None


class Understood(Utterance, frozen=True, kw_only=True):
    """It asked for ``intent``; ``words`` are those that were dictated."""

    KIND = "heard"
    intent: str
    number: Decimal | None = None
    words: Annotated[str, PERSONAL] = ""


class UnderstoodOf(Understood, frozen=True, kw_only=True):
    """The same with a name of the job in it: ``name`` is the id of what was named."""

    KIND = "heard_of"
    name: str


class UnderstoodAlike(UnderstoodOf, frozen=True, kw_only=True):
    """The same with a number that sounds like others which can be there too: ``alike``, in the unit that is read.

    ``name`` is the number where it was said alone.
    """

    KIND = "heard_alike"
    name: str = ""
    alike: tuple[Decimal, ...]


class UnclearWhy(StrEnum):
    """Why it was not understood: no words, less sure than its weight asks, or nothing that can be said here.

    ``TOO_LOUD`` is a critical phrase in noise as loud as the voice.
    """

    UNCLEAR = "unclear"
    UNSURE = "unsure"
    NOT_HERE = "not_here"
    TOO_LOUD = "too_loud"


class NotUnderstood(Utterance, frozen=True, kw_only=True):
    """It was not understood; ``text`` is what it sounded like."""

    KIND = "unclear"
    why: UnclearWhy
    text: Annotated[str, PERSONAL] = ""


class UnsureOf(NotUnderstood, frozen=True, kw_only=True):
    """It sounded like ``intent``, for which the job waits, but less surely than that asks."""

    KIND = "unsure_of"
    intent: str


class TimeCame(Input, frozen=True, kw_only=True):
    """A time came that matters: ``due_ms``."""

    KIND = "clock"
    due_ms: int


class SetWhen(StrEnum):
    """When the computer's clock was set: while the program ran, or between its end and the next."""

    RUNNING = "running"
    BETWEEN = "between"


class ClockSet(Input, frozen=True, kw_only=True):
    """The computer's clock was set by ``by_ms`` (negative: back); the job's own time did not move."""

    KIND = "clock_stepped"
    by_ms: int
    when: SetWhen = SetWhen.RUNNING
