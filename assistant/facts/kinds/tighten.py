"""What was done to bolts, with which tools, and what was read off at them."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum

import msgspec

from assistant.facts.asking import Ask
from assistant.facts.base import Bounds, Fact, Quantity
from assistant.facts.codes import Side, Way, Why
from assistant.facts.going import BoltAt


class Reached(Fact, frozen=True, kw_only=True):
    """In the tightening ``step``, ``bolt`` is next (None behind the last one)."""

    KIND = "reached"
    step: str
    bolt: BoltAt | None


class BoltsTaken(Fact, frozen=True, kw_only=True):
    """Bolts are taken one at a time from now on, or as a group."""

    KIND = "bolts_taken"
    one_by_one: bool


class LeadCode(StrEnum):
    """Why the tool that the procedure names is not used as it stands there."""

    WITHOUT = "without"
    NO_RATIO = "no_ratio"
    OUT_OF_REACH = "out_of_reach"
    ALONE = "alone"
    CANNOT = "cannot"
    NOT_IN_FILE = "not_in_file"
    NOTHING = "nothing"


class ToolLead(msgspec.Struct, frozen=True):
    """Of which run the named tool (id, or None) is not used as it stands there, and why."""

    run: int
    code: LeadCode
    tool: str | None


class ToolTrouble(msgspec.Struct, frozen=True):
    """What is wrong with a tool (id, or None), or must be known of it."""

    code: Why
    tool: str | None


class ToolsOfRun(msgspec.Struct, frozen=True):
    """What the bolts of a run are done with: ids of the tool file, setting, value at the bolt, accuracy [%].

    ``setting`` is None where nothing suits; then the ids are None too.
    """

    run: int
    group: str
    tool: str | None
    adapter: str | None
    multiplier: str | None
    setting: Quantity | None
    at_bolt: Quantity | None
    accuracy: Decimal | None


class ToolsChosen(Fact, frozen=True, kw_only=True):
    """What the bolts of a pass will be done with, said before it begins.

    They were chosen on ``day`` (since 1970, UTC), for ``unit`` ("": that of the procedure) and ``clicks`` of this job.
    """

    KIND = "tools_chosen"
    step: str
    stage: int
    turn: int
    choices: tuple[ToolsOfRun, ...]
    gauge: str | None
    changes: int
    first: tuple[ToolLead, ...]
    faults: tuple[ToolTrouble, ...]
    warnings: tuple[ToolTrouble, ...]
    day: int
    unit: str
    clicks: Mapping[str, int]


class PlansDropped(Fact, frozen=True, kw_only=True):
    """Tools are chosen anew where they are said next: somebody takes the work up, or asked for another unit."""

    KIND = "plans_dropped"


class BoltsTightened(Fact, frozen=True, kw_only=True):
    """Bolts of a run were taken to their target, at ``at_ms``.

    ``target`` is None for loosening until no force is left; an angle is a further one. ``setting`` is that of the
    wrench, ``clicks`` are its own. A single bolt may have a ``reading``, with the side of the limits on which it lies,
    or of the general ``tolerance`` [%] where the procedure has none.
    """

    KIND = "tightened"
    step: str
    stage: int
    turn: int
    run: int
    group: str
    bolts: tuple[int, ...]
    way: Way
    target: Quantity | None
    limits: Bounds
    drag: Quantity | None = None
    tool: str | None = None
    adapter: str | None = None
    multiplier: str | None = None
    setting: Quantity | None = None
    clicks: int = 0
    reading: Quantity | None = None
    verdict: Side | None = None
    tolerance: Decimal | None = None
    single: bool = False
    repeated: bool = False
    at_ms: int = 0


class StageDone(Fact, frozen=True, kw_only=True):
    """A pass of a stage came to its end; ``not_tightened`` are bolts that were left out."""

    KIND = "stage_done"
    step: str
    stage: int
    turn: int
    not_tightened: tuple[int, ...] = ()


class OutOfLimits(Fact, frozen=True, kw_only=True):
    """A reading at a bolt is out of limits, and the bolt waits for a decision."""

    KIND = "out_of_limits"
    step: str
    stage: int
    turn: int
    run: int
    group: str
    bolt: int
    reading: Quantity
    limits: Bounds
    verdict: Side
    tolerance: Decimal | None = None


class BoltAgain(Fact, frozen=True, kw_only=True):
    """A bolt is done again after a reading out of limits."""

    KIND = "bolt_again"
    step: str
    stage: int
    turn: int
    run: int
    group: str
    bolt: int


class Undone(msgspec.Struct, frozen=True):
    """What a bolt had got in a pass of a step, and does not count any more."""

    step: str
    turn: int
    run: int
    bolt: int


class BoltsLoosened(Fact, frozen=True, kw_only=True):
    """Bolts got their further angle, were loosened, and begin again; ``worn`` when new ones must come."""

    KIND = "bolts_loosened"
    step: str
    stage: int
    turn: int
    group: str
    bolts: tuple[int, ...]
    undone: tuple[Undone, ...]
    reopened: tuple[str, ...]
    worn: bool = False


class BoltReplaced(Fact, frozen=True, kw_only=True):
    """A new bolt begins again with the first stage; ``reopened`` are steps that are not done any more."""

    KIND = "bolt_replaced"
    step: str
    stage: int
    turn: int
    group: str
    bolts: tuple[int, ...]
    undone: tuple[Undone, ...]
    reopened: tuple[str, ...]


class NewConfirmed(Fact, frozen=True, kw_only=True):
    """Fasteners of single use are new: all of the group, or (``in_place_of_worn``) those that were loosened."""

    KIND = "new_confirmed"
    step: str
    group: str
    bolts: tuple[int, ...]
    in_place_of_worn: bool = False


class BoltsTakenBack(Fact, frozen=True, kw_only=True):
    """Bolts of a run are open again: neither tightened nor left out, and nothing was read off at them.

    Those that ``must_loosen`` got their further angle, which words cannot undo: loosened or replaced, they begin again.
    """

    KIND = "bolts_taken_back"
    step: str
    stage: int
    turn: int
    run: int
    group: str
    bolts: tuple[int, ...]
    must_loosen: tuple[int, ...] = ()


class BoltsAsBefore(Fact, frozen=True, kw_only=True):
    """Bolts were not loosened, or not replaced, after all: they stay open.

    ``must_loosen`` are turned by a further angle, ``worn`` are those in whose place new ones must come.
    """

    KIND = "bolts_as_before"
    step: str
    group: str
    bolts: tuple[int, ...]
    must_loosen: tuple[int, ...] = ()
    worn: tuple[int, ...] = ()


class NewTakenBack(Fact, frozen=True, kw_only=True):
    """Nobody says any more that the fasteners of a group are new; ``worn``: those in whose place new ones must come."""

    KIND = "new_taken_back"
    step: str
    group: str
    worn: tuple[int, ...] = ()


class LongPause(Fact, frozen=True, kw_only=True):
    """So many seconds passed since a group got its torque, before its further angle."""

    KIND = "long_pause"
    step: str
    stage: int
    turn: int
    group: str
    seconds: int


class AskSkipBolts(Ask, frozen=True):
    """Leave bolts of a stage out."""

    step: str
    stage: int
    turn: int
    run: int
    bolts: tuple[int, ...]


class AskBoltReading(Ask, frozen=True):
    """Take a reading out of limits at a bolt."""

    step: str
    bolt: int
    reading: Quantity


class AskLoosened(Ask, frozen=True):
    """Are bolts that got their further angle loose again."""

    step: str
    bolts: tuple[int, ...]


class AskReplace(Ask, frozen=True):
    """Put in a new bolt."""

    step: str
    bolt: int
