"""The answers about time: what time it is, how long the job took until now, and about when it will be done."""

from __future__ import annotations

from assistant.language.sentence import Sentence
from assistant.session.finishing import rest_of
from assistant.session.planning import planned
from assistant.session.telling import people
from assistant.session.telling.core import Telling
from assistant.session.telling.planned import booking_words

_DAY_MIN = 1440


def time_words(t: Telling) -> list[str]:
    """Say the time of day, as the clock of the bay has it."""
    return [t.language.questions.time(_minute(t) % _DAY_MIN)]


def done_words(t: Telling) -> list[str]:
    """Say about how long the rest of the job takes, how that was reached, and what is not in it."""
    rest, say = rest_of(t), t.language.questions
    if not rest.steps:
        return [t.text(Sentence.ALL_DONE)]
    if rest.unknown == rest.steps:
        return [say.done_unknown()]
    found = planned(t)
    seconds = rest.seconds if found.plan is None else found.plan.seconds
    ends = _minute(t) + round(seconds / 60)
    times = t.state.times
    by = say.done_by(
        times.own_jobs if rest.own else 0, times.bay_jobs if rest.bay else 0, minutes=rest.minutes, waits=rest.waits
    )
    days = ends // _DAY_MIN - _minute(t) // _DAY_MIN
    told = say.done_in(seconds, ends % _DAY_MIN, days, at_least=rest.unknown > 0)
    return [*told, by, *booking_words(t, found), say.done_without(rest.unknown), say.done_estimated(rest.estimated)]


def spent_words(t: Telling) -> list[str]:
    """Say about how long the job was worked on, and the book time beside it."""
    return [*t.language.questions.spent(t.state.spent.seconds, t.job.procedure.book_time), *people.helped_words(t)]


def _minute(t: Telling) -> int:
    """Return the present minute of the bay's clock, since the epoch there [min]."""
    return t.now_ms // 60_000 + t.clock_min
