"""The procedure as the session sees it: plain frozen values, already checked by the reader.

Words follow the open standards: preliminary requirements (conditions, persons, support equipment, supplies, spares,
safety), steps, and closing requirements, as in S1000D procedural data modules and the OASIS DITA machinery task.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any, ClassVar

from assistant.advice.joint import Material
from assistant.facts.codes import SignalWord
from assistant.fastening.quantities import Angle, Length
from assistant.procedure.answering import Approval, Waiver
from assistant.procedure.items import Item as Item  # noqa: PLC0414 (others know it from here)
from assistant.procedure.items import Person as Person  # noqa: PLC0414


class HazardScheme(StrEnum):
    """Whose sense of the signal words: ANSI Z535 (notice is for property) or S1000D (caution is for equipment)."""

    ANSI = "ansi"
    S1000D = "s1000d"


@dataclass(frozen=True, slots=True)
class Hazard:
    """One hazard message: signal word, what the hazard is, what it does, how to avoid it."""

    word: SignalWord
    hazard: str
    consequence: str
    avoid: str
    line: int = 0


@dataclass(frozen=True, slots=True)
class HiddenBolt:
    """A bolt that is easily forgotten, and where it hides (words for the ear)."""

    bolt: int
    where: str


class LayoutKind(StrEnum):
    """How bolts sit: on a circle, in rows, or anywhere."""

    CIRCLE = "circle"
    ROWS = "rows"
    FREE = "free"


@dataclass(frozen=True, slots=True)
class Spot:
    """Where one bolt sits: ``x`` to the right and ``y`` upwards, both in the one scale of the drawing."""

    bolt: int
    x: Decimal
    y: Decimal


@dataclass(frozen=True, slots=True)
class Layout:
    """Where the bolts of a group sit, as somebody sees them who stands in front of them.

    A circle has its bolts clockwise from ``start``, which is measured clockwise from twelve o'clock. ``rows`` go from
    left to right, the top one first. Lengths are in the one scale of the drawing, and None where they do not matter.
    """

    kind: LayoutKind
    circle: tuple[int, ...] = ()
    start: Angle | None = None
    diameter: Decimal | None = None
    rows: tuple[tuple[int, ...], ...] = ()
    width: Decimal | None = None
    height: Decimal | None = None
    x: Decimal = Decimal(0)
    y: Decimal = Decimal(0)
    """The middle of a circle or of the rows."""
    spots: tuple[Spot, ...] = ()
    line: int = 0


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits of a value that is read off, both ends included; ``unit`` is a key of the units that can be spoken."""

    low: Decimal | None
    high: Decimal | None
    unit: str


@dataclass(frozen=True, slots=True)
class Group:
    """Fasteners of one size that belong together. ``bolts`` are their numbers on the bolt map, in rising order."""

    id: str
    name: str
    size: str
    bolts: tuple[int, ...]
    where: str = ""
    hidden: tuple[HiddenBolt, ...] = ()
    single_use: bool = False
    spare: str | None = None
    line: int = 0
    thread: str = ""
    """Such as M10, M10×1.25, 3/8-24 or #10-32; empty when it is not named, and nothing is judged then."""
    strength: str = ""
    """Property class such as 8.8, or the grade of an inch thread."""
    friction: Decimal | None = None
    """Coefficient of friction [1] in the thread and under the head, when the procedure states it."""
    layout: Layout | None = None
    order: tuple[int, ...] = ()
    """Every bolt in the order of tightening; empty when the runs give it themselves."""
    free_length: Limits | None = None
    """The longest free length with which a bolt is used again, where the procedure says one."""
    clamp_length: Length | None = None
    """What lies between head and nut, or the first thread that bears; None when it is not known."""
    clamped: Material | None = None
    """What the parts between are made of; None when it is not known."""
    retighten_at_most: int | None = None
    """How often the same bolts may be tightened again after they came loose; None when nothing limits it."""
    moves_on_from: Decimal | None = None
    """Least part of its first torque [%] at which a bolt may move on later; None when nothing is asked for."""
    order_drafted: str = ""
    """The general pattern that made ``order``, such as cross pattern; empty when the procedure gives the order."""


class TimerKind(StrEnum):
    """``OPEN`` is a limit: join before it ends. ``CURE`` and ``COOL`` are waits: go on only after it ends."""

    OPEN = "open"
    CURE = "cure"
    COOL = "cool"


@dataclass(frozen=True, slots=True)
class Timer:
    """A timer of the procedure; ``seconds`` is its length."""

    id: str
    name: str
    kind: TimerKind
    seconds: int
    line: int = 0


@dataclass(frozen=True, slots=True)
class Traits:
    """What a kind of step is like, for what looks at steps of any kind."""

    takes_off: bool = False
    """Its text may take off a part that must go back, or open what must be shut."""
    puts_on: bool = False
    """Its text may put a part back."""
    handles: bool = False
    """It moves parts, and what its text names was worked on."""
    asks: bool = False
    """It is answered, so its text may be a question."""
    may_turn: bool = False
    """Its text may turn the machine."""
    loads: bool = False
    """It puts a torque on the machine, which a lock must bear."""
    names_new: bool = True
    """What its text calls new is no part that its own keys name."""


class When(StrEnum):
    """What leads into a branch: the answer of a check, a reading out of limits, or that the work is granted."""

    NO = "no"
    YES = "yes"
    OUTSIDE = "outside"
    BELOW = "below"
    ABOVE = "above"
    OFFER = "offer"


