"""A tightening programme in words for paper and screen: targets, limits and what else a run asks for."""

from __future__ import annotations

from assistant.facts.codes import Way
from assistant.fastening.quantities import Angle
from assistant.fastening.turning import stroke_angles
from assistant.faults import Fault
from assistant.procedure.format.bands import written_band
from assistant.procedure.steps.tighten import Run, Stage

_DONE = {Way.TORQUE: "torque", Way.ANGLE: "a further", Way.LOOSEN: "loosen by", Way.CHECK: "check at"}


def target_text(stage: Stage, run: Run) -> str:
    """Return what a run is taken to, such as ``torque 32 N·m`` or ``a further 60°``."""
    return f"{_DONE[stage.way]} {run.target}"


def extras_text(run: Run, *, limits: bool = True) -> str:
    """Return what else a run asks for: limits, drag, adapter, strokes; empty when there is nothing."""
    said = []
    if limits and (run.low is not None or run.high is not None):
        said.append(f"limits {written_band(run.low, run.high)}")
    if run.drag is not None:
        said.append(f"plus {run.drag} drag of the thread")
    if run.adapter is not None:
        said.append(f"{run.adapter.name or 'adapter'} {run.adapter.length} at {run.adapter.angle}")
    if run.swing is not None and isinstance(run.target, Angle):
        parts = stroke_angles(run.target, run.swing)
        if not isinstance(parts, Fault) and len(parts) > 1:
            equal = f" of {parts[0]}" if len(set(parts)) == 1 else f": {', '.join(map(str, parts))}"
            said.append(f"in {len(parts)} strokes{equal}")
    if run.drafted:
        said.append(f"order drafted ({run.drafted})")
    return "; ".join(said)


def stage_text(number: int, stage: Stage) -> str:
    """Return the head of a stage: its number, and what is special about it."""
    said = [f"Stage {number}"]
    if stage.to_yield:
        said.append("to yield")
    if stage.repeat_from is not None:
        said.append(f"then once more from stage {stage.repeat_from}")
    return ", ".join(said)


def ordinal(number: int) -> str:
    """Return a place in an order, such as ``1st``.

    >>> [ordinal(number) for number in (1, 2, 3, 4, 11, 12, 13, 21, 102, 111)]
    ['1st', '2nd', '3rd', '4th', '11th', '12th', '13th', '21st', '102nd', '111th']
    """
    teen = 10 < number % 100 < 14
    return f"{number}{'th' if teen else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"
