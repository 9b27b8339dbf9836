"""The answer about the plan: what to do first, what during a wait, when the job ends, and how the booking stands."""

from __future__ import annotations

from assistant.language.sentence import Sentence
from assistant.language.values import StepAt
from assistant.session.lasting import From
from assistant.session.places import StepPlace
from assistant.session.planning import JobPlan, Stretch, planned, stretches
from assistant.session.telling.core import Telling
from assistant.session.tools.named import name_of

_DAY_MIN = 1440
_LEAST_S = 150
"""What is less than this over the booking [s] is rounding, and not told."""


def plan_words(t: Telling) -> list[str]:
    """Say the plan of the rest in one breath; it is a proposal, and moves nothing."""
    say, found = t.language.planning, planned(t)
    late = [say.plan_late(t.job.timers[timer].name) for timer in found.late[:1]]
    if found.plan is None:
        return [*late, say.no_plan()]
    rows = stretches(t, found)
    if not rows:
        return [t.text(Sentence.ALL_DONE)]
    unknown = found.count(From.NOTHING)
    ends = (t.now_ms + 1000 * found.plan.seconds) // 60_000 + t.clock_min
    today = t.now_ms // 60_000 + t.clock_min
    days = ends // _DAY_MIN - today // _DAY_MIN
    only_unknown = unknown == len(rows)
    return [
        *late,
        *say.plan_first(*_first(rows)),
        *_people_words(t, found, rows),
        *_tool_words(t, found),
        "" if only_unknown else say.plan_ends(ends % _DAY_MIN, days, at_least=unknown > 0),
        *booking_words(t, found),
        t.language.questions.done_without(unknown),
        t.language.questions.done_estimated(found.count(From.ESTIMATE)),
        "" if found.plan.proven else say.not_proven(),
    ]


def _people_words(t: Telling, found: JobPlan, rows: list[Stretch]) -> list[str]:
    """Say what a helper does first, and which step comes first for which there are too few people."""
    say = t.language.planning
    given = next((row.place for row in rows if row.by_helper), None)
    short = next((row.place for row in rows if row.place.key in found.short), None)
    return [
        say.plan_helper(given.called) if given is not None else "",
        say.plan_short(short.called, short.step.people) if short is not None else "",
    ]


def _tool_words(t: Telling, found: JobPlan) -> list[str]:
    """Say which equipment of the open steps is not there, and the first step that no tool of the bay is fit for."""
    names = [name_of(t, tool) for tool in found.lacking]
    unfit = next((place for place in t.places if isinstance(place, StepPlace) and place.key in found.unfit), None)
    return [
        *t.language.lists.missing(names, []),
        t.language.planning.plan_unfit(unfit.called) if unfit is not None else "",
    ]


def _first(rows: list[Stretch]) -> tuple[StepAt | None, StepAt | None, StepAt | None]:
    """Return what to do first, what then, and what during the next wait, in the order of the plan."""
    work = [row for row in rows if not row.waits and not row.by_helper]
    wait = next((row for row in rows if row.waits and row.end > row.start), None)
    if wait is None:
        return work[0].place.called if work else None, work[1].place.called if len(work) > 1 else None, None
    before = [row for row in work if row.start < wait.end]
    during = [row for row in before if row.start >= wait.start and row.known is not From.NOTHING]
    first = before[0] if before else None
    meanwhile = next((row for row in during if row is not first), None)
    then = before[1] if len(before) > 1 and before[1] is not meanwhile else None
    called = [None if row is None else row.place.called for row in (first, then, meanwhile)]
    return called[0], called[1], called[2]


def booking_words(t: Telling, found: JobPlan) -> list[str]:
    """Say how the whole job, what was worked and what is left, compares with the book time; [] where nobody knows."""
    book = t.job.procedure.book_time
    if book is None or found.plan is None:
        return []
    unknown = found.count(From.NOTHING)
    over = t.state.spent.seconds + found.plan.seconds - book
    if over > _LEAST_S:
        return [t.language.planning.booking(over, at_least=unknown > 0)]
    return [] if unknown else [t.language.planning.booking(0, at_least=False)]