class Onward(StrEnum):
    """What follows behind a branch: the place behind its step, the step once more, or nothing without a reason."""

    GO_ON = "go on"
    AGAIN = "again"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Branch:
    """Steps that are done only when something leads there, with what they alone need. ``minutes`` is how long it is.

    Work that is ``extra`` opens only when somebody granted it.
    """

    when: When
    steps: tuple[Step, ...]
    title: str = ""
    why: str = ""
    minutes: Decimal | None = None
    tools: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()
    spares: tuple[str, ...] = ()
    then: Onward = Onward.GO_ON
    extra: bool = False
    line: int = 0


@dataclass(frozen=True, slots=True)
class Step:
    """What every step has. ``text`` is one command for the ear; ``hazards`` are read, and confirmed, before it."""

    traits: ClassVar[Traits] = Traits()

    id: str
    text: str
    hazards: tuple[Hazard, ...] = ()
    info: str = ""
    why: str = ""
    """Why it is done, for whoever asks."""
    tools: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()
    minutes: Decimal | None = None
    starts_timer: str | None = None
    before_timer: str | None = None
    """An OPEN timer that must still be running when this step is confirmed."""
    line: int = 0
    refits: str | None = None
    """Id of the step that took off what this one puts back, where the words do not show it."""
    not_refitted: str = ""
    """Why what this step takes off stays off."""
    lock: str | None = None
    """Id of the tool that locks the machine and goes in with this step."""
    unlock: str | None = None
    """Id of the tool that locks the machine and comes out with this step."""
    turns: bool | None = None
    """Whether the step turns the machine; None when nobody said."""
    against: tuple[str, ...] = ()
    """Ids of the locks that hold against the torque of this step."""
    gate: bool = False
    """Whether nothing passes the step but its right answer, or a second person who releases it."""
    picture: str = ""
    """Name of a photo or a drawing that lies beside the procedure file, or ""."""
    witness: bool = False
    """Whether a second person looks at what was done, and is written down."""
    photo: bool = False
    """Whether a photo is to be taken of what was done."""
    people: int = 1
    """How many people it takes."""
    helper: bool = False
    """Whether a second person may do it alone, beside other work."""
    offer: Branch | None = None
    """Work that is worth doing while this step lets it be done."""
    needs: tuple[str, ...] | None = None
    """Ids of the steps that must be done before this one; None when nobody said: then it is the one before."""

    @property
    def branches(self) -> tuple[Branch, ...]:
        """Return where the step may lead, in the order in which that stands behind it."""
        return () if self.offer is None else (self.offer,)

    @property
    def waits_for(self) -> str:
        """Return the id of the timer that the step waits for; empty when it waits for none."""
        return ""

    @property
    def fits(self) -> tuple[str, ...]:
        """Return the ids of the spares that the step fits."""
        return ()

    @property
    def things(self) -> tuple[str, ...]:
        """Return the ids of what the step needs of the preparation."""
        locks = (one for one in (self.lock, self.unlock) if one)
        return (*self.tools, *self.supplies, *self.against, *locks, *self.fits, *self.named_inside)

    @property
    def named_inside(self) -> tuple[str, ...]:
        """Return the ids of tools that only parts of the step name."""
        return ()

    def in_row(self, row: Any, each: str) -> Step:  # noqa: ARG002
        """Return the step as it stands in the row of a block, where its kind takes more of it than id and text."""
        return self

    @property
    def takes_out(self) -> str:
        """Return the id of the group of fasteners that the step takes out; empty when it takes out none."""
        return ""

    def begins_anew(self, group: Group) -> bool:  # noqa: ARG002
        """Return whether nothing that was done to the fasteners of ``group`` holds any more behind this step."""
        return False


@dataclass(frozen=True, slots=True)
class Chapter:
    """A named run of steps, such as "Strip" or "Refit"."""

    name: str
    steps: tuple[Step, ...]
    line: int = 0


@dataclass(frozen=True, slots=True)
class Interval:
    """When the work is due again, whichever comes first: ``distance`` in ``unit`` (km or mi), ``hours``, ``months``."""

    distance: Decimal | None = None
    unit: str = "km"
    hours: Decimal | None = None
    months: int | None = None


@dataclass(frozen=True, slots=True)
class Procedure:
    """A whole procedure."""

    id: str
    title: str
    revision: str
    source: str
    machine: str
    hazard_scheme: HazardScheme
    book_time: int | None
    """How long the whole job takes by the book [s]."""
    conditions: tuple[str, ...]
    persons: tuple[Person, ...]
    support_equipment: tuple[Item, ...]
    supplies: tuple[Item, ...]
    spares: tuple[Item, ...]
    safety: tuple[Hazard, ...]
    groups: tuple[Group, ...]
    timers: tuple[Timer, ...]
    chapters: tuple[Chapter, ...]
    closing: tuple[Step, ...]
    sha256: str = ""
    """Hash of the file's bytes, in hexadecimal."""
    content: str = ""
    """Hash of the file without its approval, which is what an approval approves; the first characters, hexadecimal."""
    approval: Approval | None = None
    waivers: tuple[Waiver, ...] = ()
    due: Interval | None = None
    values: str = ""
    """"invented" when no maker gave them; "" when nothing is said of them."""

    @property
    def approved(self) -> bool:
        """Return whether somebody approved this very content."""
        return self.approval is not None and self.approval.content == self.content

    @property
    def steps(self) -> tuple[Step, ...]:
        """Return the steps of all chapters in order, without the closing requirements and without branches."""
        return tuple(step for chapter in self.chapters for step in chapter.steps)

    @property
    def every_step(self) -> tuple[Step, ...]:
        """Return all steps that there may be: those of branches behind their step, closing requirements last."""
        return with_branches((*self.steps, *self.closing))


def with_branches(steps: Iterable[Step]) -> tuple[Step, ...]:
    """Return ``steps``, each with those of its branches behind it."""
    found: list[Step] = []
    for step in steps:
        found.append(step)
        for branch in step.branches:
            found += with_branches(branch.steps)
    return tuple(found)
