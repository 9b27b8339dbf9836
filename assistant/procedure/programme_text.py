"""A tightening programme in words for paper and screen: targets, limits and what else a run asks for."""

from __future__ import annotations

from assistant.facts.codes import Way
from assistant.fastening.quantities import Angle
from assistant.fastening.turning import stroke_angles
from assistant.faults import Fault
from assistant.language.chosen import WRITTEN
from assistant.language.values import StageAt
from assistant.procedure.format.bands import written_band
from assistant.procedure.steps.tighten import Pass, Run, Stage, TightenStep

_DONE = {Way.TORQUE: "torque", Way.ANGLE: "a further", Way.LOOSEN: "loosen by", Way.CHECK: "check at"}


def target_text(one: Pass, run: Run) -> str:
    """Return what a run of a pass is taken to, such as ``torque 32 N·m`` or ``a further 60°``."""
    return f"{_DONE[one.way]} {run.target}"


def extras_text(run: Run, *, limits: bool = True, tool: str = "") -> str:
    """Return what else a run asks for: limits, drag, adapter, strokes; empty when there is nothing.

    ``tool`` is the name or the id of the tool: through a multiplier, strokes follow from its ratio, which is not known.
    """
    said = []
    if limits and (run.low is not None or run.high is not None):
        said.append(f"limits {written_band(run.low, run.high)}")
    if run.drag is not None:
        said.append(f"plus {run.drag} drag of the thread")
    if run.adapter is not None:
        said.append(f"{run.adapter.name or 'adapter'} {run.adapter.length} at {run.adapter.angle}")
    if run.swing is not None and WRITTEN.needs.is_multiplier(tool):
        said.append(f"in strokes of at most {run.swing} at the handle, which turns further by the gear ratio")
    elif run.swing is not None and isinstance(run.target, Angle):
        parts = stroke_angles(run.target, run.swing)
        if not isinstance(parts, Fault) and len(parts) > 1:
            equal = f" of {parts[0]}" if len(set(parts)) == 1 else f": {', '.join(map(str, parts))}"
            said.append(f"in {len(parts)} strokes{equal}")
    if run.drafted:
        said.append(f"order drafted ({run.drafted})")
    return "; ".join(said)


def place_text(at: StageAt) -> str:
    """Return which stage, pass and repetition this is, such as ``3 (final turn), pass 2 of 4, 3rd of 5``."""
    said = [f"{at.printed or at.number}{f' ({at.label})' if at.label else ''}"]
    if at.parts > 1:
        said.append(f"pass {at.part} of {at.parts}")
    if at.times > 1:
        said.append(f"{ordinal(at.time)} of {at.times}")
    return ", ".join([*said, *(["once more"] if at.again else [])])


def stage_text(at: StageAt, stage: Stage, *, each: bool = False) -> str:
    """Return the head of a pass: its number, and what is special about it.

    The place is that of its first repetition, unless ``each`` has a head of its own.
    """
    one = stage.passes[at.part - 1]
    said = [f"Stage {place_text(at if each else at._replace(times=1))}"]
    if one.repeat > 1 and not each:
        said.append(f"{one.repeat} times")
    if one.together:
        said.append("the bolts of a run together")
    if one.to_yield:
        said.append("to yield")
    if stage.reseat and at.part == len(stage.passes) and (at.time == one.repeat or not each):
        said.append(f"then once more from stage {stage.reseat}")
    return ", ".join(said)


def stage_place(step: TightenStep, stage: int, part: int, time: int = 1, *, again: bool = False) -> StageAt:
    """Return the place of a pass: of the ``stage`` [from 1] of ``step`` its ``part`` and repetition, each from 1."""
    one = step.stages[stage - 1]
    of = len(one.passes), time, one.passes[part - 1].repeat
    return StageAt(stage, len(step.stages), one.number, one.label, part, *of, again)


def ordinal(number: int) -> str:
    """Return a place in an order, such as ``1st``.

    >>> [ordinal(number) for number in (1, 2, 3, 4, 11, 12, 13, 21, 102, 111)]
    ['1st', '2nd', '3rd', '4th', '11th', '12th', '13th', '21st', '102nd', '111th']
    """
    teen = 10 < number % 100 < 14
    return f"{number}{'th' if teen else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"
