"""A step that tightens groups of bolts through stages, as procedures print them; its keys: ``tighten_keys.py``."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar

from assistant.facts.codes import ReadAt, Way
from assistant.fastening.quantities import Angle, Length, Torque
from assistant.procedure.model import Step, Traits


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
    """Bolts of one group that are taken to one target, in the order given, before the next run of the pass.

    In a pass that loosens, ``target`` is the angle that they are turned back.
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
    tool: str | None = None
    """Id of the support equipment for this run, where it is another than that of its pass."""
    drafted: str = ""
    """The general pattern that made the order; empty when the procedure gives it."""


class StagePurpose(StrEnum):
    """What a pass is for: to tighten, to loosen again, or to check what was tightened at a torque."""

    TIGHTEN = "tighten"
    LOOSEN = "loosen"
    CHECK = "check"


@dataclass(frozen=True, slots=True)
class Pass:
    """Once over its bolts: every run in order. All targets of a pass are of one kind, torque or further angle."""

    runs: tuple[Run, ...]
    tool: str | None = None
    note: str = ""
    line: int = 0
    purpose: StagePurpose = StagePurpose.TIGHTEN
    to_yield: bool = False
    """Whether it stretches the bolts for good, so that they are never used again."""
    repeat: int = 1
    """How often it is done, one time right after the other."""
    together: bool = False
    """Whether the bolts of each run are turned at the same time, so that they are never told or confirmed apart."""

    read: ReadAt | None = None
    """What is read off at each bolt beside its target: its final torque after an angle, or its angle at a torque."""

    @property
    def way(self) -> Way:
        """Return what the pass does, as the trade's arithmetic names it."""
        if self.purpose is StagePurpose.TIGHTEN:
            return Way.ANGLE if self.is_angle else Way.TORQUE
        return Way.LOOSEN if self.purpose is StagePurpose.LOOSEN else Way.CHECK

    @property
    def is_angle(self) -> bool:
        """Return whether this pass turns bolts by a further angle."""
        return isinstance(self.runs[0].target, Angle)


@dataclass(frozen=True, slots=True)
class Stage:
    """What the procedure prints as one stage: its ``passes``, in their order; most have one."""

    passes: tuple[Pass, ...]
    tool: str | None = None
    note: str = ""
    exception: str = ""
    """Why this stage does not take every bolt of the groups of its step; empty when it does."""
    line: int = 0
    number: str = ""
    """The number that the procedure prints, such as ``3`` or ``2a``; empty when that is its place in the step."""
    label: str = ""
    """What the procedure calls the stage, in place of a number."""
    reseat: str = ""
    """Only where the stage loosens: the number of the stage from which all is done once more."""

    @classmethod
    def single(
        cls, runs: tuple[Run, ...], *, tool: str | None = None, note: str = "", exception: str = "", line: int = 0,
        number: str = "", label: str = "", reseat: str = "", **kind: Any,
    ) -> Stage:  # fmt: skip
        """Return a stage of one pass over ``runs``; ``kind`` is the rest of that pass."""
        return cls((Pass(runs, line=line, **kind),), tool, note, exception, line, number, label, reseat)

    @property
    def runs(self) -> tuple[Run, ...]:
        """Return the runs of all passes, in order; a bolt may be in several."""
        return tuple(run for one in self.passes for run in one.runs)

    @property
    def plain(self) -> bool:
        """Return whether the stage is one pass with nothing of its own beside it."""
        return len(self.passes) == 1 and not self.passes[0].tool and not self.passes[0].note

    def tool_of(self, one: Pass, run: Run) -> str | None:
        """Return the id of the tool for ``run`` of the pass ``one``: its own, that of its pass, that of the stage."""
        return run.tool or one.tool or self.tool

    @property
    def tools(self) -> tuple[str, ...]:
        """Return the ids of the tools that the stage names, each once."""
        named = (self.tool, *(self.tool_of(one, run) for one in self.passes for run in one.runs))
        return tuple(dict.fromkeys(tool for tool in named if tool))


@dataclass(frozen=True, slots=True)
class TightenStep(Step):
    """Tighten groups of bolts through stages."""

    traits: ClassVar[Traits] = Traits(puts_on=True, loads=True, names_new=False)

    stages: tuple[Stage, ...] = ()

    @property
    def named_inside(self) -> tuple[str, ...]:
        """Return the tools of the stages, their passes and runs."""
        return tuple(dict.fromkeys(tool for stage in self.stages for tool in stage.tools))

    def place_of(self, number: str) -> int | None:
        """Return the place [from 1] of the stage with a printed ``number``; None when there is none.

        A stage that prints no number has its place.
        """
        printed = [one.number or str(place) for place, one in enumerate(self.stages, 1)]
        return printed.index(number) + 1 if number in printed else None
