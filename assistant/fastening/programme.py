"""Tightening programmes: stages of passes over bolts, and their expansion into every single action.

A programme is what the procedure says. Stages run one after another, in a stage its passes, and in a pass its runs
(bolts of one group with one target, in their order). A pass may be done several times. Expanding a programme gives one
action for each bolt and pass as it is done, with what the bolt has seen by then.
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
class ProgrammePass:
    """One pass over all its runs. ``to_yield`` marks one that stretches the bolt for good.

    ``stage`` is the number of the stage that it belongs to; None where the pass is a stage of its own. ``repeat`` is
    how often it is done, one time right after the other.
    """

    way: Way
    runs: tuple[BoltRun, ...]
    to_yield: bool = False
    reseat: int | None = None
    """Only for loosening: then the passes from this number (1 is the first) to the one before are done once more."""
    repeat: int = 1
    stage: int | None = None
    called: str = ""
    """How a person finds it in the procedure, such as ``Stage 3, pass 2``; "" when it is a stage of its own."""


@dataclass(frozen=True, slots=True)
class Programme:
    """All passes. ``groups`` maps each group to all of its bolts; the passes of a stage may take a group in parts."""

    passes: tuple[ProgrammePass, ...]
    groups: dict[str, frozenset[int]] = field(default_factory=dict)


class DonePass(NamedTuple):
    """One pass as it is done: the ``number`` [1 is the first] of the written one, and for which ``time`` it is done.

    ``again`` says that it was done before and is done once more, because the bolts were loosened.
    """

    number: int
    written: ProgrammePass
    time: int = 1
    again: bool = False


class Action(NamedTuple):
    """One bolt in one pass.

    ``number`` counts all actions from 1; ``turn`` is the place among the passes as they are done (a repeated one counts
    again), ``planned`` its number in the programme, ``time`` its repetition. ``torque`` and ``angle`` are what the bolt
    has got when the action is done: the last torque, and the sum of the angles [°] turned after it.
    """

    number: int
    turn: int
    planned: int
    time: int
    group: str
    bolt: int
    way: Way
    target: Target
    torque: Torque | None
    angle: Angle
    to_yield: bool


def done_passes(programme: Programme) -> list[DonePass]:
    """Return the passes of a ``programme`` [passes] as they are done; what is repeated is written out.

    Formula: the passes in order, each as often as it is repeated; after one that loosens, those from its ``reseat``
    once more.

    Source: common practice, no source.

    >>> from assistant.fastening.units import parse_torque
    >>> first = ProgrammePass(Way.TORQUE, (BoltRun("lid", (1,), Target(parse_torque("9 N·m"))),), repeat=2)
    >>> loosen = ProgrammePass(Way.LOOSEN, (BoltRun("lid", (1,), Target(None)),), reseat=1)
    >>> [(turn.number, turn.time) for turn in done_passes(Programme((first, loosen)))]
    [(1, 1), (1, 2), (2, 1), (1, 1), (1, 2)]
    """
    done: list[DonePass] = []
    for number, written in enumerate(programme.passes, start=1):
        done += [DonePass(number, written, time) for time in range(1, written.repeat + 1)]
        if written.reseat is not None:
            again = enumerate(programme.passes[written.reseat - 1 : number - 1], start=written.reseat)
            done += [
                DonePass(before, one, time, again=True)
                for before, one in again
                if one.way is not Way.LOOSEN
                for time in range(1, one.repeat + 1)
            ]
    return done


def expand(programme: Programme) -> tuple[Action, ...]:
    """Return every single action of a ``programme`` [passes] in order. Check it first.

    Formula: a torque sets the torque and starts the angle at zero; a further angle adds to the angle; loosening
    takes both away; a check changes nothing but needs a click.

    Source: common practice, no source.

    >>> from assistant.fastening.units import parse_angle, parse_torque
    >>> turn = ProgrammePass(Way.ANGLE, (BoltRun("final", (1,), Target(parse_angle("50°"))),), repeat=3)
    >>> first = ProgrammePass(Way.TORQUE, (BoltRun("final", (1,), Target(parse_torque("35 N·m"))),))
    >>> actions = expand(Programme((first, turn)))
    >>> len(actions), str(actions[-1].torque), str(actions[-1].angle)
    (4, '35 N·m', '150°')
    """
    torques: dict[tuple[str, int], Torque] = {}
    angles: dict[tuple[str, int], Angle] = {}
    actions: list[Action] = []
    for place, turn in enumerate(done_passes(programme), start=1):
        written = turn.written
        for run in written.runs:
            value = run.target.value
            last, added = None, NO_ANGLE
            for bolt in run.bolts:
                key = (run.group, bolt)
                if written.way is Way.LOOSEN:
                    torques.pop(key, None)
                    angles.pop(key, None)
                elif isinstance(value, Angle):
                    before = angles.get(key, NO_ANGLE)
                    if before is not last:  # A run turns many bolts from the same angle: add once.
                        last, added = before, total((before, value))
                    angles[key] = added
                elif written.way is Way.TORQUE and isinstance(value, Torque):
                    torques[key] = value
                    angles.pop(key, None)
                actions.append(
                    Action(
                        len(actions) + 1,
                        place,
                        turn.number,
                        turn.time,
                        run.group,
                        bolt,
                        written.way,
                        run.target,
                        torques.get(key),
                        angles.get(key, NO_ANGLE),
                        written.to_yield,
                    )
                )
    return tuple(actions)
