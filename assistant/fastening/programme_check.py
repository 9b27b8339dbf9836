"""What can be wrong with a tightening programme: every fault, each with a hint."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from assistant.facts.codes import Way
from assistant.fastening.programme import BoltRun, Programme, ProgrammeStage, passes
from assistant.fastening.quantities import Angle, Torque
from assistant.faults import Fault

MOST_ACTIONS = 20_000


@dataclass(frozen=True, slots=True)
class StageFault(Fault):
    """A fault of one ``stage``, by its number in the programme from 1."""

    stage: int


def _target_fault(number: int, stage: ProgrammeStage, run: BoltRun) -> StageFault | None:
    """Say what is wrong with the target of a run, if anything is."""
    value, low, high = run.target.value, run.target.low, run.target.high
    where = f"Stage {number}, {run.group}"
    if stage.way is Way.LOOSEN:
        return None
    wanted: type[Torque | Angle] = Angle if stage.way is Way.ANGLE else Torque
    name = "a further angle, such as 90°" if stage.way is Way.ANGLE else "a torque, such as 40 N·m"
    if value is None:
        return StageFault(f"{where} has no target", f"give {name}", number)
    if any(part is not None and not isinstance(part, wanted) for part in (value, low, high)):
        return StageFault(
            f"{where} has a target of the wrong kind", f"give {name}, and limits of the same kind", number
        )
    if value.value <= 0:
        return StageFault(f"{where} has a target of {value}", "a target is more than zero", number)
    # Sizes compare across the two kinds, but the kinds are known to be one here.
    if (low is not None and low.size > value.size) or (high is not None and high.size < value.size):
        return StageFault(
            f"{where} has limits that leave out its target", "write low, target and high in rising order", number
        )
    return None


def programme_faults(programme: Programme) -> tuple[Fault, ...]:
    """Return every fault of a ``programme`` [stages]; none means that it can be expanded.

    Formula: every bolt of a stage once; torques rise, angles follow a torque, limits lie around the target.

    Source: common practice, no source.

    >>> programme_faults(Programme(()))[0].sentence
    'The programme has no stage: give at least one stage with a target'
    """
    if not programme.stages:
        return (Fault("The programme has no stage", "give at least one stage with a target"),)
    faults: list[Fault] = []
    for number, stage in enumerate(programme.stages, start=1):
        if not any(run.bolts for run in stage.runs):
            faults.append(StageFault(f"Stage {number} has no bolts", "list the bolts that it tightens", number))
        if stage.repeat_from is not None and (stage.way is not Way.LOOSEN or not 1 <= stage.repeat_from < number):
            faults.append(
                StageFault(
                    f"Stage {number} repeats from stage {stage.repeat_from}", "name a stage before loosening", number
                )
            )
        taken = Counter((run.group, bolt) for run in stage.runs for bolt in run.bolts)
        faults += [
            StageFault(
                f"Stage {number} lists bolt {bolt} of {group} {times} times", "list every bolt once in a stage", number
            )
            for (group, bolt), times in sorted(taken.items())
            if times > 1
        ]
        faults += _group_faults(programme, number, set(taken))
        for run in stage.runs:
            fault = _target_fault(number, stage, run)
            if fault is not None:
                faults.append(fault)
    return tuple(faults) if faults else tuple(_course_faults(programme))


def _course_faults(programme: Programme) -> list[Fault]:
    """Follow every bolt through the stages as they are done, repeats included; needs sound stages."""
    done = passes(programme)
    if sum(len(run.bolts) for _, stage in done for run in stage.runs) > MOST_ACTIONS:
        return [Fault("The programme is too long", f"the most is {MOST_ACTIONS} single actions")]
    reached: dict[tuple[str, int], Torque] = {}
    turned: set[tuple[str, int]] = set()
    faults: list[Fault] = []
    for number, stage in done:
        for run in stage.runs:
            fault = _course_fault(number, stage, run, reached, turned)
            if fault is not None:
                faults.append(fault)
    return list(dict.fromkeys(faults))


def _group_faults(programme: Programme, number: int, taken: set[tuple[str, int]]) -> list[StageFault]:
    """Say which bolts of a group that a stage takes are missing from it, and which are strangers."""
    faults = []
    for group in sorted({group for group, _ in taken}):
        known = programme.groups.get(group)
        if known is None:
            if programme.groups:
                faults.append(
                    StageFault(
                        f"Stage {number} names the group {group}", "use one of the groups of the procedure", number
                    )
                )
            continue
        here = {bolt for name, bolt in taken if name == group}
        faults += [
            StageFault(f"Stage {number} leaves out bolt {bolt} of {group}", "list every bolt of the group", number)
            for bolt in sorted(known - here)
        ]
        faults += [
            StageFault(
                f"Stage {number} lists bolt {bolt}, which is not in {group}", "take the bolts from the group", number
            )
            for bolt in sorted(here - known)
        ]
    return faults


def _course_fault(
    number: int,
    stage: ProgrammeStage,
    run: BoltRun,
    reached: dict[tuple[str, int], Torque],
    turned: set[tuple[str, int]],
) -> StageFault | None:
    """Follow each bolt through the stages and say where its course makes no sense; keeps the two books up to date."""
    value, where = run.target.value, f"Stage {number}, {run.group}"
    for bolt in run.bolts:
        key = (run.group, bolt)
        before = reached.get(key)
        if stage.way is Way.LOOSEN:
            reached.pop(key, None)
            turned.discard(key)
        elif stage.way is Way.ANGLE:
            if before is None:
                return StageFault(
                    f"{where}: bolt {bolt} is turned by an angle with no torque before it",
                    "give a torque first",
                    number,
                )
            turned.add(key)
        elif isinstance(value, Torque):
            if stage.way is Way.TORQUE and key in turned:
                return StageFault(
                    f"{where}: bolt {bolt} gets a torque after an angle", "loosen it first, or check it instead", number
                )
            if before is not None and value < before:
                return StageFault(
                    f"{where}: {value} is less than the {before} that bolt {bolt} has", "loosen it first", number
                )
            reached[key] = value
    return None
