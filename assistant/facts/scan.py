"""What a barcode or QR reader read, and what that was taken for. A reader is a keyboard, and can say nothing else."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from assistant.facts.base import PERSONAL, Fact
from assistant.facts.bay import BayFact
from assistant.facts.inputs import Input


class ScanWhat(StrEnum):
    """What a code was taken for: one thing that is known, several of them, or nothing."""

    TOOL = "tool"
    PART = "part"
    MACHINE = "machine"
    SEVERAL = "several"
    UNKNOWN = "unknown"


class ScanDoubt(StrEnum):
    """What is wrong with a vehicle's number: its length, a letter, its check digit, or that where no law has it."""

    LENGTH = "length"
    LETTER = "letter"
    CHECK = "check"
    NOT_CHECKED = "not_checked"


class ScanFrom(StrEnum):
    """Which keyboard the reader is: that of the computer, or one of whoever looks at the page."""

    KEYS = "keys"
    PAGE = "page"


class Scanned(Input, frozen=True, kw_only=True):
    """A code was read: its text, and what it was taken for.

    ``names`` are the ids of tools or items that it may mean: one, or those of several. A number of a vehicle has
    ``doubt`` where something is wrong with it.
    """

    KIND = "scanned"
    text: Annotated[str, PERSONAL]
    what: ScanWhat
    source: ScanFrom
    names: tuple[str, ...] = ()
    doubt: ScanDoubt | None = None


class ToolStands(StrEnum):
    """How a tool that somebody took stands to the present bolts.

    It was chosen for them before, is chosen for them now, cannot do them, is not the one that the procedure names, or
    there are none that a tool is chosen for.
    """

    CHOSEN = "chosen"
    NOW = "now"
    CANNOT = "cannot"
    NAMED_OTHER = "named_other"
    NO_BOLTS = "no_bolts"


class ToolTaken(Fact, frozen=True, kw_only=True):
    """Somebody took the tool with the id ``tool`` of the tool file, by its label."""

    KIND = "tool_taken"
    tool: str
    stands: ToolStands


class PartHere(Fact, frozen=True, kw_only=True):
    """A thing of the preparation is here: the card (key of its ``place``), its ``number`` there, and the id of it."""

    KIND = "part_here"
    place: str
    number: int
    item: str


class MachineSeen(Fact, frozen=True, kw_only=True):
    """The label of a machine was read in a job; ``same``: it is the one that the job was opened for."""

    KIND = "machine_seen"
    same: bool


class CardScanned(BayFact, frozen=True, kw_only=True):
    """The job was begun by a code, of an ``order`` or the machine alone: ``fields`` of its first entry are of it."""

    KIND = "card_scanned"
    order: Annotated[str, PERSONAL]
    fields: tuple[str, ...]
    source: ScanFrom
