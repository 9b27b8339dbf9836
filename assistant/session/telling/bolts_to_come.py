"""The bolts that come after the present ones in a tightening, for whoever asks what comes next."""

from __future__ import annotations

from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import bolt_place, chunks_in
from assistant.session.stage_at import stage_at
from assistant.session.telling.core import Telling


def to_come(t: Telling, step: TightenStep) -> list[str]:
    """Say which bolts come after the present ones in this step, with their stage when it is another; [] for none."""
    place = bolt_place(t)
    if place is None:
        return []
    chunk, bolts, index, offset = place
    rest = chunk.bolts[offset + len(bolts) :]
    if rest:
        return [t.language.questions.comes_bolts(rest, None)]
    chunks = chunks_in(t.job, step.id)
    if index + 1 >= len(chunks):
        return []
    after = chunks[index + 1]
    return [t.language.questions.comes_bolts(after.bolts, None if after.turn == chunk.turn else stage_at(step, after))]
