"""Bolts among their neighbours: what was read off at each beside its target, and how that scatters."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from assistant.advice.judge import Scatter, scatter_of
from assistant.facts import Quantity
from assistant.facts.codes import ReadAt, Way
from assistant.fastening.quantities import AngleUnit, Torque, TorqueUnit
from assistant.fastening.readings import MARGIN
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, bolt_place, chunks_in, stands_aside
from assistant.session.here import Here
from assistant.session.joint_allows import class_of_tool
from assistant.session.state import Bolt
from assistant.session.tools.limits import reading_unit
from assistant.session.tools.values import value_of


class Neighbours(NamedTuple):
    """What was read off at bolts of one group that are taken to one target in one pass, by their keys, in one unit."""

    read: dict[Bolt, Quantity]
    unit: TorqueUnit | AngleUnit
    scatter: Scatter


def like(here: Here, step: TightenStep, chunk: Chunk) -> list[tuple[Bolt, Chunk, int]]:
    """Return the key of every bolt that gets the same as those of ``chunk``, with its chunk and its place in that."""
    return [
        ((step.id, one.turn, one.run, bolt), one, offset)
        for one in chunks_in(here.job, step.id)
        if one.turn == chunk.turn and one.group == chunk.group and one.target == chunk.target
        for offset, bolt in enumerate(one.bolts)
    ]


def neighbours(here: Here, step: TightenStep, chunk: Chunk) -> Neighbours | None:
    """Return what was read off at the bolts that get the same as those of ``chunk``; None where nothing was."""
    known = here.state.read
    read = {bolt: known[bolt] for bolt, _, _ in like(here, step, chunk) if bolt in known}
    if not read:
        return None
    values = {bolt: value_of(one) for bolt, one in read.items()}
    unit = next(iter(values.values())).unit
    # One step of what was read: a value that is said has no more digits than the tool shows.
    finest = min(
        Fraction(Decimal(1).scaleb(int(one.value.as_tuple().exponent))) * one.unit.factor for one in values.values()
    )
    sizes = {bolt[3]: one.size / unit.factor for bolt, one in values.items()}
    tool = Fraction(class_of_tool(here, step, chunk))
    return Neighbours(read, unit, scatter_of(sizes, finest / unit.factor, tool + Fraction(MARGIN), tool))


def all_read(here: Here, step: TightenStep, chunk: Chunk, present: Bolt) -> bool:
    """Return whether nothing more is to come from the bolts that get the same as ``present``, which is done now."""
    state = here.state
    return not any(
        bolt != present
        and bolt not in state.read
        and bolt not in state.bolts
        and bolt not in state.bolts_skipped
        and not stands_aside(here, step.id, one, offset)
        for bolt, one, offset in like(here, step, chunk)
    )


def unit_to_read(here: Here, step: TightenStep, chunk: Chunk) -> TorqueUnit | AngleUnit:
    """Return the unit in which bolts of ``chunk`` are read off: degrees, or that of the torque they got before."""
    if chunk.within.read is ReadAt.ANGLE:
        return AngleUnit.DEGREE
    if here.state.unit is not None:
        return here.state.unit
    before = [one.target for one in chunks_in(here.job, step.id) if one.group == chunk.group and one.turn < chunk.turn]
    torques = [target.unit for target in before if isinstance(target, Torque)]
    return torques[-1] if torques else TorqueUnit.NEWTON_METRE


def read_in(here: Here, step: TightenStep) -> str:
    """Return the unit in which whatever is read off at the present bolt is said; "" where nothing is."""
    place = bolt_place(here)
    if place is None or place[0].way is Way.LOOSEN:
        return ""
    if place[0].within.read is not None:
        return unit_to_read(here, step, place[0]).value
    return (reading_unit(here, place[0]) or AngleUnit.DEGREE).value
