"""A step that tightens groups of bolts through stages."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from assistant.fastening.programme import Way
from assistant.fastening.units import Angle, Length, Torque
from assistant.procedure.model import Step


@dataclass(frozen=True, slots=True)
class Reach:
    """The crowfoot or lever extension that the place asks for.

    ``length`` is from the centre of the drive to the centre of the bolt, ``angle`` that to the wrench (0° straight on).
    """

    length: Length
    angle: Angle
    name: str = ""


@dataclass(frozen=True, slots=True)
class Run:
    """Bolts that are tightened together to one target, in the order given, before the next run of the stage.

    In a stage that loosens, ``target`` is the angle that they are turned back.
    """

    group: str
    bolts: tuple[int, ...]
    target: Torque | Angle
    line: int = 0
    low: Torque | Angle | None = None
    high: Torque | Angle | None = None
    """Limits of a reading after the target, both ends included, of the kind of the target."""
    drag: Torque | None = None
    """Prevailing torque of a self-locking thread, which comes on top of the target."""
    adapter: Reach | None = None
    swing: Angle | None = None
    """How far the handle can move in the space; a further angle is split into strokes of at most this."""
    drafted: str = ""
    """The general pattern that made the order; empty when the procedure gives it."""


class StagePurpose(StrEnum):
    """What a stage is for: to tighten, to loosen again, or to check what was tightened at a torque."""

    TIGHTEN = "tighten"
    LOOSEN = "loosen"
    CHECK = "check"


@dataclass(frozen=True, slots=True)
class Stage:
    """One pass: every run in order. All targets of a stage are of one kind, torque or further angle."""

    runs: tuple[Run, ...]
    tool: str | None = None
    note: str = ""
    exception: str = ""
    """Why this stage does not take every bolt of the groups of its step exactly once; empty when it does."""
    line: int = 0
    purpose: StagePurpose = StagePurpose.TIGHTEN
    to_yield: bool = False
    """Whether the stage stretches the bolts for good, so that they are never used again."""
    repeat_from: int | None = None
    """Only where the stage loosens: the stages from this number (1 is the first) to here are done once more."""

    @property
    def way(self) -> Way:
        """Return what the stage does, as the trade's arithmetic names it."""
        if self.purpose is StagePurpose.TIGHTEN:
            return Way.ANGLE if self.is_angle else Way.TORQUE
        return Way.LOOSEN if self.purpose is StagePurpose.LOOSEN else Way.CHECK

    @property
    def is_angle(self) -> bool:
        """Return whether this stage turns bolts by a further angle."""
        return isinstance(self.runs[0].target, Angle)


@dataclass(frozen=True, slots=True)
class TightenStep(Step):
    """Tighten groups of bolts through stages."""

    stages: tuple[Stage, ...] = ()
