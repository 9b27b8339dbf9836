"""What a session keeps only so that it can be asked for: the last torque and reading, reminders, doubts, earlier times.

Times are milliseconds since the epoch unless a docstring says otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from assistant.facts import Quantity
from assistant.facts.codes import ReadAt, Side
from assistant.facts.packs import BoxShims, PackFound, PackPutIn, PackWorkedOut


@dataclass(frozen=True, slots=True)
class LastTorque:
    """The torque that bolts of a group got last, as it was confirmed at ``at_ms``.

    ``setting`` is that of the wrench where one was named; ``reading`` was read off at a single bolt.
    """

    step: str
    stage: int
    group: str
    bolts: tuple[int, ...]
    target: Quantity
    setting: Quantity | None
    reading: Quantity | None
    at_ms: int


@dataclass(frozen=True, slots=True)
class LastReading:
    """What was read off last: in a ``step``, at one ``bolt`` of a ``group`` in it, or at a ``cell`` of its table."""

    step: str
    reading: Quantity
    group: str = ""
    bolt: int = 0
    cell: tuple[str, str] | None = None
    """Ids of row and column."""


@dataclass(frozen=True, slots=True)
class PhotoAt:
    """A photo that counts: its number from one, the id of its step ("" for none), its hash, and when it came."""

    number: int
    step: str
    sha256: str
    came_ms: int


@dataclass(frozen=True, slots=True)
class PhotosTaken:
    """The photos of the job that count, in order; the number of the last that ever came, and steps left without."""

    taken: tuple[PhotoAt, ...] = ()
    last: int = 0
    left_out: frozenset[str] = frozenset()

    def of(self, *steps: str) -> tuple[PhotoAt, ...]:
        """Return those of ``steps`` (ids), in order."""
        return tuple(one for one in self.taken if one.step in steps)


@dataclass(frozen=True, slots=True)
class GoneRevision:
    """That the ``revision`` of the job's procedure was withdrawn ``on`` a day (YYYY-MM-DD), and the ``reason``.

    ``holds``: nobody has insisted on beginning with it yet.
    """

    revision: str
    on: str
    reason: str
    holds: bool = False


@dataclass(frozen=True, slots=True)
class RunningReminder:
    """Somebody is to be reminded after so many ``minutes``, at ``ends_ms``; it was asked for in a ``step``, or none."""

    minutes: int
    ends_ms: int
    step: str | None = None


@dataclass(frozen=True, slots=True)
class Times:
    """How long steps took in earlier jobs [s]: for ``whom``, in ``own_jobs`` jobs, and for all in ``bay_jobs``."""

    whom: str = ""
    own: Mapping[str, int] = field(default_factory=dict)
    own_jobs: int = 0
    bay: Mapping[str, int] = field(default_factory=dict)
    bay_jobs: int = 0


@dataclass(frozen=True, slots=True)
class InDoubt:
    """A bolt of a group that is in doubt by what was read off, and on which side it lies.

    ``least`` and ``most`` are what its joint can account for, where it is beyond that; ``by_neighbours`` says that it
    strikes among those.
    """

    group: str
    what: ReadAt
    side: Side
    least: Quantity | None = None
    most: Quantity | None = None
    by_neighbours: bool = False


@dataclass(frozen=True, slots=True)
class Packs:
    """The packs of shims that are proposed, and those that were put in or found, by the id of what each is for.

    ``box`` is what is in the box of the bay; None where there is no list of it.
    """

    worked_out: Mapping[str, PackWorkedOut] = field(default_factory=dict)
    put_in: Mapping[str, PackPutIn] = field(default_factory=dict)
    found: Mapping[str, PackFound] = field(default_factory=dict)
    box: tuple[BoxShims, ...] | None = None
