"""Tightening programmes: stages over bolts, and their expansion into every single action.

A programme is what the procedure says. Stages run one after another, and in a stage its runs (bolts of one group with
one target, in their order). Expanding it gives one action for each bolt and stage, with what the bolt has seen by then.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import NamedTuple

from assistant.facts.codes import Way
from assistant.fastening.quantities import Angle, AngleUnit, Torque
from assistant.fastening.turning import total

NO_ANGLE = Angle(Decimal(0), AngleUnit.DEGREE)


@dataclass(frozen=True, slots=True)
class Target:
    """What a bolt is taken to: ``value``, and ``low`` and ``high`` limits of its kind. None only for loosening."""

    value: Torque | Angle | None
    low: Torque | Angle | None = None
    high: Torque | Angle | None = None


@dataclass(frozen=True, slots=True)
class BoltRun:
    """Bolts of one ``group`` in their order, with one target."""

    group: str
    bolts: tuple[int, ...]
    target: Target


@dataclass(frozen=True, slots=True)
class ProgrammeStage:
    """One pass over all its runs. ``to_yield`` marks the stage that stretches the bolt for good."""

    way: Way
    runs: tuple[BoltRun, ...]
    to_yield: bool = False
    repeat_from: int | None = None
    """Only for loosening: then the stages from this number (1 is the first) to the one before are done once more."""


@dataclass(frozen=True, slots=True)
class Programme:
    """All stages. ``groups`` maps each group to all of its bolts; the runs of a stage may take a group in parts."""

    stages: tuple[ProgrammeStage, ...]
    groups: dict[str, frozenset[int]] = field(default_factory=dict)


class Action(NamedTuple):
    """One bolt in one stage.

    ``number`` counts all actions from 1; ``stage`` is the place in the programme's passes as they are done (a repeated
    stage counts again), ``planned`` its number in the programme. ``torque`` and ``angle`` are what the bolt has got
    when the action is done: the last torque, and the sum of the angles [°] turned after it.
    """

    number: int
    stage: int
    planned: int
    group: str
    bolt: int
    way: Way
    target: Target
    torque: Torque | None
    angle: Angle
    to_yield: bool


def passes(programme: Programme) -> list[tuple[int, ProgrammeStage]]:
    """Return the stages of a ``programme`` [stages] as they are done, each with its number; repeats are written out.

    Formula: the stages in order; after a stage that loosens, those from its ``repeat_from`` once more.

    Source: common practice, no source.

    >>> from assistant.fastening.units import parse_torque
    >>> first = ProgrammeStage(Way.TORQUE, (BoltRun("lid", (1,), Target(parse_torque("9 N·m"))),))
    >>> loosen = ProgrammeStage(Way.LOOSEN, (BoltRun("lid", (1,), Target(None)),), repeat_from=1)
    >>> [number for number, _ in passes(Programme((first, loosen)))]
    [1, 2, 1]
    """
    done: list[tuple[int, ProgrammeStage]] = []
    for number, stage in enumerate(programme.stages, start=1):
        done.append((number, stage))
        if stage.repeat_from is not None:
            again = enumerate(programme.stages[stage.repeat_from - 1 : number - 1], start=stage.repeat_from)
            done += [(planned, repeated) for planned, repeated in again if repeated.way is not Way.LOOSEN]
    return done


def expand(programme: Programme) -> tuple[Action, ...]:
    """Return every single action of a ``programme`` [stages] in order. Check it first.

    Formula: a torque stage sets the torque and starts the angle at zero; an angle stage adds to the angle; loosening
    takes both away; a check changes nothing but needs a click.

    Source: common practice, no source.

    >>> from assistant.fastening.units import parse_angle, parse_torque
    >>> turn = ProgrammeStage(Way.ANGLE, (BoltRun("final", (1,), Target(parse_angle("50°"))),))
    >>> first = ProgrammeStage(Way.TORQUE, (BoltRun("final", (1,), Target(parse_torque("35 N·m"))),))
    >>> actions = expand(Programme((first, *[turn] * 3)))
    >>> len(actions), str(actions[-1].torque), str(actions[-1].angle)
    (4, '35 N·m', '150°')
    """
    torques: dict[tuple[str, int], Torque] = {}
    angles: dict[tuple[str, int], Angle] = {}
    actions: list[Action] = []
    for place, (planned, stage) in enumerate(passes(programme), start=1):
        for run in stage.runs:
            value = run.target.value
            last, added = None, NO_ANGLE
            for bolt in run.bolts:
                key = (run.group, bolt)
                if stage.way is Way.LOOSEN:
                    torques.pop(key, None)
                    angles.pop(key, None)
                elif isinstance(value, Angle):
                    before = angles.get(key, NO_ANGLE)
                    if before is not last:  # A run turns many bolts from the same angle: add once.
                        last, added = before, total((before, value))
                    angles[key] = added
                elif stage.way is Way.TORQUE and isinstance(value, Torque):
                    torques[key] = value
                    angles.pop(key, None)
                actions.append(
                    Action(
                        len(actions) + 1,
                        place,
                        planned,
                        run.group,
                        bolt,
                        stage.way,
                        run.target,
                        torques.get(key),
                        angles.get(key, NO_ANGLE),
                        stage.to_yield,
                    )
                )
    return tuple(actions)
