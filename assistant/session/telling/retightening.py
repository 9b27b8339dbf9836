"""What is said of bolts that are tightened again: for which time, that new ones must come, and which moved on early."""

from __future__ import annotations

from assistant.facts.kinds.retightened import MovedOnEarly, RetighteningCounted
from assistant.session.chunks import Chunk
from assistant.session.here import Here
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.judging import way_out


@tells(RetighteningCounted)
def _counted(t: Telling, fact: RetighteningCounted) -> None:
    """Say which bolts are spent, else for which of how many times they go in again: the one that is nearest the end."""
    say = t.language.judging
    if fact.spent:
        t.say(say.retightened_spent(fact.spent))
        return
    most = max(fact.times)
    nearest = [bolt for bolt, times in zip(fact.bolts, fact.times, strict=True) if times == most]
    t.say(say.retightened(nearest, most, fact.at_most))


@tells(MovedOnEarly)
def _moved_on(t: Telling, fact: MovedOnEarly) -> None:
    t.say(*t.language.judging.moved_on(fact.bolt, fact.least))
    way_out(t, fact.bolt)


def spent_here(here: Here, chunk: Chunk, bolts: tuple[int, ...]) -> list[int]:
    """Return those of ``bolts`` that were tightened again as often as they may be, so that new ones must come."""
    most, state = here.job.groups[chunk.group].retighten_at_most, here.state
    if most is None:
        return []
    keys = {bolt: (chunk.group, bolt) for bolt in bolts}
    return [bolt for bolt, key in keys.items() if key in state.worn and state.retightened.get(key, 0) > most]
