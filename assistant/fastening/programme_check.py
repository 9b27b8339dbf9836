"""What can be wrong with a tightening programme: every fault, each with a hint."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from assistant.facts.codes import Way
from assistant.fastening.programme import BoltRun, Programme, ProgrammePass, done_passes
from assistant.fastening.quantities import Angle, Torque
from assistant.faults import Fault

MOST_ACTIONS = 20_000


@dataclass(frozen=True, slots=True)
class PassFault(Fault):
    """A fault of one pass, by its ``number`` in the programme from 1."""

    number: int


@dataclass(frozen=True, slots=True)
class _At:
    """Which pass is looked at: its ``number`` from 1, and how it is ``called``."""

    number: int
    called: str


def _fault(at: _At, reason: str, advice: str, group: str = "") -> PassFault:
    return PassFault(f"{at.called}, {group}{reason}" if group else f"{at.called} {reason}", advice, at.number)


def _at(number: int, one: ProgrammePass) -> _At:
    return _At(number, one.called or f"Stage {number}")


def _target_fault(at: _At, one: ProgrammePass, run: BoltRun) -> PassFault | None:
    """Say what is wrong with the target of a run, if anything is."""
    value, low, high = run.target.value, run.target.low, run.target.high
    if one.way is Way.LOOSEN:
        return None
    wanted: type[Torque | Angle] = Angle if one.way is Way.ANGLE else Torque
    name = "a further angle, such as 90°" if one.way is Way.ANGLE else "a torque, such as 40 N·m"
    if value is None:
        return _fault(at, " has no target", f"give {name}", run.group)
    if any(part is not None and not isinstance(part, wanted) for part in (value, low, high)):
        return _fault(at, " has a target of the wrong kind", f"give {name}, and limits of the same kind", run.group)
    if value.value <= 0:
        return _fault(at, f" has a target of {value}", "a target is more than zero", run.group)
    # Sizes compare across the two kinds, but the kinds are known to be one here.
    if (low is not None and low.size > value.size) or (high is not None and high.size < value.size):
        advice = "write low, target and high in rising order"
        return _fault(at, " has limits that leave out its target", advice, run.group)
    return None


def programme_faults(programme: Programme) -> tuple[Fault, ...]:
    """Return every fault of a ``programme`` [passes]; none means that it can be expanded.

    Formula: every bolt of a pass once, and of a stage at least once; torques rise, angles follow a torque, limits lie
    around the target.

    Source: common practice, no source.

    >>> programme_faults(Programme(()))[0].sentence
    'The programme has no stage: give at least one stage with a target'
    """
    if not programme.passes:
        return (Fault("The programme has no stage", "give at least one stage with a target"),)
    faults: list[Fault] = []
    for number, one in enumerate(programme.passes, start=1):
        at = _at(number, one)
        if not any(run.bolts for run in one.runs):
            faults.append(_fault(at, "has no bolts", "list the bolts that it tightens"))
        if one.reseat is not None and (one.way is not Way.LOOSEN or not 1 <= one.reseat < number):
            faults.append(_fault(at, "begins again from what is not before it", "name a stage before loosening"))
        if one.repeat < 1:
            faults.append(_fault(at, f"is repeated {one.repeat} times", "repeat it once or more"))
        taken = Counter((run.group, bolt) for run in one.runs for bolt in run.bolts)
        faults += [
            _fault(at, f"lists bolt {bolt} of {group} {times} times", "list every bolt once in a stage")
            for (group, bolt), times in sorted(taken.items())
            if times > 1
        ]
        if one.stage is None or one.stage not in (other.stage for other in programme.passes[: number - 1]):
            faults += _group_faults(programme, at, _taken(programme, number, one))
        for run in one.runs:
            fault = _target_fault(at, one, run)
            if fault is not None:
                faults.append(fault)
    return tuple(faults) if faults else tuple(_course_faults(programme))


def _taken(programme: Programme, number: int, one: ProgrammePass) -> set[tuple[str, int]]:
    """Return the bolts that the stage takes which begins with a pass."""
    more = [other for other in programme.passes[number:] if one.stage is not None and other.stage == one.stage]
    return {(run.group, bolt) for done in (one, *more) for run in done.runs for bolt in run.bolts}


def _course_faults(programme: Programme) -> list[Fault]:
    """Follow every bolt through the passes as they are done, repeats included; needs sound passes."""
    done = done_passes(programme)
    if sum(len(run.bolts) for turn in done for run in turn.written.runs) > MOST_ACTIONS:
        return [Fault("The programme is too long", f"the most is {MOST_ACTIONS} single actions")]
    reached: dict[tuple[str, int], Torque] = {}
    turned: set[tuple[str, int]] = set()
    faults: list[Fault] = []
    for turn in done:
        for run in turn.written.runs:
            fault = _course_fault(_at(turn.number, turn.written), turn.written, run, reached, turned)
            if fault is not None:
                faults.append(fault)
    return list(dict.fromkeys(faults))


def _group_faults(programme: Programme, at: _At, taken: set[tuple[str, int]]) -> list[PassFault]:
    """Say which bolts of a group that a stage takes are missing from it, and which are strangers."""
    faults = []
    for group in sorted({group for group, _ in taken}):
        known = programme.groups.get(group)
        if known is None:
            if programme.groups:
                faults.append(_fault(at, f"names the group {group}", "use one of the groups of the procedure"))
            continue
        here = {bolt for name, bolt in taken if name == group}
        faults += [
            _fault(at, f"leaves out bolt {bolt} of {group}", "list every bolt of the group")
            for bolt in sorted(known - here)
        ]
        faults += [
            _fault(at, f"lists bolt {bolt}, which is not in {group}", "take the bolts from the group")
            for bolt in sorted(here - known)
        ]
    return faults


def _course_fault(
    at: _At, one: ProgrammePass, run: BoltRun, reached: dict[tuple[str, int], Torque], turned: set[tuple[str, int]]
) -> PassFault | None:
    """Follow each bolt through the passes and say where its course makes no sense; keeps the two books up to date."""
    value = run.target.value
    for bolt in run.bolts:
        key = (run.group, bolt)
        before = reached.get(key)
        if one.way is Way.LOOSEN:
            reached.pop(key, None)
            turned.discard(key)
        elif one.way is Way.ANGLE:
            if before is None:
                said = f": bolt {bolt} is turned by an angle with no torque before it"
                return _fault(at, said, "give a torque first", run.group)
            turned.add(key)
        elif isinstance(value, Torque):
            if one.way is Way.TORQUE and key in turned:
                said = f": bolt {bolt} gets a torque after an angle"
                return _fault(at, said, "loosen it first, or check it instead", run.group)
            if before is not None and value < before:
                said = f": {value} is less than the {before} that bolt {bolt} has"
                return _fault(at, said, "loosen it first", run.group)
            reached[key] = value
    return None
