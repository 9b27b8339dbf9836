"""About how long a tightening takes, where nobody knows it: by its bolts, passes and tools."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.advice.pace import Turned, tightening_seconds
from assistant.facts.codes import Way
from assistant.fastening.quantities import Angle
from assistant.fastening.turning import stroke_angles
from assistant.faults import Fault
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import chunks_in
from assistant.session.here import Here
from assistant.session.tools import named


def tightening_about(here: Here, step: TightenStep) -> int:
    """Return about how long the whole of ``step`` takes [s]; the figures are those of :mod:`assistant.advice.pace`."""
    return tightening_seconds(_turned(here, step))


def _turned(here: Here, step: TightenStep) -> Iterator[Turned]:
    for chunk in chunks_in(here.job, step.id):
        split = 1
        if isinstance(chunk.target, Angle) and chunk.of.swing is not None:
            found = stroke_angles(chunk.target, chunk.of.swing)
            split = 1 if isinstance(found, Fault) else len(found)
        yield Turned(
            chunk.turn,
            chunk.way,
            1 if chunk.within.together else len(chunk.bolts),
            strokes=split,
            reach=chunk.of.adapter is not None,
            multiplier=chunk.way is not Way.LOOSEN and bool(named.multiplier_of(here, step, chunk)),
            read=chunk.within.read is not None,
        )
