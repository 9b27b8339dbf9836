"""What is said of a reading at a bolt."""

from __future__ import annotations

from assistant.facts.codes import Side
from assistant.language.sentence import Sentence
from assistant.session.chunks import Chunk, bolt_key, bolt_place
from assistant.session.here import Here
from assistant.session.telling.core import Telling
from assistant.session.tools import limits
from assistant.session.tools.chosen import choice_at
from assistant.session.tools.values import is_plain, said_limit, value_of


def is_apart(here: Here, chunk: Chunk) -> bool:
    """Return whether the value at the present bolts is another than the one that is set on the wrench."""
    choice = choice_at(here)
    return choice is not None and not is_plain(here, chunk, choice)


def off_words(t: Telling) -> list[str]:
    """Return what is wrong with the reading of the present bolt, and what can be said."""
    step, place = t.step, bolt_place(t)
    if step is None or place is None:
        return []
    chunk, bolts, index, offset = place
    off = t.state.off.get(bolt_key(t.job, step.id, index, offset))
    if off is None:
        return []
    below = off.side is Side.BELOW
    own = chunk.of.low if below else chunk.of.high
    edge = limits.limits_of(t, chunk)[0 if below else 1]
    tolerance = None if own is not None else limits.tolerance_of(t, chunk)
    say = t.language.bolts
    said = [say.reading_off(bolts[0], value_of(off.reading), tolerance, below=below, at_bolt=is_apart(t, chunk))]
    if edge is not None:
        said.append(say.edge(said_limit(t, edge, up=below), below=below))
    return [*said, t.text(Sentence.DECIDE)]
