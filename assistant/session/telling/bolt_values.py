"""The value of the present bolts: what they are taken to, in how many strokes, and within which limits."""

from __future__ import annotations

from assistant.facts.codes import Way
from assistant.fastening.multiplier import handle_angle
from assistant.fastening.quantities import Angle
from assistant.fastening.turning import stroke_angles
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk
from assistant.session.telling.core import Telling
from assistant.session.tools import chosen, named
from assistant.session.tools.values import in_unit, said_limit


def value_said(t: Telling, chunk: Chunk, *, surely: bool, at_bolt: bool = False) -> list[str]:
    """Return the value as a sentence; ``surely`` with its digits too where it sounds like another."""
    target, say = chunk.target, t.language.bolts
    if chunk.way is Way.LOOSEN:
        return [say.loosen(target)]
    if target is None:
        raise TypeError("Only loosening has no target.")
    step = t.step
    turned = named.turned_through(t, step, chunk) if isinstance(step, TightenStep) else None
    if turned is not None and isinstance(target, Angle):
        tool, known = turned
        handle = handle_angle(target, known) if known else None
        if isinstance(handle, Angle):
            return t.language.tools.at_handle(target, handle)
        return [t.language.tools.no_gear_ratio(named.name_of(t, tool))]
    said, gauged = in_unit(t, target), _is_gauged(t, chunk)
    if surely or at_bolt:
        return [say.target_surely(said, at_bolt=at_bolt, by_gauge=gauged)]
    return [say.target(said, by_gauge=gauged)]


def _is_gauged(t: Telling, chunk: Chunk) -> bool:
    """Return whether the angle is read off a gauge of the tool file."""
    if chunk.way is not Way.ANGLE or not isinstance(t.step, TightenStep):
        return False
    tools = chosen.stage_tools(t, t.step, chunk.turn)
    return tools is not None and tools.gauge is not None


def stroke_words(t: Telling, chunk: Chunk) -> list[str]:
    """Return the strokes in which the space lets a further angle be turned, if it takes more than one.

    Through a multiplier it is the handle that has to fit into the space.
    """
    target, step = chunk.target, t.step
    if not isinstance(target, Angle) or chunk.of.swing is None or chunk.way is not Way.ANGLE:
        return []
    turned = named.turned_through(t, step, chunk) if isinstance(step, TightenStep) else None
    if turned is not None:
        handle = handle_angle(target, turned[1]) if turned[1] else None
        if not isinstance(handle, Angle):
            return []
        target = handle
    found = stroke_angles(target, chunk.of.swing)
    return [t.language.bolts.strokes(found) if isinstance(found, tuple) else t.language.bolts.too_many_strokes()]


def limit_words(t: Telling, chunk: Chunk) -> list[str]:
    """Return the limits of the present bolts in the unit that they are read in."""
    low, high = (
        None if end is None else said_limit(t, end, up=up) for end, up in ((chunk.of.low, True), (chunk.of.high, False))
    )
    return t.language.bolts.between(low, high)
