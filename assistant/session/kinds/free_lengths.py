"""Free lengths of bolts that were read off in a table: which are used again, by the limit of their procedure."""

from __future__ import annotations

from decimal import Decimal

from assistant.advice.free_length import UNCERTAINTY, Reuse, judge_length
from assistant.facts import Quantity
from assistant.facts.kinds.judged import LengthsJudged
from assistant.fastening.quantities import Length, LengthUnit
from assistant.procedure.steps.measure import MeasureStep
from assistant.session import cells
from assistant.session.deciding.core import Deciding
from assistant.session.telling.core import Telling, tells

_NEAR = Decimal("0.05")
"""Part [1] of the limit by which a free length may differ from it before it is read back: a bolt that stretched by more
would have broken, and a shorter one is another bolt. Ours, not published."""


def is_no_length(step: MeasureStep, value: Decimal) -> bool:
    """Return whether ``value`` can hardly be the free length of such a bolt, and was misheard or misread."""
    limit = step.lengths.limits.high if step.lengths is not None else None
    return limit is not None and abs(value - limit) > _NEAR * limit


def judge_lengths(d: Deciding, step: MeasureStep) -> None:
    """Put down which bolts of the table are too long, and which may be, when it is one of free lengths."""
    of = step.lengths
    if of is None or of.limits.high is None:
        return
    limit = Length(of.limits.high, LengthUnit(of.limits.unit))
    found: dict[int, Reuse] = {}
    for spot in step.cells():
        value, bolt = cells.value_at(d, step, spot), spot[0].number
        if value is not None and bolt is not None:
            length = Length(value.reading.value, LengthUnit(value.reading.unit))
            found[bolt] = judge_length(length, limit).reuse
    d.put(
        LengthsJudged(
            step=step.id,
            group=of.group,
            bolts=tuple(found),
            limit=Quantity(limit.value, limit.unit.value),
            uncertainty=Quantity(UNCERTAINTY.value, UNCERTAINTY.unit.value),
            beyond=tuple(bolt for bolt, reuse in found.items() if reuse is Reuse.BEYOND),
            close=tuple(bolt for bolt, reuse in found.items() if reuse is Reuse.CLOSE),
        )
    )


@tells(LengthsJudged)
def _judged(t: Telling, fact: LengthsJudged) -> None:
    """Say which bolts must be replaced, and which cannot be told; nothing of the others."""
    say = t.language.tables
    t.say(say.bolts_too_long(fact.beyond) if fact.beyond else "", say.bolts_close(fact.close) if fact.close else "")
